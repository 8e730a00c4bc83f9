/** Characters that JSON allows but that would act on a terminal: DEL, C1, format characters, separators, lone surrogates. */
const ACTING = /[\u007f-\u009f\p{Cf}\p{Zl}\p{Zp}\p{Cs}]/gu;

function escaped(character: string): string {
  return Array.from({ length: character.length }, (_, at) => {
    return `\\u${character.charCodeAt(at).toString(16).padStart(4, '0')}`;
  }).join('');
}

/** One document as JSON text (RFC 8259), safe to look at on a terminal. The same data, whoever reads it. Ends in a line break. */
export function renderJson(document: unknown): string {
  return `${JSON.stringify(document, null, 2).replace(ACTING, escaped)}\n`;
}

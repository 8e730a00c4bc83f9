/**
 * Controls (C0, C1, DEL), format characters (direction overrides U+202A–202E and U+2066–2069, zero-width characters,
 * soft hyphen, byte order mark, tag characters), line and paragraph separators, lone surrogates.
 */
const ACTING = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}]/gu;

const SHORT: Readonly<Record<string, string>> = { '\n': '\\n', '\r': '\\r', '\t': '\\t' };

function spelledOut(character: string): string {
  const short = SHORT[character];
  if (short !== undefined) return short;
  const code = character.codePointAt(0) ?? 0;
  if (code <= 0xff) return `\\x${code.toString(16).padStart(2, '0')}`;
  if (code <= 0xffff) return `\\u${code.toString(16).padStart(4, '0')}`;
  return `\\u{${code.toString(16)}}`;
}

/** Every character that would act rather than show is spelt out: ESC becomes `\x1b`, a line break `\n`, U+202E `\u202e`. */
export function madeVisible(text: string): string {
  return text.replace(ACTING, spelledOut);
}

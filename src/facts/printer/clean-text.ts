/**
 * Text of a printer as the documents carry it: no control characters, no direction overrides, trimmed.
 * Escaping for a terminal or a page is still the renderer's duty.
 */

/** White space that is more than a blank, line and paragraph separators among it: read as one blank. */
const LINE_BREAKS = /[\t\n\v\f\r\u0085\u2028\u2029]+/g;
/** C0, DEL and C1 codes, the byte order mark, and the marks that reorder what is displayed. */
const INVISIBLE = /[\u0000-\u001f\u007f-\u009f\ufeff\u200e\u200f\u202a-\u202e\u2066-\u2069]/g;
const LONE_SURROGATE = /\p{Surrogate}/gu;

/** Makes text fit to keep: control characters removed, line breaks as blanks, ends trimmed. */
export function cleanText(text: string): string {
  return text.replace(LINE_BREAKS, ' ').replace(INVISIBLE, '').replace(LONE_SURROGATE, '\ufffd').trim();
}

/** As `cleanText`, null when nothing is left. */
export function cleanTextOrNull(text: string): string | null {
  const cleaned = cleanText(text);
  return cleaned === '' ? null : cleaned;
}

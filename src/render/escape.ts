import { madeVisible } from '../model/visible.js';

/**
 * Text that a printer, a queue or a stranger on the network supplied, made safe for the place where it is shown.
 * Such text may hold escape sequences, direction overrides, line breaks or markup; nothing of it may act on the reader.
 */

/** Cuts to `max` characters (code points), the last of them `…` when something was cut. */
export function shortened(text: string, max: number): string {
  if (text.length <= max) return text;
  const characters = Array.from(text.slice(0, max * 2 + 2));
  return characters.length <= max ? text : `${characters.slice(0, Math.max(0, max - 1)).join('')}…`;
}

/** One line, safe on a terminal, at most `max` characters. */
export function forTerminal(text: string, max = 400): string {
  return shortened(madeVisible(shortened(text, max)), max);
}

/** One line for a log, safe wherever the log is read. */
export function forLog(text: string, max = 1000): string {
  return forTerminal(text, max);
}

const HTML: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
  '`': '&#96;',
};

/** Safe as HTML text and inside a quoted attribute. */
export function forHtml(text: string, max = 4000): string {
  return forTerminal(text, max).replace(/[&<>"'`]/g, (character) => HTML[character] ?? '');
}

/**
 * One CSV cell (RFC 4180 section 2). Numbers stay numbers, null is an empty cell. Text that a spreadsheet would take for a formula
 * (first character = + - @ tab or carriage return) gets an apostrophe in front.
 */
export function forCsv(cell: string | number | boolean | null | undefined, max = 4000): string {
  if (cell === null || cell === undefined) return '';
  if (typeof cell !== 'string') return String(cell);
  const armed = /^[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell;
  const safe = forTerminal(armed, max);
  return /[",']|^\s|\s$/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

import stringWidth from 'string-width';

/** Where one paragraph goes: its first line begins with `first`, every later one with `rest`; no line is wider than `columns` cells. */
export interface Frame {
  readonly columns: number;
  readonly first: string;
  readonly rest: string;
}

/** No line of a terminal holds more; what is longer is cut unread. */
const MOST_MEASURED = 4_000;

const graphemes = new Intl.Segmenter('en', { granularity: 'grapheme' });

/**
 * Breaks text into lines of at most `columns` terminal cells, at spaces where it can and inside a word where it must.
 * Widths are those of a terminal: wide characters count two, combining marks none. The text holds no control characters.
 */
export function wrap(text: string, frame: Frame): string[] {
  const lines: string[] = [];
  let line = frame.first;
  let used = stringWidth(line);
  let empty = true;
  const breakLine = (): void => {
    lines.push(line.trimEnd());
    line = frame.rest;
    used = stringWidth(line);
    empty = true;
  };
  for (const word of text.split(/\s+/u).filter((part) => part !== '')) {
    const width = stringWidth(word);
    if (!empty && used + 1 + width > frame.columns) breakLine();
    if (!empty) {
      line += ' ';
      used += 1;
    }
    for (const piece of pieces(word, width, frame.columns - used, frame.columns - stringWidth(frame.rest))) {
      if (used + piece.width > frame.columns && !empty) breakLine();
      line += piece.text;
      used += piece.width;
      empty = false;
    }
  }
  if (!empty || lines.length === 0) lines.push(line.trimEnd());
  return lines;
}

interface Piece {
  readonly text: string;
  readonly width: number;
}

/** A word that fits stays whole; one that is wider than a line is cut between graphemes. */
function pieces(word: string, width: number, room: number, roomLater: number): readonly Piece[] {
  if (width <= Math.max(room, roomLater)) return [{ text: word, width }];
  const out: Piece[] = [];
  let text = '';
  let used = 0;
  let limit = Math.max(1, room);
  for (const { segment } of graphemes.segment(word)) {
    const cells = stringWidth(segment);
    if (used + cells > limit && text !== '') {
      out.push({ text, width: used });
      text = '';
      used = 0;
      limit = Math.max(1, roomLater);
    }
    text += segment;
    used += cells;
  }
  if (text !== '') out.push({ text, width: used });
  return out;
}

/** Shortens text to a number of terminal cells, the last one an ellipsis; a wide character takes two. */
export function elideCells(text: string, cells: number): string {
  if (text.length <= MOST_MEASURED && stringWidth(text) <= cells) return text;
  let kept = '';
  let used = 0;
  for (const { segment } of graphemes.segment(text.slice(0, MOST_MEASURED))) {
    used += stringWidth(segment);
    if (used > cells - 1) break;
    kept += segment;
  }
  return `${kept.trimEnd()}…`;
}

/** Text filled with spaces up to a number of terminal cells. */
export function pad(text: string, cells: number): string {
  return text + ' '.repeat(Math.max(0, cells - stringWidth(text)));
}

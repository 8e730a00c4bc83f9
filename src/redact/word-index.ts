/** Finds many words in a text at once: whole words only, whatever their case. */

/** Shorter words stand in any text by chance. */
export const SHORTEST_WORD = 4;
/** So do numbers of few digits: a counter, a capacity, a year. */
const SHORTEST_NUMBER = 8;

export interface Found<T> {
  readonly start: number;
  readonly end: number;
  readonly meaning: T;
}

/** True for a word that may be looked for in running text. */
export function isSearchable(word: string): boolean {
  return word.length >= (/^[\d\s.,-]*$/.test(word) ? SHORTEST_NUMBER : SHORTEST_WORD);
}

export class WordIndex<T> {
  /** By their first letters in small letters; longest first. */
  private readonly byStart = new Map<string, { readonly word: string; readonly meaning: T }[]>();
  /** Which beginnings there are at all, by a hash of three letters: most places of a text are passed over by it. */
  private readonly begins = new Uint8Array(0x10000);

  /**
   * Words too short to be looked for are left out. Of two alike the first counts. `octets`: one character is one octet, so that no
   * case is forgiven and a word may begin and end anywhere.
   */
  constructor(
    words: Iterable<readonly [word: string, meaning: T]>,
    private readonly form: 'words' | 'octets' = 'words',
  ) {
    for (const [given, meaning] of words) {
      const word = this.folded(given);
      if (word.length < SHORTEST_WORD) continue;
      const start = word.slice(0, SHORTEST_WORD);
      this.begins[hashAt(word, 0)] = 1;
      const same = this.byStart.get(start);
      if (same === undefined) this.byStart.set(start, [{ word, meaning }]);
      else if (!same.some((other) => other.word === word)) same.push({ word, meaning });
    }
    for (const words of this.byStart.values()) words.sort((a, b) => b.word.length - a.word.length);
  }

  get isEmpty(): boolean {
    return this.byStart.size === 0;
  }

  private folded(text: string): string {
    return this.form === 'octets' ? text : small(text);
  }

  /** Every place from left to right, none across another, the longest word where several begin. */
  *find(text: string): Generator<Found<T>> {
    if (this.isEmpty) return;
    const all = this.folded(text);
    const anywhere = this.form === 'octets';
    for (let at = 0; at + SHORTEST_WORD <= all.length; at += 1) {
      if (this.begins[hashAt(all, at)] === 0) continue;
      const words = this.byStart.get(all.slice(at, at + SHORTEST_WORD));
      const hit = words?.find(
        ({ word }) => all.startsWith(word, at) && (anywhere || isWhole(all, at, at + word.length)),
      );
      if (hit === undefined) continue;
      yield { start: at, end: at + hit.word.length, meaning: hit.meaning };
      at += hit.word.length - 1;
    }
  }
}

function hashAt(text: string, at: number): number {
  return (text.charCodeAt(at) ^ (text.charCodeAt(at + 1) << 5) ^ (text.charCodeAt(at + 2) << 10)) & 0xffff;
}

/** Small letters with every letter at its place: a capital whose small form is longer stays as it is. */
function small(text: string): string {
  const lower = text.toLowerCase();
  if (lower.length === text.length) return lower;
  return Array.from(text, (letter) =>
    letter.toLowerCase().length === letter.length ? letter.toLowerCase() : letter,
  ).join('');
}

/** No letter or digit goes on at either end where the word itself begins or ends with one. */
function isWhole(text: string, start: number, end: number): boolean {
  return !joins(text, start - 1, start) && !joins(text, end - 1, end);
}

function joins(text: string, left: number, right: number): boolean {
  return left >= 0 && right < text.length && isLetter(text.charCodeAt(left)) && isLetter(text.charCodeAt(right));
}

/** Letters, digits and all beyond Latin-1 punctuation; ASCII is decided without the slower test. */
function isLetter(code: number): boolean {
  if (code < 128) return (code >= 48 && code <= 57) || (code >= 97 && code <= 122) || (code >= 65 && code <= 90);
  return /[\p{L}\p{N}\p{M}]/u.test(String.fromCharCode(code));
}

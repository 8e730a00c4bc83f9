/**
 * The `key=value;` strings of PWG 5100.9 (printer-alert) and PWG 5100.13 (printer-supply, printer-input-tray,
 * printer-output-tray). Keys are matched without case. Forgiven, each by name: a prefix before the first key, bare
 * words, a missing closing semicolon, repeated keys (the first counts), blanks around keys and values.
 */

export interface KeyValues {
  /** Keys in lower case. A map, so that `__proto__` is a key like another. */
  readonly values: ReadonlyMap<string, string>;
  /** Pieces without an equals sign, in order. */
  readonly words: readonly string[];
  readonly deviations: readonly ('bare-word' | 'repeated-key' | 'empty-key')[];
}

/** Reads one such string. Never throws; what can't be read is left out and named in `deviations`. */
export function readKeyValues(text: string): KeyValues {
  const values = new Map<string, string>();
  const words: string[] = [];
  const deviations = new Set<KeyValues['deviations'][number]>();
  for (const part of text.split(';')) {
    const piece = part.trim();
    if (piece === '') continue;
    const equals = piece.indexOf('=');
    if (equals < 0) {
      deviations.add('bare-word');
      words.push(piece);
      continue;
    }
    const key = keyName(piece.slice(0, equals));
    if (key === '') deviations.add('empty-key');
    else if (values.has(key)) deviations.add('repeated-key');
    else values.set(key, piece.slice(equals + 1).trim());
  }
  return { values, words, deviations: [...deviations] };
}

/** The last word before the equals sign: what stands before it is a prefix that some devices add. */
function keyName(text: string): string {
  const words = text
    .trim()
    .toLowerCase()
    .split(/[\s:,|]+/);
  return words.at(-1) ?? '';
}

/** An integer of the list; null when absent or no integer. */
export function keyInteger(list: KeyValues, key: string): number | null {
  const text = list.values.get(key);
  return text !== undefined && /^[+-]?\d{1,15}$/.test(text) ? Number(text) : null;
}

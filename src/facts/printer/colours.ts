/** Colour of a supply, as one plain English word where there is one. */

const PATTERN =
  /(?<![a-z])(?:(?:light[ _-]?)?(?:black|cyan|magenta|gr[ea]y)|yellow|red|green|blue|orange|violet|white|clear)(?![a-z])/g;
const NOTHING: ReadonlySet<string> = new Set(['', 'none', 'other', 'unknown', 'no color', 'no colour', 'n/a']);

/** The one colour that a description names; null when it names none or several. */
export function colourWord(description: string): string | null {
  const spaced = description.replace(/([a-z])([A-Z])/g, '$1 $2').toLowerCase();
  const found = new Set(
    [...spaced.matchAll(PATTERN)].map(([word]) => word.replace(/[_-]/g, ' ').replace('gray', 'grey')),
  );
  const [only] = found;
  return found.size === 1 && only !== undefined ? only : null;
}

/** prtMarkerColorantValue (or `colorantname`) in lower case; null for the words that mean no colour. */
export function colorantName(value: string | null | undefined): string | null {
  const name = (value ?? '').trim().toLowerCase();
  return NOTHING.has(name) ? null : name;
}

const SIMPLE: readonly (readonly [string, number, number, number])[] = [
  ['black', 0, 0, 0],
  ['white', 255, 255, 255],
  ['cyan', 0, 255, 255],
  ['magenta', 255, 0, 255],
  ['yellow', 255, 255, 0],
  ['red', 255, 0, 0],
  ['green', 0, 255, 0],
  ['blue', 0, 0, 255],
  ['grey', 128, 128, 128],
];

/** Nearest plain name of one `#RRGGBB` (marker-colors); null for `none`, several colours in one, or anything else. */
export function colourOfRgb(value: string | undefined): string | null {
  const parts = /^#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})$/i.exec((value ?? '').trim());
  if (parts === null) return null;
  const [red, green, blue] = parts.slice(1).map((part) => Number.parseInt(part, 16)) as [number, number, number];
  let nearest: string | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const [name, r, g, b] of SIMPLE) {
    const distance = (red - r) ** 2 + (green - g) ** 2 + (blue - b) ** 2;
    if (distance < least) {
      least = distance;
      nearest = name;
    }
  }
  return nearest;
}

/** Reads what a PDF shows (ISO 32000-1): its streams, and text that stands in them as glyphs of an embedded font. */
import { inflateSync, unzlibSync } from 'fflate';

/** Octets that one stream may unpack to; a snapshot's own files stay far below. */
const MOST_UNPACKED = 256 * 1024 * 1024;

/** Streams (7.3.8), inflated where they are deflated. */
export function* streamsOf(octets: Uint8Array, latin1: string): Generator<Uint8Array> {
  for (const match of latin1.matchAll(/stream\r?\n/g)) {
    const start = match.index + match[0].length;
    const end = latin1.indexOf('endstream', start);
    const inflated = end < 0 ? undefined : inflate(octets.subarray(start, end));
    if (inflated !== undefined) yield inflated;
  }
}

function inflate(stream: Uint8Array): Uint8Array | undefined {
  for (const one of [unzlibSync, inflateSync]) {
    try {
      const inflated = one(stream);
      return inflated.length > MOST_UNPACKED ? undefined : inflated;
    } catch {
      // Not deflated in this way, or not at all: then it was read as it stands.
    }
  }
  return undefined;
}

/**
 * Text of all pages, once for each font: strings in hex are numbers of glyphs, and a font's ToUnicode map (9.10.3) tells which letters
 * those are. Strings of another font come out as nonsense, which harms nothing. With and without blanks between strings.
 */
export function shownText(streams: readonly Uint8Array[]): readonly string[] {
  const texts = streams.map((stream) => Buffer.from(stream).toString('latin1'));
  const fonts = texts.filter((text) => text.includes('begincmap')).map(lettersOf);
  const pages = texts.filter((text) => /T[jJ]/.test(text) && !text.includes('begincmap'));
  return fonts.flatMap((letters) =>
    pages.flatMap((page) => {
      const strings = [...page.matchAll(/<([0-9a-f\s]+)>/gi)].map(([, hex = '']) => decoded(hex, letters));
      return [strings.join(' '), strings.join('')];
    }),
  );
}

/** Number of a glyph in hex → letters, out of `bfchar` and `bfrange`. */
function lettersOf(map: string): ReadonlyMap<string, string> {
  const letters = new Map<string, string>();
  for (const [, glyph = '', , to = ''] of map.matchAll(/<([0-9a-f]+)>(\s*)<([0-9a-f]+)>\s*(?=<|end)/gi)) {
    letters.set(glyph.toLowerCase(), utf16(to));
  }
  for (const [, from = '', to = '', first = ''] of map.matchAll(/<([0-9a-f]+)>\s*<([0-9a-f]+)>\s*<([0-9a-f]{4})>/gi)) {
    if (!map.includes('beginbfrange') || from.length !== to.length) continue;
    const count = Math.min(Number.parseInt(to, 16) - Number.parseInt(from, 16), 0xffff);
    for (let n = 0; n <= count; n += 1) {
      const glyph = (Number.parseInt(from, 16) + n).toString(16).padStart(from.length, '0');
      if (!letters.has(glyph)) letters.set(glyph, String.fromCharCode(Number.parseInt(first, 16) + n));
    }
  }
  return letters;
}

function utf16(hex: string): string {
  return Buffer.from(hex.length % 4 === 0 ? hex : '', 'hex')
    .swap16()
    .toString('utf16le');
}

function decoded(hex: string, letters: ReadonlyMap<string, string>): string {
  return (hex.replace(/\s/g, '').match(/..../g) ?? []).map((glyph) => letters.get(glyph.toLowerCase()) ?? '').join('');
}

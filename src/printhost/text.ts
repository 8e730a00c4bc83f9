/**
 * Text of a file that a Windows tool wrote: UTF-8, or UTF-16 in either order. A byte order mark decides; without one, zero
 * octets at every other place do. Octets that are no text of that encoding become U+FFFD.
 */
export function textOfFile(octets: Uint8Array): string {
  return new TextDecoder(encodingOf(octets)).decode(octets);
}

function encodingOf(octets: Uint8Array): 'utf-8' | 'utf-16le' | 'utf-16be' {
  const [first, second] = octets;
  if (first === 0xff && second === 0xfe) return 'utf-16le';
  if (first === 0xfe && second === 0xff) return 'utf-16be';
  if (first !== 0 && second === 0) return 'utf-16le';
  return first === 0 && second !== 0 ? 'utf-16be' : 'utf-8';
}

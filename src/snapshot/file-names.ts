import { wallTimeIn } from '../model/wall-time.js';

/** Names that one widespread system keeps for devices, whatever follows the dot. */
const RESERVED = /^(con|prn|aux|nul|com\d|lpt\d)(\.|$)/i;
const LONGEST = 60;

/**
 * A file name that is safe everywhere, made from a name that anybody may have chosen: letters, digits, dot, hyphen and
 * underscore stay, the rest becomes one hyphen; never empty, never hidden, never a device's name, at most 60 characters.
 */
export function safeFileName(name: string): string {
  const plain = name
    .slice(0, LONGEST * 8)
    .normalize('NFC')
    .replace(/[^\p{L}\p{N}._-]+/gu, '-')
    .replace(/^[.-]+/u, '');
  const letters = Array.from(plain).slice(0, LONGEST);
  while (letters.at(-1) === '.' || letters.at(-1) === '-') letters.pop();
  const short = letters.join('');
  if (short === '') return 'unnamed';
  return RESERVED.test(short) ? `${short.replace('.', '-')}-` : short;
}

/** One safe file name for each name, all different even where case does not count: the second `a` becomes `a-2`. */
export function safeFileNames(names: readonly string[]): readonly string[] {
  const taken = new Set<string>();
  return names.map((name) => {
    const base = safeFileName(name);
    let candidate = base;
    for (let number = 2; taken.has(candidate.toLowerCase()); number += 1) candidate = `${base}-${number}`;
    taken.add(candidate.toLowerCase());
    return candidate;
  });
}

/** `outfeed-SITE-YYYY-MM-DD-HHMM` in the site's time zone (a name of the IANA zone table; UTC when there is none). */
export function snapshotFolderName(site: string, madeAt: string, timezone = 'UTC'): string {
  const { date, hour, minute } = wallTimeIn(timezone)(Date.parse(madeAt));
  return `outfeed-${safeFileName(site)}-${date}-${hour}${minute}`;
}

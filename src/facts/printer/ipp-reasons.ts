/** printer-state-reasons (RFC 8011 5.4.12) as devices send them. */

import type { IppAttributes } from '../../model/evidence.js';
import { SUFFIX_TRAPS } from '../../registry/reasons.generated.js';
import { keywordsIn } from '../attributes.js';
import { texts } from './ipp-values.js';
import type { Note } from './levels.js';

const TRAPS: ReadonlySet<string> = new Set(SUFFIX_TRAPS);

export interface Reason {
  /** Without its severity suffix. */
  readonly keyword: string;
  readonly severity: 'report' | 'warning' | 'error';
  /** False: no suffix was there, so the rule "treat as error" gave the severity. */
  readonly explicit: boolean;
}

/** Takes the suffix off; keywords that end in a suffix by themselves (`input-media-tray-feed-error`) stay whole. */
export function splitReason(reason: string): Reason {
  if (TRAPS.has(reason)) return { keyword: reason, severity: 'error', explicit: false };
  const parts = /^(.+)-(report|warning|error)$/.exec(reason);
  if (parts?.[1] === undefined) return { keyword: reason, severity: 'error', explicit: false };
  return { keyword: parts[1], severity: parts[2] as Reason['severity'], explicit: true };
}

/**
 * The reasons as lower-case keywords, suffixes kept, `none` and repeats left out. Keywords that nobody registered are
 * passed on. Empty without the attribute.
 */
export function readReasons(attributes: IppAttributes, note: Note): readonly string[] {
  const found = new Set<string>();
  let none = false;
  for (const text of texts(attributes, 'printer-state-reasons')) {
    const keywords = keywordsIn(text.toLowerCase());
    if (keywords.length > 1)
      note('printer-state-reasons holds several keywords in one value; each is read by itself (RFC 8011 5.1.4).');
    for (const keyword of keywords) {
      if (keyword === 'none') none = true;
      else found.add(keyword);
    }
  }
  if (none && found.size > 0)
    note(`printer-state-reasons holds none beside ${[...found].join(', ')}; none is left out (RFC 8011 5.4.12).`);
  return [...found];
}

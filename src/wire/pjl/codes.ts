/**
 * What a PJL status code of five digits says. The first two digits name a group. Groups: read in public technical
 * references of two makers, which agree; no standard holds them. Single codes: those that both references give alike,
 * and those marked "from memory". A code that is not listed keeps to what its group says.
 */

/**
 * `informs`: nothing is wrong. `goes-on`: worth mentioning, the printer stays on-line. `may-stop`: stops unless the
 * printer is set to continue by itself. `halts`: stops until somebody does something. `ours`: an error in what was
 * sent, nothing about the printer.
 */
export type Bearing = 'informs' | 'goes-on' | 'may-stop' | 'halts' | 'ours';

export interface CodeGroup {
  readonly name: string;
  readonly bearing: Bearing;
  /** printer-state-reasons keyword (RFC 8011, PWG 5100.9) of every code of the group, where all mean the same. */
  readonly reason?: string;
}

const GROUPS: Readonly<Record<number, CodeGroup>> = {
  10: { name: 'information', bearing: 'informs' },
  11: { name: 'paper out in a tray while another serves', bearing: 'goes-on', reason: 'media-empty' },
  12: { name: 'tray opened or lifting', bearing: 'informs' },
  15: { name: 'output bin', bearing: 'may-stop' },
  20: { name: 'PJL command not understood', bearing: 'ours' },
  25: { name: 'PJL command understood in part', bearing: 'ours' },
  27: { name: 'PJL command that cannot be carried out', bearing: 'ours' },
  30: { name: 'condition that may be continued from', bearing: 'may-stop' },
  32: { name: 'PJL file system', bearing: 'ours' },
  35: { name: 'attention may be needed', bearing: 'goes-on' },
  40: { name: 'attention needed', bearing: 'halts' },
  41: { name: 'paper out and no tray that serves', bearing: 'halts', reason: 'media-empty' },
  42: { name: 'paper jam', bearing: 'halts', reason: 'media-jam' },
  43: { name: 'optional paper handling', bearing: 'halts' },
  44: { name: 'paper jam', bearing: 'halts', reason: 'media-jam' },
  50: { name: 'hardware error', bearing: 'halts', reason: 'service-requested' },
  55: { name: 'language interpreter', bearing: 'may-stop' },
};

/** Codes whose keyword is certain enough to be used, beyond what the group says. */
const REASONS: Readonly<Record<number, string>> = {
  10002: 'offline', // from memory
  10003: 'warming-up', // from memory
  10006: 'toner-low',
  30016: 'interpreter-memory-exhausted', // "memory full"; the keyword in our words
  30017: 'interpreter-complex-page-encountered',
  30034: 'media-needed', // wrong size in the tray; one reference
  40019: 'output-area-full',
  40021: 'cover-open',
  40022: 'media-jam', // from memory
  40038: 'toner-low',
  40039: 'marker-supply-empty', // one reference
  40079: 'offline', // from memory
};

/** Group of a code; undefined for a code outside all groups. */
export function groupOf(code: number): CodeGroup | undefined {
  return GROUPS[Math.trunc(code / 1000)];
}

/** printer-state-reasons keyword of a code, null where none is certain. */
export function reasonOfCode(code: number): string | null {
  return REASONS[code] ?? groupOf(code)?.reason ?? null;
}

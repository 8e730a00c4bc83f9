import { PRINTER_STATE_REASONS, SUFFIX_TRAPS } from '../../registry/reasons.generated.js';

export type ReasonSeverity = 'error' | 'warning' | 'report';

const SUFFIX = /-(error|warning|report)$/;
const traps = new Set(SUFFIX_TRAPS);
const registered = new Set(PRINTER_STATE_REASONS);

/**
 * Takes the severity suffix off a printer-state-reasons keyword. A keyword without one counts as an error
 * (RFC 8011 5.4.12); some registered keywords end in `-error` themselves and keep it.
 */
export function splitReason(keyword: string): { base: string; severity: ReasonSeverity } {
  if (traps.has(keyword)) return { base: keyword, severity: 'error' };
  const match = SUFFIX.exec(keyword);
  if (!match) return { base: keyword, severity: 'error' };
  return { base: keyword.slice(0, match.index), severity: match[1] as ReasonSeverity };
}

/** Conditions that never stop a printer by their own meaning, whatever suffix a device puts on them. */
const MILD =
  /(^|-)(low|almost-empty|almost-full|almost-over|near-limit|near-eol|life-warn|power-saver|warming-up|adjusting-print-quality|moving-to-paused|stopped-partly)$/;

/** Events rather than conditions: something was added, closed, changed or switched on. */
const EVENT =
  /(^|-)(added|removed|closed|change|increase|decrease|turned-on|ready-to-print|power-up|entry|resource-added|resource-removed|cartridge-added|cartridge-deleted|resource-deleted|inactivity-timeout)$/;

/** Words of a spooler about itself, and "hold-new-jobs", which proves no fault by itself. */
const SPOOLERS_OWN = /^(cups-|hold-new-jobs$|identify-printer-requested$|job-|testing$)/;

/** Says that something is wrong without saying what. */
const VAGUE = new Set(['other', 'unknown', 'shutdown', 'subunit-offline', 'deactivated', 'timed-out', 'stopping']);

/** Scanning and faxing do not stop printing. */
const NOT_PRINTING = /^(scan|scanner|fax)-/;

export type Meaning = 'condition' | 'mild' | 'event' | 'aside';

/** What kind of thing a keyword speaks of, whatever its severity. */
export function meaningOf(base: string): Meaning {
  if (SPOOLERS_OWN.test(base) || NOT_PRINTING.test(base)) return 'aside';
  if (EVENT.test(base)) return 'event';
  if (MILD.test(base)) return 'mild';
  return 'condition';
}

/** True when the keyword names a condition precise enough to explain why a printer has stopped. */
export function explains(base: string): boolean {
  return registered.has(base) && !VAGUE.has(base);
}

export function isVague(base: string): boolean {
  return VAGUE.has(base);
}

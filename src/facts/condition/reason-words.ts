import { PRINTER_STATE_REASONS } from '../../registry/reasons.generated.js';

const registered = new Set(PRINTER_STATE_REASONS);

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

/** What other evidence says about the conditions that hrPrinterDetectedErrorState has bits for. */
import type { Alert, Cover } from '../../model/printer.js';
import { REASON_BY_ERROR_BIT } from '../../registry/reasons.generated.js';
import { splitReason } from './ipp-reasons.js';
import type { Note } from './levels.js';

/** Keywords that speak for a bit beside the one of the table (by meaning). */
const ALSO: Readonly<Record<string, readonly string[]>> = {
  lowPaper: ['media-low'],
  noPaper: ['media-empty', 'media-needed', 'input-manual-input-request'],
  lowToner: ['toner-low', 'marker-supply-low', 'marker-toner-almost-empty', 'marker-ink-almost-empty'],
  noToner: [
    'toner-empty',
    'marker-supply-empty',
    'marker-toner-empty',
    'marker-ink-empty',
    'marker-print-ribbon-empty',
  ],
  doorOpen: ['door-open', 'cover-open', 'interlock-open', 'input-media-tray-cover-open'],
  jammed: ['media-jam', 'media-path-jam', 'input-media-tray-jam'],
  offline: ['shutdown', 'offline', 'subunit-offline', 'paused'],
  inputTrayMissing: ['input-tray-missing'],
  outputTrayMissing: ['output-tray-missing'],
  markerSupplyMissing: [
    'marker-supply-missing',
    'marker-toner-cartridge-missing',
    'marker-toner-missing',
    'marker-ink-missing',
    'marker-print-ribbon-missing',
  ],
  outputNearFull: ['output-area-almost-full'],
  outputFull: ['output-area-full'],
  inputTrayEmpty: ['media-empty'],
};

/** Whether a keyword without its suffix names the condition of a bit. */
export function speaksFor(bit: string, keyword: string): boolean {
  if (bit === 'jammed' && keyword.endsWith('-jam')) return true;
  return REASON_BY_ERROR_BIT[bit] === keyword || (ALSO[bit] ?? []).includes(keyword);
}

/** Bit names that an alert, an open cover or a printer-state-reason speaks for. */
export function witnessedBits(
  alerts: readonly Alert[],
  covers: readonly Cover[],
  reasons: readonly string[],
): ReadonlySet<string> {
  const keywords = [...alerts.flatMap((alert) => (alert.reason === null ? [] : [alert.reason])), ...reasons].map(
    (reason) => splitReason(reason).keyword,
  );
  if (covers.some((cover) => cover.state === 'coverOpen')) keywords.push('cover-open');
  if (covers.some((cover) => cover.state === 'interlockOpen')) keywords.push('interlock-open');
  const bits = Object.keys(REASON_BY_ERROR_BIT).filter((bit) => keywords.some((keyword) => speaksFor(bit, keyword)));
  return new Set(bits.filter((bit) => REASON_BY_ERROR_BIT[bit] !== 'other'));
}

/** Bits that stop output and that an alert can speak for. */
const STOPPING = [
  'noPaper',
  'noToner',
  'doorOpen',
  'jammed',
  'inputTrayMissing',
  'outputTrayMissing',
  'markerSupplyMissing',
  'outputFull',
] as const;

/** Pairs of bits that devices set for each other. */
const NEAR: Readonly<Record<string, readonly string[]>> = { noPaper: ['inputTrayEmpty', 'inputTrayMissing'] };

/** Says where the error state and the alert table of one agent contradict each other. Both stay as they were read. */
export function noteContradictions(errorBits: readonly string[] | null, alerts: readonly Alert[], note: Note): void {
  if (errorBits === null) return;
  const all = witnessedBits(alerts, [], []);
  const unheard = STOPPING.filter((bit) => errorBits.includes(bit) && !all.has(bit));
  if (unheard.length > 0)
    note(
      `The error state says ${unheard.join(', ')}, but no row of the alert table does; both are kept, the alert table is the better witness.`,
    );
  const critical = witnessedBits(
    alerts.filter((alert) => alert.severity === 'critical'),
    [],
    [],
  );
  const set = (bit: string): boolean =>
    errorBits.includes(bit) || (NEAR[bit] ?? []).some((near) => errorBits.includes(near));
  const unset = STOPPING.filter((bit) => critical.has(bit) && !set(bit));
  if (unset.length > 0)
    note(
      `The alert table says ${unset.join(', ')} (critical), but the error state does not; both are kept, the alert table is the better witness.`,
    );
}

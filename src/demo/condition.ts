/**
 * What a made-up printer says of its state, worked out from its alerts by the standards' pairing, so that a scenario
 * needs to name only the alert. Whatever a scenario states itself wins: real devices break the pairing often enough.
 */
import { ALERT_CODES, ENUMS, ERROR_STATE_BITS } from '../registry/enums.generated.js';
import { REASON_BY_CODE, REASON_BY_GROUP_AND_CODE, SUFFIX_BY_SEVERITY } from '../registry/reasons.generated.js';
import type { PrinterScenario, ScenarioAlert } from './device.js';
import { numberOf } from './snmp-objects.js';

/** One alert with its numbers. */
export interface Row {
  readonly alert: ScenarioAlert;
  readonly row: number;
  readonly severity: number;
  readonly group: number;
  readonly code: number;
  /** printer-state-reasons keyword without its suffix. */
  readonly keyword: string;
}

export interface Condition {
  readonly rows: readonly Row[];
  readonly device: string;
  readonly printer: string;
  readonly errorBits: readonly string[];
  readonly ippState: 'idle' | 'processing' | 'stopped';
  readonly reasons: readonly string[];
}

/** Reads a scenario's state. Throws on a word that no table of the standards knows. */
export function conditionOf(scenario: PrinterScenario): Condition {
  const rows = scenario.alerts.map(alertRow);
  const critical = rows.some((row) => row.severity === 3);
  const snmp = scenario.snmp || undefined;
  const ipp = scenario.ipp || undefined;
  const down = critical || scenario.state === 'paused' || scenario.state === 'stopped';
  return {
    rows,
    device: snmp?.device ?? (down ? 'down' : rows.some((row) => row.severity === 4) ? 'warning' : 'running'),
    printer: snmp?.printer ?? printerStatus(scenario, down),
    errorBits: snmp?.errorBits ?? bitsOf(scenario, rows),
    ippState: ipp?.state ?? (down ? 'stopped' : scenario.state === 'printing' ? 'processing' : 'idle'),
    reasons: ipp?.reasons ?? reasonsOf(scenario, rows),
  };
}

function alertRow(alert: ScenarioAlert, position: number): Row {
  const severity = numberOf(ENUMS.PrtAlertSeverityLevelTC, alert.severity, 'prtAlertSeverityLevel');
  const group = numberOf(ENUMS.PrtAlertGroupTC, alert.group, 'prtAlertGroup');
  const code = typeof alert.code === 'number' ? alert.code : codeOf(alert.code);
  const keyword = REASON_BY_GROUP_AND_CODE[`${group}:${code}`] ?? REASON_BY_CODE[code] ?? 'other';
  return { alert, row: alert.row ?? position + 1, severity, group, code, keyword };
}

function codeOf(label: string): number {
  const hit = Object.entries(ALERT_CODES).find(([, code]) => code.name === label);
  if (!hit) throw new Error(`prtAlertCode has no value called ${label}`);
  return Number(hit[0]);
}

/** Pairs of hrDeviceStatus and hrPrinterStatus: RFC 3805 2.2.13.2. Standby is running(2) with other(1). */
function printerStatus(scenario: PrinterScenario, down: boolean): string {
  if (down || scenario.state === 'asleep') return 'other';
  return scenario.state === 'printing' || scenario.state === 'warmup' ? scenario.state : 'idle';
}

/** Keyword of a reason → bits of hrPrinterDetectedErrorState (RFC 2790) that go with it, matched by meaning. */
const BITS: readonly (readonly [RegExp, readonly string[]])[] = [
  [/^media-low$/, ['lowPaper']],
  [/^(media-empty|media-needed)$/, ['noPaper', 'inputTrayEmpty']],
  [/^input-tray-missing$/, ['inputTrayMissing']],
  [/^output-tray-missing$/, ['outputTrayMissing']],
  [/jam$/, ['jammed']],
  [/^output-area-almost-full$/, ['outputNearFull']],
  [/^output-area-full$/, ['outputFull']],
  [/^(toner-low|marker-supply-low|marker-ink-almost-empty)$/, ['lowToner']],
  [/^(toner-empty|marker-supply-empty|marker-ink-empty)$/, ['noToner']],
  [/^marker-supply-missing$/, ['markerSupplyMissing']],
  [/^(cover-open|door-open|interlock-open)$/, ['doorOpen']],
  [/^subunit-offline$/, ['offline']],
];

function bitsOf(scenario: PrinterScenario, rows: readonly Row[]): string[] {
  const bits = new Set<string>(scenario.state === 'paused' ? ['offline'] : []);
  for (const row of rows) {
    const [, found] = BITS.find(([pattern]) => pattern.test(row.keyword)) ?? [];
    if (found) {
      // An empty tray beside a full one is no "no paper": the printer can go on (RFC 2790 lists the two bits apart).
      for (const bit of found) if (!(bit === 'noPaper' && row.severity !== 3)) bits.add(bit);
    } else if (row.severity === 3) {
      bits.add('serviceRequested');
    }
  }
  return ERROR_STATE_BITS.filter((bit) => bits.has(bit));
}

function reasonsOf(scenario: PrinterScenario, rows: readonly Row[]): string[] {
  const reasons = rows.map((row) => `${row.keyword}${SUFFIX_BY_SEVERITY[row.severity] ?? ''}`);
  if (scenario.state === 'paused') reasons.unshift('paused');
  return reasons.length > 0 ? [...new Set(reasons)] : ['none'];
}

/** hrPrinterDetectedErrorState: bit 0 is the top bit of the first octet (RFC 2790). Two octets, as RFC 3805 era agents send. */
export function errorOctets(bits: readonly string[]): Buffer {
  const octets = Buffer.alloc(2);
  for (const name of bits) {
    const bit = ERROR_STATE_BITS.indexOf(name);
    if (bit < 0) throw new Error(`hrPrinterDetectedErrorState has no bit called ${name}`);
    octets[bit >> 3] = (octets[bit >> 3] ?? 0) | (0x80 >> (bit & 7));
  }
  return octets;
}

/** PrtSubUnitStatusTC of row `index` of a group: availability plus 8 for non-critical, 16 for critical alerts (RFC 3805 2.2.13.2.2). */
export function subUnitStatus(rows: readonly Row[], group: string, index: number): number {
  const mine = rows.filter((row) => row.alert.group === group && row.alert.index === index);
  const broken = mine.some((row) => row.severity === 3);
  // Availability: 0 available and idle, 3 unavailable because broken.
  return (broken ? 3 + 16 : 0) + (mine.some((row) => row.severity === 4) ? 8 : 0);
}

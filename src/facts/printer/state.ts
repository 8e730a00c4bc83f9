/** What a printer says of its state: the triple of RFC 2790, and printer-state of RFC 8011. */
import type { DeviceState } from '../../model/printer.js';
import { ENUMS } from '../../registry/enums.generated.js';
import { PRINTER_STATE_NAMES } from '../../registry/ipp.generated.js';
import { readErrorBits } from './error-bits.js';
import { readReasons } from './ipp-reasons.js';
import { firstBoolean, firstText, type IppReading, valuesOf } from './ipp-values.js';
import type { Note } from './levels.js';
import type { Parts, SnmpDevice } from './parts.js';
import type { From } from './precedence.js';
import { integer, plainRows, type Row } from './snmp-tables.js';
import { noteContradictions, witnessedBits } from './witnesses.js';

function hostRow(snmp: SnmpDevice, table: string): Row | undefined {
  return plainRows(snmp.tables, table).find(({ index }) => index === snmp.host)?.row;
}

function ippState(ipp: IppReading | undefined): DeviceState['ipp'] {
  const value = ipp === undefined ? undefined : valuesOf(ipp.attributes, 'printer-state')[0]?.value;
  const name = typeof value === 'number' ? PRINTER_STATE_NAMES[value] : value;
  return name === 'idle' || name === 'processing' || name === 'stopped' ? name : null;
}

interface SnmpState {
  readonly device: DeviceState['device'];
  readonly printer: DeviceState['printer'];
  readonly errorBits: readonly string[] | null;
}

function snmpState(snmp: SnmpDevice | undefined, parts: Parts, reasons: readonly string[], note: Note): SnmpState {
  if (snmp === undefined) return { device: null, printer: null, errorBits: null };
  const device = hostRow(snmp, 'hrDeviceTable');
  const printer = hostRow(snmp, 'hrPrinterTable');
  const byLabel = (row: Row | undefined, column: string): string | null =>
    ENUMS[column]?.[integer(row, column) ?? -1] ?? null;
  const errorBits = readErrorBits(
    printer?.get('hrPrinterDetectedErrorState'),
    witnessedBits(parts.alerts, parts.covers, reasons),
    note,
  );
  const alertsRead = snmp.tables.read.has('prtAlertTable') || snmp.tables.rows.has('prtAlertTable');
  if (alertsRead)
    noteContradictions(
      errorBits,
      parts.alerts.filter((alert) => alert.source === 'snmp'),
      note,
    );
  return {
    device: byLabel(device, 'hrDeviceStatus') as SnmpState['device'],
    printer: byLabel(printer, 'hrPrinterStatus') as SnmpState['printer'],
    errorBits,
  };
}

function noteSources(from: From, state: DeviceState, errorBits: readonly string[] | null): void {
  if (state.device !== null) from.set('device', 'snmp');
  if (state.printer !== null) from.set('printer', 'snmp');
  if (errorBits !== null) from.set('errorBits', 'snmp');
  if (state.ipp !== null) from.set('ipp', 'ipp');
  if (state.reasons.length > 0) from.set('reasons', 'ipp');
  if (state.accepting !== null) from.set('accepting', 'ipp');
}

/** Pairs that RFC 3805 2.2.13.2 doesn't allow: said, and kept as they are. */
function notePairs({ device, printer }: DeviceState, note: Note): void {
  if (device === 'down' && (printer === 'idle' || printer === 'printing'))
    note(`hrDeviceStatus down goes with no hrPrinterStatus ${printer} (RFC 3805 2.2.13.2); both are kept.`);
}

/** Where SNMP and IPP tell a different story about whether the printer stands still. */
function noteSourcesApart({ device, printer, ipp }: DeviceState, note: Note): void {
  const active = printer === 'idle' || printer === 'printing';
  if (ipp === 'stopped' && active && device !== 'down')
    note(`IPP says stopped while SNMP says ${printer}; both are kept, one of the two is late or wrong.`);
  if ((ipp === 'idle' || ipp === 'processing') && device === 'down')
    note(`IPP says ${ipp} while SNMP says the device is down; both are kept, one of the two is late or wrong.`);
}

/** Reads the state; the parts are witnesses to the order of the error bits. */
export function readState(
  snmp: SnmpDevice | undefined,
  ipp: IppReading | undefined,
  parts: Parts,
  from: From,
  note: Note,
): DeviceState {
  const reasons = ipp === undefined ? [] : readReasons(ipp.attributes, note);
  const bySnmp = snmpState(snmp, parts, reasons, note);
  const state: DeviceState = {
    device: bySnmp.device,
    printer: bySnmp.printer,
    errorBits: bySnmp.errorBits ?? [],
    ipp: ippState(ipp),
    reasons,
    accepting: ipp === undefined ? null : firstBoolean(ipp.attributes, 'printer-is-accepting-jobs'),
    message: ipp === undefined ? null : firstText(ipp.attributes, 'printer-state-message'),
  };
  noteSources(from, state, bySnmp.errorBits);
  notePairs(state, note);
  noteSourcesApart(state, note);
  return state;
}

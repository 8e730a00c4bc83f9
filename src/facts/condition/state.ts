import type { Alert, DeviceState } from '../../model/printer.js';

/** What the state objects of the two sources come to, before any reason is read. */
export interface StateWord {
  /** hrDeviceStatus and hrPrinterStatus (RFC 2790): null when SNMP gave none. */
  readonly snmp: 'stopped' | 'warning' | 'fine' | null;
  readonly ipp: 'stopped' | 'fine' | null;
  readonly printing: boolean;
  /** A job is under way by either source. IPP may keep saying so through a jam, so it rules no other word out. */
  readonly busy: boolean;
  readonly warmingUp: boolean;
  /** RFC 3805 2.2.13.2: running(2) with other(1). */
  readonly standby: boolean;
  /** A bit of hrPrinterDetectedErrorState that goes with a stopped device is set. */
  readonly stopBit: boolean;
}

/** Bits that RFC 1514 pairs with down(5), and those of RFC 2790 that name a missing or full part. */
export const STOP_BITS: ReadonlySet<string> = new Set([
  'noPaper',
  'noToner',
  'doorOpen',
  'jammed',
  'offline',
  'inputTrayMissing',
  'outputTrayMissing',
  'markerSupplyMissing',
  'outputFull',
]);

function snmpWord(state: DeviceState): StateWord['snmp'] {
  switch (state.device) {
    case 'down':
      // RFC 3805 2.2.13.2: down(5) with warmup(5) is a printer moving on-line.
      return state.printer === 'warmup' ? 'warning' : 'stopped';
    case 'warning':
      return 'warning';
    case 'running':
      return 'fine';
    default:
      return state.printer === 'idle' || state.printer === 'printing' ? 'fine' : null;
  }
}

export function readState(state: DeviceState): StateWord {
  return {
    snmp: snmpWord(state),
    ipp: state.ipp === null ? null : state.ipp === 'stopped' ? 'stopped' : 'fine',
    printing: state.printer === 'printing',
    busy: state.printer === 'printing' || state.ipp === 'processing',
    warmingUp: state.printer === 'warmup',
    standby: state.device === 'running' && state.printer === 'other' && state.ipp !== 'processing',
    stopBit: state.errorBits.some((bit) => STOP_BITS.has(bit)),
  };
}

/** Either source says that the device has stopped. */
export function saysStopped(word: StateWord): boolean {
  return word.snmp === 'stopped' || word.ipp === 'stopped';
}

/** Critical rows leave the alert table when their condition ends (RFC 3805 2.2.13); some devices leave them behind. */
export function isCritical(alert: Alert): boolean {
  return alert.severity === 'critical';
}

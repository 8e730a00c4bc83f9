/**
 * What an event of a Windows host says of its print service. Numbers and their messages:
 *
 * | source | number | message, in short | from |
 * |---|---|---|---|
 * | Service Control Manager | 7031 | service terminated unexpectedly, %2 time(s), action %5 in %3 ms | published, "Event ID 7031, Service Stop Operations" |
 * | Service Control Manager | 7034 | service terminated unexpectedly, %2 time(s) | from memory |
 * | Service Control Manager | 7036 | service entered the %2 state | published, "Basic Service Operations" |
 * | Application Error | 1000 | faulting application %1, module %4 | from memory |
 * | PrintService | 99 | the spooler met a fatal error and must terminate | published, "Print Spooler Status" |
 * | PrintService | 800 | spooling job %1: once, when it comes | from memory |
 * | PrintService | 801, 805 | printing job %1, rendering job %1 | from memory |
 * | PrintService | 842 | job %1 went through processor %2 on printer %3, driver %4 | published in an event list |
 * | PrintService | 307 | document %1 %2 of %3 printed on %5 | from memory |
 * | PrintService | 310, 802 | document or job deleted | from memory |
 * | PrintService | 372 | document %1 of %2 failed to print on %3; no number of a job | from memory |
 * | PrintService | 23, 319 | printer failed to initialise, no suitable driver %2 | published, "Print Spooler Status" (319), event list (23) |
 * | PrintService | 215 | installing driver failed, error code | published in an event list |
 * | PrintService | 600, 1 | importing a driver failed | event list (1), from memory (600) |
 */
import type { HostEvent } from '../model/print-host.js';

/** What is told of a job. Null: this event does not say. */
export interface JobTraits {
  readonly id: number;
  readonly document: string | null;
  readonly user: string | null;
  readonly driver: string | null;
  readonly format: string | null;
  readonly queue: string | null;
}

export type Meaning =
  | { readonly kind: 'crash'; readonly count: number | null; readonly certain: boolean }
  | { readonly kind: 'module'; readonly module: string | null }
  | { readonly kind: 'service-start' | 'service-stop' }
  | { readonly kind: 'job-new' | 'job-seen' | 'job-start' | 'job-end'; readonly job: JobTraits }
  | { readonly kind: 'driver-absent'; readonly driver: string | null; readonly queue: string | null }
  | { readonly kind: 'driver-refused'; readonly driver: string | null; readonly error: number };

const SERVICES = /service control manager/i;
const PRINT = /print(service|spooler)/i;
const CRASH_REPORT = /^application error$/i;

/** Names of the service as the control manager shows it; the binary part names it whatever the language. */
const SPOOLER_NAME = /spooler/i;

/** Undefined: the event says nothing that counts here. */
export function meaningOf(event: HostEvent): Meaning | undefined {
  if (SERVICES.test(event.provider)) return serviceMeaning(event);
  if (CRASH_REPORT.test(event.provider)) return crashReport(event);
  return PRINT.test(event.provider) ? printMeaning(event) : undefined;
}

function serviceMeaning({ id, data }: HostEvent): Meaning | undefined {
  if (!isSpooler(data)) return undefined;
  if (id === 7031 || id === 7034) return { kind: 'crash', count: whole(value(data, 'param2')), certain: true };
  if (id !== 7036) return undefined;
  const state = stateNumber(data) ?? (value(data, 'param2') ?? '').toLowerCase();
  if (state === '4' || /^(running|started)/.test(state)) return { kind: 'service-start' };
  return state === '1' || /^stopped/.test(state) ? { kind: 'service-stop' } : undefined;
}

function isSpooler(data: HostEvent['data']): boolean {
  return SPOOLER_NAME.test(value(data, 'param1') ?? '') || /^spooler(\/|$)/i.test(binaryText(data));
}

/** `Binary` of event 7036 is the service's short name and its state in UTF-16: `Spooler/4`, 4 running, 1 stopped (from memory). */
function stateNumber(data: HostEvent['data']): string | undefined {
  return /^[^/]+\/(\d)$/.exec(binaryText(data))?.[1];
}

function binaryText(data: HostEvent['data']): string {
  const hex = data.Binary ?? '';
  if (!/^([0-9a-f]{4})+$/i.test(hex) || hex.length > 1000) return '';
  const units = hex.match(/.{4}/g) ?? [];
  const codes = units.map((unit) => Number.parseInt(unit.slice(2) + unit.slice(0, 2), 16));
  const end = codes.indexOf(0);
  return String.fromCharCode(...(end < 0 ? codes : codes.slice(0, end)));
}

function crashReport({ id, data }: HostEvent): Meaning | undefined {
  const application = value(data, 'AppName', 'param1') ?? '';
  if (id !== 1000 || !/^spoolsv\.exe$/i.test(application)) return undefined;
  return { kind: 'module', module: value(data, 'ModuleName', 'param4') };
}

const STARTS = new Set([801, 805]);
const ENDS = new Set([307, 310, 802]);
const INSTALLS = new Set([215, 600, 1]);

function printMeaning({ id, data }: HostEvent): Meaning | undefined {
  if (id === 99) return { kind: 'crash', count: null, certain: false };
  if (id === 23 || id === 319) {
    return {
      kind: 'driver-absent',
      driver: value(data, 'DriverName', 'param2'),
      queue: value(data, 'PrinterName', 'param1'),
    };
  }
  if (INSTALLS.has(id)) {
    const error = errorOf(data);
    return error === null
      ? undefined
      : { kind: 'driver-refused', driver: value(data, 'DriverName', 'ObjectName', 'param1'), error };
  }
  const job = traitsOf(id, data);
  if (job === null) return undefined;
  if (STARTS.has(id)) return { kind: 'job-start', job };
  if (ENDS.has(id)) return { kind: 'job-end', job };
  if (id === 800) return { kind: 'job-new', job };
  return id === 842 ? { kind: 'job-seen', job } : undefined;
}

/** Event 307 and its kin number their values: id, document, owner, computer, printer, port. Others name them. */
function traitsOf(id: number, data: HostEvent['data']): JobTraits | null {
  const numbered = id === 307 || id === 310;
  const number = whole(value(data, 'JobId', 'JobID', 'Param1', 'param1'));
  if (number === null) return null;
  return {
    id: number,
    document: value(data, 'DocumentName', 'Document', ...(numbered ? ['Param2', 'param2'] : [])),
    user: value(data, 'UserName', 'User', 'Owner', ...(numbered ? ['Param3', 'param3'] : [])),
    driver: value(data, 'Driver', 'DriverName'),
    format: value(data, 'DataType', 'Datatype'),
    queue: value(data, 'Printer', 'PrinterName', ...(numbered ? ['Param5', 'param5'] : [])),
  };
}

function value(data: HostEvent['data'], ...names: readonly string[]): string | null {
  for (const name of names) {
    const found = Object.hasOwn(data, name) ? data[name] : undefined;
    if (found !== undefined && found !== '') return found;
  }
  return null;
}

function whole(text: string | null): number | null {
  return text !== null && /^\d{1,9}$/.test(text) ? Number(text) : null;
}

/** Error codes come in decimal or as `0x5`. */
function errorOf(data: HostEvent['data']): number | null {
  const text = value(data, 'ErrorCode', 'Error', 'error', 'HResult', 'param2');
  return text !== null && /^(0x[0-9a-f]{1,8}|\d{1,10})$/i.test(text) ? Number(text) : null;
}

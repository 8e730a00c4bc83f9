import {
  type HostDriver,
  type HostEvent,
  type HostJob,
  type HostPort,
  type HostQueue,
  PRINT_HOST_SCHEMA,
  type PrintHostReport,
} from '../../src/model/print-host.js';

export const HOST = 'PRINTHOST-1';
export const MADE_AT = '2026-01-31T09:00:00.000Z';
export const ADDRESS = '192.0.2.21';
/** Everyone prints, administrators do all, owners manage their own jobs: the usual descriptor (from memory). */
export const USUAL_SDDL =
  'G:SYD:(A;;LCSWSDRCWDWO;;;BA)(A;OIIO;RPWPSDRCWDWO;;;BA)(A;;SWRC;;;WD)(A;CIIO;RC;;;CO)(A;OIIO;RPWPSDRCWDWO;;;CO)';

export const hostQueue = (more: Partial<HostQueue> = {}): HostQueue => ({
  name: 'front-desk',
  shareName: 'front-desk',
  portName: `IP_${ADDRESS}`,
  driverName: 'Sandpiper 300 PCL 6',
  status: 0,
  offline: false,
  shared: true,
  datatype: 'RAW',
  printProcessor: 'winprint',
  comment: null,
  location: null,
  permissions: { sddl: USUAL_SDDL, names: {} },
  ...more,
});
export const hostPort = (more: Partial<HostPort> = {}): HostPort => ({
  name: `IP_${ADDRESS}`,
  monitor: 'TCPMON.DLL',
  hostAddress: ADDRESS,
  portNumber: 9100,
  protocol: 'raw',
  lprQueue: null,
  ...more,
});
export const hostDriver = (more: Partial<HostDriver> = {}): HostDriver => ({
  name: 'Sandpiper 300 PCL 6',
  environment: 'Windows x64',
  majorVersion: 3,
  version: '4.1.0.0',
  files: ['C:\\spool\\drivers\\x64\\3\\sand300.dll'],
  missingFiles: [],
  ...more,
});
export const hostJob = (id: number, more: Partial<HostJob> = {}): HostJob => ({
  queue: 'front-desk',
  id,
  document: `letter ${id}`,
  user: 'mira',
  status: 0,
  bytes: 40_960,
  pages: 3,
  pagesPrinted: 0,
  submittedAt: '2026-01-31T08:50:00.000Z',
  datatype: 'RAW',
  ...more,
});

/** A host that is well, with one queue to the printer; parts of it may be replaced. */
export const hostReport = (more: Partial<PrintHostReport> = {}): PrintHostReport => ({
  schema: PRINT_HOST_SCHEMA,
  madeAt: MADE_AT,
  host: HOST,
  days: 7,
  ranAs: { user: 'EXAMPLE\\operator', groups: ['BUILTIN\\Administrators'], elevated: true },
  system: { name: 'Server', version: '10.0', osArchitecture: 'AMD64', processArchitecture: 'AMD64' },
  spooler: {
    state: 'Running',
    startMode: 'Auto',
    startedAt: '2026-01-30T06:00:00.000Z',
    recovery: { resetSeconds: 86_400, actions: [restart, restart, { action: 'none', delayMs: 0 }] },
  },
  policies: { driversOnlyByAdministrators: null },
  queues: [hostQueue()],
  ports: [hostPort()],
  drivers: [hostDriver()],
  jobs: [],
  events: [],
  ...more,
});
export const restart = { action: 'restart', delayMs: 60_000 } as const;

const PRINT_SERVICE = 'Microsoft-Windows-PrintService';
const CONTROL_MANAGER = 'Service Control Manager';
/** UTF-16 of `Spooler/4` and the like, as the control manager adds it. */
const binary = (text: string): string =>
  [...text].map((c) => (c.codePointAt(0) ?? 0).toString(16).padStart(2, '0').toUpperCase().concat('00')).join('');

const event = (provider: string, id: number, at: number, data: HostEvent['data']): HostEvent => ({
  provider,
  id,
  at: new Date(at).toISOString(),
  data,
});
export const terminated = (at: number, count: number, name = 'Print Spooler'): HostEvent =>
  event(CONTROL_MANAGER, 7031, at, {
    param1: name,
    param2: String(count),
    param3: '60000',
    param4: '1',
    param5: 'Restart the service',
  });
export const running = (at: number, name = 'Print Spooler'): HostEvent =>
  event(CONTROL_MANAGER, 7036, at, { param1: name, param2: 'running', Binary: binary('Spooler/4') });
export const spooling = (at: number, id: number): HostEvent => event(PRINT_SERVICE, 800, at, { JobId: String(id) });
export const printing = (at: number, id: number): HostEvent => event(PRINT_SERVICE, 801, at, { JobId: String(id) });
export const printed = (
  at: number,
  id: number,
  more: { document?: string; user?: string; queue?: string } = {},
): HostEvent =>
  event(PRINT_SERVICE, 307, at, {
    Param1: String(id),
    Param2: more.document ?? `letter ${id}`,
    Param3: more.user ?? 'jonas',
    Param4: '\\\\DESK-7',
    Param5: more.queue ?? 'front-desk',
    Param6: `IP_${ADDRESS}`,
    Param7: '40960',
    Param8: '3',
  });
export const sandboxed = (at: number, id: number, driver: string, queue = 'front-desk'): HostEvent =>
  event(PRINT_SERVICE, 842, at, {
    JobId: String(id),
    Processor: 'winprint',
    Printer: queue,
    Driver: driver,
    IsolationMode: '0',
    ErrorCode: '0x0',
  });
export const faulting = (at: number, module: string): HostEvent =>
  event('Application Error', 1000, at, { param1: 'spoolsv.exe', param2: '10.0', param3: '0', param4: module });
export const driverRefused = (at: number, driver: string, error: string): HostEvent =>
  event(PRINT_SERVICE, 215, at, { DriverName: driver, ErrorCode: error });
export const driverNotFound = (at: number, queue: string, driver: string): HostEvent =>
  event(PRINT_SERVICE, 319, at, { PrinterName: queue, DriverName: driver });

const MINUTE = 60_000;
export const END = Date.parse(MADE_AT);

/** Jobs that print well, one each five minutes for a while before the trouble. */
export const ordinary = (count: number, first = 1): HostEvent[] =>
  Array.from({ length: count }, (_, i) => END - 9 * 3600_000 + i * 5 * MINUTE).flatMap((at, i) => [
    printing(at, first + i),
    printed(at + 12_000, first + i),
  ]);

/** Crashes, each two seconds into what `job` gives, two minutes apart, the last one a few minutes before the report. */
export const crashing = (count: number, job: (i: number) => number): HostEvent[] =>
  Array.from({ length: count }, (_, i) => END - (count - i + 2) * 2 * MINUTE).flatMap((at, i) => [
    running(at),
    printing(at + 3000, job(i)),
    terminated(at + 5000, i + 1),
  ]);

import type { PrintHostReport } from '../../src/model/print-host.js';
import {
  crashing,
  driverNotFound,
  driverRefused,
  END,
  faulting,
  hostDriver,
  hostJob,
  hostPort,
  hostQueue,
  hostReport,
  ordinary,
  printed,
  printing,
  restart,
  running,
  sandboxed,
  spooling,
  terminated,
} from './report-builder.js';

/**
 * Reports made by hand in the published shapes: properties of the documented cmdlets, the event schema, numbers of events as
 * `src/printhost/meaning.ts` lists them with their sources.
 */
export interface ReportRow {
  readonly name: string;
  readonly report: PrintHostReport;
  readonly argv?: readonly string[];
  readonly code: number;
  /** Causes of the first queue, in order. */
  readonly causes: readonly string[];
  readonly suspect?: {
    readonly kind: string;
    readonly job?: number;
    readonly driver?: string;
    readonly document?: string | null;
    readonly user?: string | null;
  } | null;
  readonly says?: RegExp;
}

const MINUTE = 60_000;
const down = { state: 'Stopped', startMode: 'Auto', startedAt: null, recovery: { denied: 'Access is denied.' } };
const recovery = (...actions: readonly ('restart' | 'none' | 'reboot')[]) => ({
  state: 'Running',
  startMode: 'Auto',
  startedAt: null,
  recovery: { resetSeconds: 86_400, actions: actions.map((action) => ({ action, delayMs: 60_000 })) },
});
const loopOf = (count: number, job: (i: number) => number) => [...ordinary(20), ...crashing(count, job)];
const mira = 'S-1-5-21-9-1001';
const guests = 'S-1-5-21-9-513';

export const REPORTS: readonly ReportRow[] = [
  { name: 'well', report: hostReport(), code: 0, causes: [] },
  { name: 'the print service is stopped', report: hostReport({ spooler: down }), code: 1, causes: ['spooler-down'] },
  { name: 'paused', report: hostReport({ queues: [hostQueue({ status: 0x1 })] }), code: 1, causes: ['queue-paused'] },
  {
    name: 'set to work offline',
    report: hostReport({ queues: [hostQueue({ offline: true })] }),
    code: 1,
    causes: ['queue-paused'],
    says: /set to work offline/,
  },
  {
    // PRINTER_STATUS_OFFLINE (MS-RPRN 2.2.3.12) without "use printer offline": by the port, not by a person.
    name: 'counted as offline by its port',
    report: hostReport({ queues: [hostQueue({ status: 0x80 })] }),
    code: 1,
    causes: ['queue-paused'],
    says: /counts its printer as offline/,
  },
  {
    name: 'about to be deleted: takes no new jobs',
    report: hostReport({ queues: [hostQueue({ status: 0x4 })] }),
    code: 1,
    causes: ['queue-rejecting'],
  },
  {
    name: 'its first job has printed for an hour',
    report: hostReport({
      queues: [hostQueue({ status: 0x400 })],
      jobs: [hostJob(7, { status: 0x10, submittedAt: '2026-01-31T08:00:00Z' }), hostJob(8)],
    }),
    code: 1,
    causes: ['head-job-stuck'],
    says: /60 min/,
  },
  { name: 'a job paused', report: hostReport({ jobs: [hostJob(7, { status: 0x1 })] }), code: 1, causes: ['job-held'] },
  {
    name: 'a job in error',
    report: hostReport({ jobs: [hostJob(7, { status: 0x2 })] }),
    code: 1,
    causes: ['job-aborted'],
    says: /"certainty":\s*"likely"/,
  },
  {
    name: 'a job that wants paper',
    report: hostReport({ jobs: [hostJob(7, { status: 0x10 | 0x40 })] }),
    code: 1,
    causes: ['job-waits-for-media'],
  },
  {
    name: 'a driver for 32 bits on a host of 64',
    report: hostReport({ drivers: [hostDriver({ environment: 'Windows NT x86' })] }),
    code: 1,
    causes: ['driver-wrong-architecture'],
    says: /32-bit \(x86\).*64-bit \(x64\)/,
  },
  {
    name: 'both environments are there: no fault',
    report: hostReport({ drivers: [hostDriver({ environment: 'Windows NT x86' }), hostDriver()] }),
    code: 0,
    causes: [],
  },
  {
    name: 'an x64 driver on an ARM64 host',
    report: hostReport({
      system: { name: 'Server', version: '10.0', osArchitecture: 'ARM64', processArchitecture: 'ARM64' },
    }),
    code: 1,
    causes: ['driver-wrong-architecture'],
  },
  {
    name: 'the driver that the queue names is not installed',
    report: hostReport({ drivers: [hostDriver({ name: 'Heron XPS' })] }),
    code: 1,
    causes: ['driver-missing'],
  },
  {
    name: 'a file of the driver is gone',
    report: hostReport({ drivers: [hostDriver({ missingFiles: ['C:\\spool\\drivers\\x64\\3\\sand300.dll'] })] }),
    code: 1,
    causes: ['driver-missing'],
    says: /without its file C:\\\\spool/,
  },
  {
    name: 'only the help of the driver is gone: nothing is printed with it',
    report: hostReport({ drivers: [hostDriver({ missingFiles: ['C:\\spool\\drivers\\x64\\3\\SAND300.HLP'] })] }),
    code: 0,
    causes: [],
  },
  {
    name: 'drivers could not be read: that is not "none"',
    report: hostReport({ drivers: { denied: 'Access is denied.' } }),
    code: 0,
    causes: [],
    says: /could not tell of drivers: Access is denied/,
  },
  {
    name: 'a driver refused for want of a right',
    report: hostReport({
      events: [driverRefused(END - MINUTE, 'Sandpiper 300 PCL 6', '0x5')],
      policies: { driversOnlyByAdministrators: true },
    }),
    code: 1,
    causes: ['driver-rights'],
    says: /only administrators may install drivers/,
  },
  {
    name: 'a driver that failed for another reason accuses no right',
    report: hostReport({ events: [driverRefused(END - MINUTE, 'Sandpiper 300 PCL 6', '0x2')] }),
    code: 0,
    causes: [],
  },
  {
    name: 'whoever has the name of the account that made the report in another domain is in none of its groups',
    report: hostReport({
      queues: [hostQueue({ permissions: { sddl: 'D:(A;;SWRC;;;BU)', names: { 'S-1-5-32-545': 'BUILTIN\\Users' } } })],
    }),
    argv: ['--user', 'OTHER\\operator'],
    code: 0,
    causes: [],
    says: /"print": "unknown"/,
  },
  {
    name: 'a user may print by the rule for everybody',
    report: hostReport(),
    argv: ['--user', 'mira'],
    code: 0,
    causes: [],
    says: /"print": "allowed"/,
  },
  {
    name: 'a user who is refused by name, and may manage documents all the same',
    report: hostReport({
      queues: [
        hostQueue({
          permissions: {
            sddl: `D:(D;;SWRC;;;${mira})(A;OIIO;RPWPSDRCWDWO;;;${mira})(A;;SWRC;;;WD)`,
            names: { [mira]: 'EXAMPLE\\mira' },
          },
        }),
      ],
    }),
    argv: ['--user', 'EXAMPLE\\Mira'],
    code: 1,
    causes: ['user-refused'],
    says: /may not print there, though it may manage documents/,
  },
  {
    name: 'only a group may print, and whether the user is in it is not known',
    report: hostReport({
      queues: [hostQueue({ permissions: { sddl: `D:(A;;SWRC;;;${guests})`, names: { [guests]: 'EXAMPLE\\Staff' } } })],
    }),
    argv: ['--user', 'mira'],
    code: 0,
    causes: [],
    says: /"print": "unknown"/,
  },
  {
    name: 'nobody but administrators may print',
    report: hostReport({ queues: [hostQueue({ permissions: { sddl: 'D:(A;;LCSWSDRCWDWO;;;BA)', names: {} } })] }),
    argv: ['--user', 'mira'],
    code: 1,
    causes: ['user-refused'],
  },
  {
    name: 'permissions could not be read: nobody is called refused',
    report: hostReport({ queues: [hostQueue({ permissions: { denied: 'Access is denied.' } })] }),
    argv: ['--user', 'mira'],
    code: 0,
    causes: [],
  },
  {
    name: 'six crashes, each on job 41, which is not the first in the list',
    report: hostReport({
      jobs: [hostJob(40, { user: 'jonas' }), hostJob(41, { document: 'the plan' })],
      events: loopOf(6, () => 41),
    }),
    code: 1,
    causes: ['spooler-crash-loop', 'poison-job'],
    suspect: { kind: 'job', job: 41, document: 'the plan' },
    says: /the third failure.* does nothing/,
  },
  {
    name: 'crashes on different jobs of one driver',
    report: hostReport({
      queues: [hostQueue(), hostQueue({ name: 'chart-room', driverName: 'Heron XPS' })],
      drivers: [hostDriver(), hostDriver({ name: 'Heron XPS' })],
      events: [
        ...loopOf(7, (i) => 100 + i),
        ...Array.from({ length: 7 }, (_, i) =>
          sandboxed(END - (9 - i) * 2 * MINUTE + 2000, 100 + i, 'Heron XPS', 'chart-room'),
        ),
        ...Array.from({ length: 20 }, (_, i) =>
          sandboxed(END - 9 * 3600_000 + i * 5 * MINUTE - 1, 1 + i, 'Sandpiper 300 PCL 6'),
        ),
      ],
    }),
    code: 1,
    causes: ['spooler-crash-loop'],
    suspect: { kind: 'driver', driver: 'Heron XPS' },
  },
  {
    name: 'crashes that no job explains',
    report: hostReport({
      events: [
        ...ordinary(20),
        ...[300, 210, 95, 40].flatMap((ago, i) => [
          terminated(END - ago * MINUTE, i + 1),
          running(END - ago * MINUTE + 60_000),
        ]),
      ],
    }),
    code: 1,
    causes: ['spooler-crash-loop'],
    suspect: null,
    says: /no job, document, driver, format or owner stands out/,
  },
  {
    name: 'one crash alone is no loop',
    report: hostReport({
      events: [
        ...ordinary(20),
        printing(END - 9 * MINUTE, 41),
        terminated(END - 8 * MINUTE, 1),
        running(END - 7 * MINUTE),
      ],
    }),
    code: 0,
    causes: [],
    suspect: null,
    says: /crashed once/,
  },
  {
    name: 'a host in another language: the binary part names the service',
    report: hostReport({
      jobs: [hostJob(41)],
      events: loopOf(5, () => 41).map((event) =>
        event.data.param1 === 'Print Spooler'
          ? {
              ...event,
              data: {
                ...event.data,
                param1: 'Druckwarteschlange',
                param2: event.id === 7036 ? 'ausgeführt' : '1',
                Binary: event.data.Binary ?? '530070006F006F006C00650072000000',
              },
            }
          : event,
      ),
    }),
    code: 1,
    causes: ['spooler-crash-loop', 'poison-job'],
    suspect: { kind: 'job', job: 41 },
  },
  {
    name: 'the spool folder was emptied by hand: who gets the number next is not to blame',
    report: hostReport({
      events: [
        ...ordinary(20),
        ...crashing(6, () => 41),
        spooling(END - 2 * MINUTE, 41),
        printing(END - 2 * MINUTE, 41),
        printed(END - MINUTE, 41, { document: 'the rota', user: 'jonas' }),
      ].reverse(),
    }),
    code: 1,
    causes: ['spooler-crash-loop', 'poison-job'],
    suspect: { kind: 'job', job: 41, document: null, user: null },
  },
  {
    name: 'a job that came in after the events of its number is another',
    report: hostReport({
      jobs: [hostJob(41, { document: 'the rota', submittedAt: new Date(END - MINUTE).toISOString() })],
      events: loopOf(6, () => 41),
    }),
    code: 1,
    causes: ['spooler-crash-loop', 'poison-job'],
    suspect: { kind: 'job', job: 41, document: null, user: null },
  },
  {
    name: 'crashes of another service are none of the print service',
    report: hostReport({ events: [1, 2, 3].map((i) => terminated(END - i * MINUTE, i, 'Clock Keeper')) }),
    code: 0,
    causes: [],
  },
  {
    name: 'the module that the crash reports name is told',
    report: hostReport({
      jobs: [hostJob(41)],
      events: [...loopOf(4, () => 41), ...[3, 5].map((ago) => faulting(END - ago * 2 * MINUTE, 'sand300.dll'))],
    }),
    code: 1,
    causes: ['spooler-crash-loop', 'poison-job'],
    suspect: { kind: 'job', job: 41 },
    says: /the module sand300\.dll \(2 of them\)/,
  },
  {
    name: 'recovery that restarts for ever',
    report: hostReport({
      spooler: recovery('restart', 'restart', 'restart'),
      jobs: [hostJob(41)],
      events: loopOf(5, () => 41),
    }),
    code: 1,
    causes: ['spooler-crash-loop', 'poison-job'],
    suspect: { kind: 'job', job: 41 },
    says: /the loop has no end of its own/,
  },
  {
    name: 'recovery that starts the whole machine again',
    report: hostReport({ spooler: recovery('restart', 'reboot'), jobs: [hostJob(41)], events: loopOf(5, () => 41) }),
    code: 1,
    causes: ['spooler-crash-loop', 'poison-job'],
    says: /From the second failure on.* the whole machine is started again/,
  },
  {
    name: 'the third failure did nothing: the service is down, and that is not a cure',
    report: hostReport({
      spooler: {
        state: 'Stopped',
        startMode: 'Auto',
        startedAt: null,
        recovery: { resetSeconds: 86_400, actions: [restart, restart, { action: 'none', delayMs: 0 }] },
      },
      jobs: [hostJob(41)],
      events: loopOf(3, () => 41),
    }),
    code: 1,
    causes: ['spooler-down', 'spooler-crash-loop', 'poison-job'],
    suspect: { kind: 'job', job: 41 },
    says: /the service then stays down and looks cured/,
  },
  {
    name: 'events could not be read: no crash is claimed, nor denied',
    report: hostReport({ events: { denied: 'Attempted to perform an unauthorized operation.' } }),
    code: 0,
    causes: [],
    says: /could not tell of events/,
  },
  {
    name: 'a queue whose driver was not found at start',
    report: hostReport({
      drivers: { denied: 'Access is denied.' },
      events: [driverNotFound(END - MINUTE, 'front-desk', 'Sandpiper 300 PCL 6')],
    }),
    code: 1,
    causes: ['driver-missing'],
  },
  {
    name: 'a port that leads by the line printer protocol',
    report: hostReport({ ports: [hostPort({ protocol: 'lpr', portNumber: 515, lprQueue: 'lp' })] }),
    code: 0,
    causes: [],
    says: /lpd:\/\/192\.0\.2\.21\/lp/,
  },
];

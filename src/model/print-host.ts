/** `outfeed.print-host/1`: what the collector of `config/print-host-report.ps1` writes about one Windows print host. */
export const PRINT_HOST_SCHEMA = 'outfeed.print-host/1';

/** Stands where something could not be read: for want of a right, or because the host has no such thing. Never an empty list. */
export interface Denied {
  readonly denied: string;
}
export type Readable<T> = T | Denied;

export function isDenied<T>(value: Readable<T>): value is Denied {
  return typeof value === 'object' && value !== null && 'denied' in value;
}

export interface HostSystem {
  readonly name: string;
  readonly version: string;
  /** PROCESSOR_ARCHITECTURE of the system: `AMD64`, `x86`, `ARM64`. */
  readonly osArchitecture: string;
  /** The same of the process that made the report. */
  readonly processArchitecture: string;
}

export type RecoveryAction = 'none' | 'restart' | 'reboot' | 'run';

/** Service recovery (MS-SCMR 2.2.40): the Nth failure brings the Nth action, and the last one again for all later failures. */
export interface HostRecovery {
  /** Seconds without failure after which the count starts again; null: never. */
  readonly resetSeconds: number | null;
  readonly actions: readonly { readonly action: RecoveryAction; readonly delayMs: number }[];
}

export interface HostSpooler {
  /** Win32_Service State: `Running`, `Stopped`, `Start Pending` … */
  readonly state: string;
  /** Win32_Service StartMode: `Auto`, `Manual`, `Disabled`. */
  readonly startMode: string | null;
  readonly startedAt: string | null;
  readonly recovery: Readable<HostRecovery>;
}

export interface HostPolicies {
  /** Only administrators may install printer drivers; null: not set, the system's own rule holds. */
  readonly driversOnlyByAdministrators: boolean | null;
}

export interface HostPermissions {
  /** Security descriptor in SDDL form (MS-DTYP 2.5.1). */
  readonly sddl: string;
  /** SID → account name. */
  readonly names: Readonly<Record<string, string>>;
}

export interface HostQueue {
  readonly name: string;
  readonly shareName: string | null;
  readonly portName: string;
  readonly driverName: string;
  /** PRINTER_STATUS bits (MS-RPRN 2.2.3.12). */
  readonly status: number;
  /** "Use printer offline". */
  readonly offline: boolean | null;
  readonly shared: boolean;
  readonly datatype: string | null;
  readonly printProcessor: string | null;
  readonly comment: string | null;
  readonly location: string | null;
  readonly permissions: Readable<HostPermissions>;
}

export interface HostPort {
  readonly name: string;
  readonly monitor: string | null;
  /** Address or name that it sends to; null for a port that is none of TCP/IP. */
  readonly hostAddress: string | null;
  readonly portNumber: number | null;
  readonly protocol: 'raw' | 'lpr' | null;
  readonly lprQueue: string | null;
}

export interface HostDriver {
  readonly name: string;
  /** `Windows x64`, `Windows NT x86`, `Windows ARM64` (MS-RPRN 2.2.4.4). */
  readonly environment: string;
  readonly majorVersion: number | null;
  readonly version: string | null;
  readonly files: readonly string[];
  /** Files that it names and that are not there. */
  readonly missingFiles: Readable<readonly string[]>;
}

export interface HostJob {
  readonly queue: string;
  readonly id: number;
  readonly document: string | null;
  readonly user: string | null;
  /** JOB_STATUS bits (MS-RPRN 2.2.3.12 and winspool.h). */
  readonly status: number;
  readonly bytes: number | null;
  readonly pages: number | null;
  readonly pagesPrinted: number | null;
  readonly submittedAt: string | null;
  readonly datatype: string | null;
}

export interface HostEvent {
  readonly provider: string;
  readonly id: number;
  readonly at: string;
  /** Values by name; without names `param1`, `param2` … `Binary` in hex. */
  readonly data: Readonly<Record<string, string>>;
}

export interface PrintHostReport {
  readonly schema: typeof PRINT_HOST_SCHEMA;
  readonly madeAt: string;
  readonly host: string;
  /** How far back events were read. */
  readonly days: number;
  readonly ranAs: { readonly user: string; readonly groups: readonly string[]; readonly elevated: boolean };
  readonly system: Readable<HostSystem>;
  readonly spooler: Readable<HostSpooler>;
  readonly policies: Readable<HostPolicies>;
  readonly queues: Readable<readonly HostQueue[]>;
  readonly ports: Readable<readonly HostPort[]>;
  readonly drivers: Readable<readonly HostDriver[]>;
  readonly jobs: Readable<readonly HostJob[]>;
  readonly events: Readable<readonly HostEvent[]>;
}

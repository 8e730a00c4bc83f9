/**
 * The evidence record: what one question to the network (or to a person) gave back.
 * Plain JSON, read-only. All input ends in it, all judging begins with it; a saved list of it replays to the same verdict.
 */

import type { HostEvent, PrintHostReport } from './print-host.js';

export const SOURCES = [
  'neighbour',
  'icmp',
  'tcp',
  'dns',
  'dns-sd',
  'snmp',
  'ipp',
  'lpd',
  'pjl',
  'http',
  'switch',
  'spooler',
  'history',
  'operator',
] as const;
export type Source = (typeof SOURCES)[number];

/**
 * `answered`: a well-formed reply. `refused`: an explicit no at transport level (reset, name does not exist).
 * `silent`: nothing came in the time allowed. `denied`: an explicit no to this client (sign-in, wrong credentials).
 * `garbled`: something came that its standard does not allow. `failed`: the question could not be asked, or the
 * network said unreachable.
 */
export const OUTCOMES = ['answered', 'refused', 'silent', 'denied', 'garbled', 'failed'] as const;
export type Outcome = (typeof OUTCOMES)[number];

/** Whom a record speaks of. `self` is the machine that asks; `gateway` and `fellow` are controls. */
export type About = 'target' | 'self' | 'gateway' | 'fellow' | 'queue' | 'elsewhere';

interface Record_<S extends Source, V> {
  readonly id: string;
  readonly source: S;
  /** The question, stable from run to run: `631/tcp`, `prtAlertTable`, `Get-Printer-Attributes`. */
  readonly what: string;
  readonly about: About;
  /** Address, name or URI asked. */
  readonly subject: string;
  readonly outcome: Outcome;
  readonly value: V | null;
  /** ISO 8601, UTC. */
  readonly at: string;
  readonly tookMs: number;
}

// ---- neighbour: the kernel's neighbour table, addresses and routes --------------------------------------------

export type NeighbourState =
  | 'reachable'
  | 'stale'
  | 'delay'
  | 'probe'
  | 'incomplete'
  | 'failed'
  | 'permanent'
  | 'noarp'
  | 'absent';

/** `what` = `entry`. One row of the neighbour table after it was made to resolve afresh. */
export interface NeighbourEntryValue {
  readonly kind: 'entry';
  readonly state: NeighbourState;
  /** Lower case, colons. */
  readonly mac: string | null;
  readonly interface: string | null;
}

/** `what` = `route`. How this machine would reach the subject. */
export interface RouteValue {
  readonly kind: 'route';
  /** `onlink`: same link. `routed`: through `gateway`. `loopback`: this machine. `none`: no route. */
  readonly reach: 'onlink' | 'routed' | 'loopback' | 'none';
  readonly interface: string | null;
  readonly gateway: string | null;
  /** False when the interface has no carrier. */
  readonly carrier: boolean | null;
}
export type NeighbourValue = NeighbourEntryValue | RouteValue;

// ---- tcp, icmp, dns, dns-sd -----------------------------------------------------------------------------------

/** `open`, or the system's error code (`ECONNREFUSED`, `EHOSTUNREACH`, `ETIMEDOUT`, `ENETUNREACH` …). `what` = `631/tcp`. */
export type TcpValue = string;

/** `what` = `echo`. */
export interface IcmpValue {
  readonly rttMs: number;
}

/** `what` = the name asked for. On a refusal (`ENOTFOUND`, `EAI_AGAIN`) addresses is empty and `code` says why. */
export interface DnsValue {
  readonly addresses: readonly string[];
  readonly code?: string;
}

/** One service instance. */
export interface ServiceInstance {
  readonly name: string;
  readonly type: string;
  readonly host: string | null;
  readonly port: number | null;
  readonly addresses: readonly string[];
  /** Keys in lower case (RFC 6763 6.4: keys compare without case; the first of a repeated key counts). */
  readonly txt: Readonly<Record<string, string>>;
}
/** `what` = `_ipp._tcp` and so on. */
export interface DnsSdValue {
  readonly instances: readonly ServiceInstance[];
}

// ---- snmp -----------------------------------------------------------------------------------------------------

export type SnmpVersion = '1' | '2c' | '3';

/**
 * A value as it came. OCTET STRING that is printable US-ASCII is a plain string; any other is `{ hex }`, so that its
 * character set can be decided later. Integers, counters and ticks are numbers; Counter64 beyond 2^53 is a string of digits; an OBJECT
 * IDENTIFIER is `{ oid }`; an IpAddress is `{ ip }`.
 */
export type SnmpValue = number | string | { readonly hex: string } | { readonly oid: string } | { readonly ip: string };

/** Instance (the OID suffix after the column, `0` for a scalar, `1.3` for device 1 row 3) → object name → value. */
export type SnmpRows = Readonly<Record<string, Readonly<Record<string, SnmpValue>>>>;

/** `what` = the MIB's name of the group or table: `system`, `hrDeviceTable`, `ifTable`, `prtAlertTable` … */
export interface SnmpTableValue {
  readonly kind: 'table';
  readonly rows: SnmpRows;
  /** True when the reading of this table ended before its end (cap, time, broken reply). */
  readonly cut?: boolean;
  readonly problems: readonly string[];
}

/** One set of credentials tried. Never holds a secret: `label` is `community 1`, `user reader`. */
export interface SnmpAttempt {
  readonly version: SnmpVersion;
  readonly label: string;
  readonly outcome: Outcome;
  readonly detail?: string;
}

/** `what` = `session`. Always present when SNMP was asked. */
export interface SnmpSessionValue {
  readonly kind: 'session';
  readonly port: number;
  readonly version: SnmpVersion | null;
  readonly label: string | null;
  readonly attempts: readonly SnmpAttempt[];
  readonly requests: number;
  readonly problems: readonly string[];
}
export type SnmpEvidenceValue = SnmpTableValue | SnmpSessionValue;

// ---- ipp and spooler ------------------------------------------------------------------------------------------

/**
 * One attribute value with its tag (RFC 8010 3.5.2; `integer`, `enum`, `textWithLanguage` …).
 * integer/enum: number · boolean: boolean · text, name, keyword, uri …: string · dateTime: ISO 8601 string with offset ·
 * resolution: `{x, y, units: 'dpi'|'dpcm'}` · rangeOfInteger: `{lower, upper}` · octetString: `{hex}` ·
 * textWithLanguage/nameWithLanguage: `{language, text}` · begCollection: `{ member: IppValue[] }` under `members` ·
 * out-of-band (`unknown`, `no-value`, `unsupported`): null · unknown tag: `{hex}` with tag `0x..`.
 */
export interface IppValue {
  readonly tag: string;
  readonly value:
    | number
    | boolean
    | string
    | null
    | { readonly x: number; readonly y: number; readonly units: string }
    | { readonly lower: number; readonly upper: number }
    | { readonly hex: string }
    | { readonly language: string; readonly text: string }
    | { readonly members: IppAttributes };
}
export type IppAttributes = Readonly<Record<string, readonly IppValue[]>>;

export interface TlsInfo {
  readonly protocol?: string;
  /** False: the chain is not trusted here (common for printers: not a fault). */
  readonly trusted?: boolean;
  readonly subject?: string;
  /** ISO 8601. */
  readonly validFrom?: string;
  readonly validTo?: string;
  /** SHA-256, lower-case hex with colons. */
  readonly fingerprint?: string;
  /** Error code when no session came about. */
  readonly error?: string;
}

/**
 * One IPP exchange. `what` = the operation (`Get-Printer-Attributes`, `Validate-Job`, `Get-Jobs`).
 * Source `ipp` when the printer was asked, `spooler` when a print queue was.
 */
export interface IppExchangeValue {
  readonly uri: string;
  /** HTTP status; null when no HTTP reply came. */
  readonly httpStatus: number | null;
  readonly contentType?: string;
  /** IPP version of the reply, `2.0`. */
  readonly version: string | null;
  /** Keyword of the registry (`successful-ok`), or `0x....` when nobody registered it. */
  readonly status: string | null;
  readonly statusMessage?: string;
  /** First printer-attributes group (Get-Printer-Attributes), else operation attributes of the reply. */
  readonly attributes: IppAttributes;
  /** Which list of jobs was asked for (Get-Jobs). */
  readonly whichJobs?: 'completed' | 'not-completed';
  /** One record a job (Get-Jobs). */
  readonly jobs?: readonly IppAttributes[];
  readonly unsupported?: readonly string[];
  readonly tls?: TlsInfo;
  /** Transport error code, if the exchange broke (`ECONNREFUSED`, `ECONNRESET`, `ETIMEDOUT`, `EPROTO`, `body-too-large` …). */
  readonly error?: string;
  /** URIs tried before this one, with what each gave. */
  readonly tried?: readonly { readonly uri: string; readonly gave: string }[];
  /** User in whose name it was asked. */
  readonly user?: string;
  /** Where the reply broke its standard, and how it was read. */
  readonly problems: readonly string[];
}

/** `what` = `print-host report`: a Windows print host as its collector wrote it down. */
export interface PrintHostReportValue {
  readonly kind: 'report';
  readonly report: PrintHostReport;
}
/** `what` = `event export`: events of a host, out of a file in the open event schema. */
export interface EventExportValue {
  readonly kind: 'events';
  readonly events: readonly HostEvent[];
  readonly problems: readonly string[];
}
export type PrintHostValue = PrintHostReportValue | EventExportValue;

/** Tells what a spooler answered over IPP from what was read from a file. */
export function isExchange(record: SpoolerEvidence): record is SpoolerExchange {
  return record.value === null || !('kind' in record.value);
}

// ---- http, lpd, pjl, switch, history, operator ----------------------------------------------------------------

/** `what` = `GET /`. Reachable or not, never scraped. */
export interface HttpValue {
  readonly url: string;
  readonly status: number | null;
  readonly server?: string;
  readonly tls?: TlsInfo;
  readonly error?: string;
}

/** `what` = `short state` or `long state`, `subject` = the lpd URI. */
export interface LpdValue {
  /** The daemon's words (RFC 1179 5.3, 5.4), line ends as LF. */
  readonly text: string;
  /** What was odd about the reply. */
  readonly problems?: readonly string[];
}
/** `what` = `INFO STATUS`, `subject` = the raw port as a socket URI. */
export interface PjlValue {
  readonly code: number | null;
  readonly display: string | null;
  readonly online: boolean | null;
  readonly problems: readonly string[];
}
export interface SwitchValue {
  readonly port: number;
  /** ifOperStatus (RFC 2863). */
  readonly operStatus: string | null;
  readonly adminStatus?: string;
  readonly lastChangeTicks?: number;
  readonly macs?: readonly string[];
  /** ifInErrors and ifOutErrors together. */
  readonly errors?: number;
  /** By how much they rose between two readings. */
  readonly errorsClimbed?: number;
}
/**
 * What is known beforehand: the configuration's expectations (`what` = `expected`), past records, and the job file that a
 * person handed over (`what` = `job-file`: `name`, `bytes`, `sniffed`; none of its content).
 */
export type HistoryValue = Readonly<Record<string, unknown>>;
/** `what` = id of the check, `value` = one of its outcomes. */
export type OperatorValue = string;

export type NeighbourEvidence = Record_<'neighbour', NeighbourValue>;
export type IcmpEvidence = Record_<'icmp', IcmpValue>;
export type TcpEvidence = Record_<'tcp', TcpValue>;
export type DnsEvidence = Record_<'dns', DnsValue>;
export type DnsSdEvidence = Record_<'dns-sd', DnsSdValue>;
export type SnmpEvidence = Record_<'snmp', SnmpEvidenceValue>;
export type IppEvidence = Record_<'ipp', IppExchangeValue>;
export type SpoolerEvidence = Record_<'spooler', IppExchangeValue | PrintHostValue>;
/** A spooler that was asked over IPP. */
export type SpoolerExchange = Record_<'spooler', IppExchangeValue>;
export type LpdEvidence = Record_<'lpd', LpdValue>;
export type PjlEvidence = Record_<'pjl', PjlValue>;
export type HttpEvidence = Record_<'http', HttpValue>;
export type SwitchEvidence = Record_<'switch', SwitchValue>;
export type HistoryEvidence = Record_<'history', HistoryValue>;
export type OperatorEvidence = Record_<'operator', OperatorValue>;

export type Evidence =
  | NeighbourEvidence
  | IcmpEvidence
  | TcpEvidence
  | DnsEvidence
  | DnsSdEvidence
  | SnmpEvidence
  | IppEvidence
  | SpoolerEvidence
  | LpdEvidence
  | PjlEvidence
  | HttpEvidence
  | SwitchEvidence
  | HistoryEvidence
  | OperatorEvidence;

/** Evidence before it has an id: what a probe gives. Ids are given after sorting, so that two runs compare. */
export type Observation = Evidence extends infer E ? (E extends Evidence ? Omit<E, 'id'> : never) : never;

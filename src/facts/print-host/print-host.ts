import { type HostEvent, isDenied, type PrintHostReport, type Readable } from '../../model/print-host.js';
import { recordOfEvents, type ServiceRecord, serviceRecord } from '../../printhost/history.js';
import { type Meaning, meaningOf } from '../../printhost/meaning.js';
import { type RecoveryOutlook, recoveryOutlook } from '../../printhost/recovery.js';
import { reportsOf } from '../../printhost/report.js';
import { type CrashLoop, findCrashLoop } from '../../queues/crash-loop.js';
import { type Asked, from } from '../fact.js';

/** A driver that could not be installed for want of a right. */
export interface DriverRefusal {
  readonly driver: string | null;
  readonly error: number;
  /** Only administrators may install drivers there; null: not known. */
  readonly policy: boolean | null;
}

/** What a print host's report or its exported events say beyond its queues. */
export interface PrintHostFact {
  /** Null: events alone, of a host that they don't name. */
  readonly host: string | null;
  readonly running: boolean | null;
  readonly crashes: CrashLoop | null;
  /** Seconds from the last crash to the end of the record. */
  readonly lastCrashSeconds: number | null;
  readonly modules: ServiceRecord['modules'];
  readonly recovery: RecoveryOutlook | null;
  readonly driverRefusals: readonly DriverRefusal[];
  /** Parts that could not be read, each with why. */
  readonly denied: readonly string[];
  readonly evidence: readonly string[];
}

/** Undefined when neither report nor events were handed over. Events of an export are joined to the report's own. */
export function readPrintHost(asked: Asked): PrintHostFact | undefined {
  const [record] = reportsOf(asked.evidence);
  const exported = exportsOf(asked);
  if (record === undefined && exported.ids.length === 0) return undefined;
  const evidence = [...(record === undefined ? [] : [record.id]), ...exported.ids];
  if (record === undefined) return { ...NOT_REPORTED, ...ofRecord(recordOfEvents(exported.events)), evidence };
  const { report } = record;
  const merged = withEvents(report, exported.events);
  return {
    host: report.host,
    running: isDenied(report.spooler) ? null : /^running$/i.test(report.spooler.state),
    ...ofRecord(serviceRecord(merged)),
    recovery: recoveryOf(report),
    driverRefusals: refusalsOf(merged),
    denied: deniedParts(merged),
    evidence,
  };
}

const NOT_REPORTED = { host: null, running: null, recovery: null, driverRefusals: [], denied: [] } as const;

function exportsOf(asked: Asked): { readonly ids: readonly string[]; readonly events: readonly HostEvent[] } {
  const records = from(asked.evidence, 'spooler').flatMap(({ id, value }) =>
    value !== null && 'kind' in value && value.kind === 'events' ? [{ id, events: value.events }] : [],
  );
  return { ids: records.map(({ id }) => id), events: records.flatMap(({ events }) => events) };
}

/** The same event may stand in both: it counts once. */
function withEvents(report: PrintHostReport, events: readonly HostEvent[]): PrintHostReport {
  if (events.length === 0) return report;
  const own = isDenied(report.events) ? [] : report.events;
  const key = ({ provider, id, at, data }: HostEvent): string =>
    `${provider} ${id} ${Date.parse(at)} ${JSON.stringify(data)}`;
  const known = new Set(own.map(key));
  return { ...report, events: [...own, ...events.filter((event) => !known.has(key(event)))] };
}

function ofRecord(record: ServiceRecord | null): Pick<PrintHostFact, 'crashes' | 'lastCrashSeconds' | 'modules'> {
  const crashes = record === null ? null : findCrashLoop(record);
  const last = crashes?.crashes.at(-1);
  return {
    crashes,
    lastCrashSeconds: record === null || last === undefined ? null : Math.round((record.until - last) / 1000),
    modules: record?.modules ?? [],
  };
}

function recoveryOf({ spooler }: PrintHostReport): RecoveryOutlook | null {
  return isDenied(spooler) || isDenied(spooler.recovery) ? null : recoveryOutlook(spooler.recovery);
}

/**
 * Win32 error codes of a missing right: access denied, disabled by policy, elevation required, and the printing service's
 * "download needed" that unprivileged users meet (winerror.h: 5, 1260, 740, 3019; from memory).
 */
const WANT_OF_RIGHTS = new Set([5, 1260, 740, 3019, 0x80070005]);

function refusalsOf({ events, policies }: PrintHostReport): readonly DriverRefusal[] {
  if (isDenied(events)) return [];
  const policy = isDenied(policies) ? null : policies.driversOnlyByAdministrators;
  const refused = events.map(meaningOf).flatMap((meaning): Extract<Meaning, { kind: 'driver-refused' }>[] => {
    return meaning?.kind === 'driver-refused' && WANT_OF_RIGHTS.has(meaning.error) ? [meaning] : [];
  });
  return refused.map(({ driver, error }) => ({ driver, error, policy }));
}

function deniedParts(report: PrintHostReport): readonly string[] {
  const parts: readonly (readonly [string, Readable<unknown>])[] = [
    ['the print service', report.spooler],
    ['the system', report.system],
    ['policies', report.policies],
    ['queues', report.queues],
    ['ports', report.ports],
    ['drivers', report.drivers],
    ['jobs', report.jobs],
    ['events', report.events],
  ];
  const recovery = isDenied(report.spooler) ? [] : deniedWords('recovery settings', report.spooler.recovery);
  return [...parts.flatMap(([name, part]) => deniedWords(name, part)), ...recovery];
}

function deniedWords(name: string, part: Readable<unknown>): readonly string[] {
  return isDenied(part) ? [`${name}: ${part.denied}`] : [];
}

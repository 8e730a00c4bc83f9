import { EVENT_SCHEMA, type EventDocument } from '../model/event.js';
import type { PrinterDocument } from '../model/printer.js';
import type { Blame } from '../model/why.js';
import type { Change, IdentityKind, SeriesOf } from '../store/change.js';
import type { RememberedPrinter } from '../store/remember.js';
import { digest } from './digest.js';

/** What the agent holds of a printer's own words, so that only what changed is written. */
export interface Noted {
  /** Identity kind and value → when it was last put down. */
  readonly identities: ReadonlyMap<string, number>;
  /** Series → its last value and what it is. */
  readonly samples: ReadonlyMap<string, { readonly series: SeriesOf; readonly value: number }>;
  readonly alerts: ReadonlyMap<string, NotedAlert>;
  /** Hundredths of a second since it came up, at the last reading. */
  readonly upTicks: number | null;
  readonly lastAnswerAt: number | null;
  /** When the last answer was put down. */
  readonly lastAnswerKept: number | null;
}

export interface NotedAlert {
  readonly code: string;
  readonly place: string;
  readonly startedAt: number;
  readonly severity: string;
  readonly description: string | null;
  /** When it was first missed. Null while it is there. */
  readonly missedAt: number | null;
}

export function nothingNoted(): Noted {
  return {
    identities: new Map(),
    samples: new Map(),
    alerts: new Map(),
    upTicks: null,
    lastAnswerAt: null,
    lastAnswerKept: null,
  };
}

export function notedFrom({ identities, samples, alerts, lastAnswerAt }: RememberedPrinter): Noted {
  return {
    identities: new Map(identities.map(({ kind, value, lastAt }) => [`${kind} ${value}`, lastAt])),
    samples: new Map(samples.map(({ series, value }) => [seriesKey(series), { series, value }])),
    alerts: new Map(alerts.map((alert) => [`${alert.code} ${alert.place}`, { ...alert, missedAt: null }])),
    upTicks: null,
    lastAnswerAt,
    lastAnswerKept: lastAnswerAt,
  };
}

export interface Seen {
  readonly site: string;
  readonly printer: string;
  readonly at: number;
  readonly document: PrinterDocument;
  /** What the judges warn of. */
  readonly warnings: readonly Blame[];
  readonly address: string | null;
}

export interface Noticed {
  readonly noted: Noted;
  readonly changes: readonly Change[];
  /** Supplies that are about to run out, each told once until it is well again. */
  readonly events: readonly EventDocument[];
}

const DAY = 86_400_000;
const HOUR = 3_600_000;
/** Beyond so many values a printer is making them up. */
const MOST_IDENTITIES = 200;
const MOST_ALERTS = 200;
/** An up-time is a round trip old and counted by another clock. */
const SAME_START_MS = 5 * 60_000;

/** Compares what a printer says with what it said before. Pure. */
export function notice(before: Noted, seen: Seen): Noticed {
  const identities = noticeIdentities(before, seen);
  const samples = noticeSamples(before, seen);
  const alerts = noticeAlerts(before, seen);
  return {
    noted: {
      ...before,
      identities: identities.kept,
      samples: samples.kept,
      alerts: alerts.kept,
      upTicks: seen.document.upTimeTicks,
      lastAnswerAt: seen.at,
    },
    changes: [...identities.changes, ...samples.changes, ...alerts.changes],
    events: alerts.events,
  };
}

function noticeIdentities(before: Noted, { printer, at, document, address }: Seen) {
  const { identity } = document;
  const told: readonly (readonly [IdentityKind, string | null])[] = [
    ['address', address],
    ['serial', identity.serial],
    ['uuid', identity.uuid],
    ['model', identity.model],
    ['firmware', identity.firmware],
    ['name', identity.name],
    ...identity.macs.map((mac) => ['mac', mac] as const),
  ];
  const kept = new Map(before.identities);
  const changes: Change[] = [];
  for (const [what, value] of told) {
    if (value === null || value === '') continue;
    const key = `${what} ${value}`;
    const last = kept.get(key);
    // Seen again is put down once a day: enough to know how old a memory is.
    if (last !== undefined && Math.abs(at - last) < DAY) continue;
    if (last === undefined && kept.size >= MOST_IDENTITIES) continue;
    kept.set(key, at);
    changes.push({ kind: 'identity', printer, what, value: value.slice(0, 300), at });
  }
  return { kept, changes };
}

const COUNTER = { place: '', name: '', type: '', class: '', colour: null, unit: null, capacity: null } as const;

function noticeSamples(before: Noted, seen: Seen) {
  const { printer, at, document } = seen;
  const kept = new Map(before.samples);
  const changes: Change[] = [];
  const put = (series: SeriesOf, value: number): void => {
    const last = kept.get(seriesKey(series));
    const same = last?.value === value && JSON.stringify(last.series) === JSON.stringify(series);
    if (same || !Number.isFinite(value)) return;
    kept.set(seriesKey(series), { series, value });
    changes.push({ kind: 'sample', printer, series, at, value });
  };
  for (const supply of document.supplies) {
    const { index, name, type, colour, unit, capacity, level, meaning } = supply;
    if (level === null || meaning === 'unknown' || meaning === 'no-limit') continue;
    const of = { name, type, class: supply.class, colour, unit, capacity };
    put({ kind: 'level', place: String(index), ...of }, level);
  }
  if (document.counters.lifePages !== null) put({ kind: 'pages', ...COUNTER }, document.counters.lifePages);
  const booted = startOf(before, seen);
  if (booted !== null) put({ kind: 'booted', ...COUNTER }, booted);
  return { kept, changes };
}

/** When it came up, if that is another start than the last one known. A clock that jumped is no start. */
function startOf(before: Noted, { at, document }: Seen): number | null {
  const ticks = document.upTimeTicks;
  if (ticks === null) return null;
  const booted = at - ticks * 10;
  const known = before.samples.get('booted ')?.value;
  if (known === undefined) return booted;
  if (before.upTicks !== null) return ticks < before.upTicks ? booted : null;
  return booted - known > SAME_START_MS && booted > (before.lastAnswerAt ?? 0) - SAME_START_MS ? booted : null;
}

function seriesKey({ kind, place }: SeriesOf): string {
  return `${kind} ${place}`;
}

/** What a warning must have been gone for before it counts as over: a level may swing about its mark. */
const WARNING_OVER_MS = 2 * HOUR;
const WARNING = 'judged';

interface Present {
  readonly code: string;
  readonly place: string;
  readonly severity: string;
  readonly description: string | null;
}

function noticeAlerts(before: Noted, seen: Seen) {
  const present = new Map(
    [...alertsOf(seen), ...warningsOf(seen)].slice(0, MOST_ALERTS).map((a) => [`${a.code} ${a.place}`, a]),
  );
  const kept = new Map(before.alerts);
  const changes: Change[] = [];
  const events: EventDocument[] = [];
  const write = (alert: NotedAlert, endedAt: number | null): void => {
    const { code, place, startedAt, severity, description } = alert;
    changes.push({ kind: 'alert', printer: seen.printer, code, place, startedAt, endedAt, severity, description });
  };
  for (const [key, alert] of present) {
    const known = kept.get(key);
    if (known === undefined) {
      const begun = { ...alert, startedAt: seen.at, missedAt: null };
      kept.set(key, begun);
      write(begun, null);
      if (alert.severity === WARNING) events.push(supplyEvent(seen, begun));
    } else if (known.missedAt !== null) {
      kept.set(key, { ...known, missedAt: null });
    }
  }
  for (const [key, alert] of kept) {
    if (present.has(key)) continue;
    const missedAt = Math.min(alert.missedAt ?? seen.at, seen.at);
    const patience = alert.severity === WARNING ? WARNING_OVER_MS : 0;
    if (seen.at - missedAt < patience) {
      kept.set(key, { ...alert, missedAt });
    } else {
      kept.delete(key);
      write(alert, Math.max(missedAt, alert.startedAt));
    }
  }
  return { kept, changes, events };
}

function alertsOf({ document }: Seen): Present[] {
  return document.alerts.map(({ code, group, groupIndex, severity, description }) => ({
    code: code.slice(0, 80),
    place: `${group ?? ''} ${groupIndex ?? ''}`.trim(),
    severity,
    description: description?.slice(0, 300) ?? null,
  }));
}

function warningsOf({ warnings }: Seen): Present[] {
  return warnings
    .filter(({ layer }) => layer === 'supplies')
    .map(({ cause, component, summary }) => ({
      code: cause,
      place: component?.slice(0, 100) ?? '',
      severity: WARNING,
      description: summary.slice(0, 300),
    }));
}

function supplyEvent({ site, printer }: Seen, { code, place, startedAt, description }: NotedAlert): EventDocument {
  return {
    schema: EVENT_SCHEMA,
    id: digest(site, printer, code, place, String(startedAt)),
    kind: 'supply',
    printer,
    layer: 'supplies',
    cause: code,
    at: new Date(startedAt).toISOString(),
    summary: `${printer}: ${description ?? code}`,
  };
}

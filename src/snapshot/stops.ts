import { causeOf } from '../ladder/ladder.js';
import type { NextStep } from '../model/layers.js';
import type { Incident, SnapshotPrinter, VisitStop } from '../model/snapshot.js';
import type { Blame, WhyDocument } from '../model/why.js';
import { errandOf } from './errands.js';

export type PlannedStop = Required<VisitStop>;

/** True when there is something to mend: output is stopped, or nobody could tell. */
export function needsVisit(why: WhyDocument): boolean {
  return why.silent !== false;
}

/** Faults that strike several printers at once and are mended once: by what they share. */
const SHARED: Readonly<Record<string, (why: WhyDocument, blame: Blame) => string>> = {
  'own-network-down': () => '',
  'whole-subnet-silent': ({ printer }) => (printer.address ?? '').replace(/[.:][^.:]*$/, ''),
  'spooler-crash-loop': (_why, { component }) => component ?? '',
};

/** The stops that mend one printer, in the order in which they are of use. */
interface Leg {
  readonly printer: string;
  readonly stops: readonly PlannedStop[];
  readonly minutes: number;
  readonly people: number | null;
  readonly remote: boolean;
}

/**
 * The round through the site: what can be mended from the desk first, then what serves most people for each minute,
 * quickest first where that is equal. A printer prints again only when all its faults are mended, so its stops stay together;
 * what can be done from the desk but is of no use before somebody has been at the printer comes after that.
 */
export function planStops(
  printers: readonly SnapshotPrinter[],
  people: Readonly<Record<string, number>>,
): readonly PlannedStop[] {
  const wrong = printers.filter((entry) => needsVisit(entry.why));
  const merged = shared(wrong.map((entry) => stopsOf(entry, people)));
  return merged
    .flatMap(legsOf)
    .sort(byWorth)
    .flatMap(({ stops }) => stops);
}

function stopsOf(entry: SnapshotPrinter, people: Readonly<Record<string, number>>): readonly KeyedStop[] {
  const { why } = entry;
  const works = why.silent === null ? [unclearStop(entry)] : faultStops(entry);
  return works.map(({ blame, tasks, remote, since }): KeyedStop => {
    const { layer, cause, certainty, component = null, summary } = blame;
    const key = SHARED[cause]?.(why, blame);
    const stop: PlannedStop = {
      printer: why.target,
      minutes: tasks.reduce((sum, task) => sum + task.minutes, 0),
      people: people[why.target] ?? null,
      remote,
      steps: tasks.map(({ step }) => step),
      layer,
      cause,
      component,
      certainty,
      summary,
      since,
      afterPrevious: false,
      tasks,
      alsoFor: [],
    };
    return { stop, key: key === undefined ? undefined : `${cause} ${key}` };
  });
}

interface Work {
  readonly blame: Blame;
  readonly tasks: readonly NextStep[];
  readonly remote: boolean;
  readonly since: string | null;
}

/** The verdict with its steps, and each independent fault with those of its cause. */
function faultStops({ why, incidents }: SnapshotPrinter): readonly Work[] {
  const { verdict, others } = why;
  const work = (blame: Blame, tasks: readonly NextStep[], since: string | null): Work => ({
    blame,
    tasks,
    since,
    remote: errandOf(blame.layer, blame.cause).remote,
  });
  return [
    work(verdict, verdict.next, sinceWhen(verdict, incidents) ?? silentSince(incidents)),
    ...others.map((blame) =>
      work(blame, causeOf(blame.layer, blame.cause)?.next ?? [], sinceWhen(blame, incidents) ?? null),
    ),
  ];
}

/** Where nobody could tell, the work is to find out: the guess is named, its steps are not followed. */
function unclearStop({ why, incidents }: SnapshotPrinter): Work {
  const tasks = why.checks.map(({ ask, minutes }) => ({ step: ask, minutes, cautions: [] }));
  return { blame: why.verdict, tasks, remote: false, since: silentSince(incidents) };
}

function sinceWhen({ layer, cause, component }: Blame, incidents: readonly Incident[]): string | undefined {
  return incidents.find(
    (one) =>
      one.endedAt === null &&
      one.layer === layer &&
      one.cause === cause &&
      (one.component === null || component === undefined || one.component === component),
  )?.startedAt;
}

/** The incident that goes on, whatever it was put down to at first. */
function silentSince(incidents: readonly Incident[]): string | null {
  const open = incidents.filter(({ endedAt }) => endedAt === null).map(({ startedAt }) => startedAt);
  return open.sort()[0] ?? null;
}

interface KeyedStop {
  readonly stop: PlannedStop;
  /** What the same fault of other printers shares with it; undefined: it stands for itself. */
  readonly key: string | undefined;
}

/** One stop for what several printers share, at the first of them, for the people of all. */
function shared(groups: readonly (readonly KeyedStop[])[]): readonly (readonly PlannedStop[])[] {
  const all = new Map<string, PlannedStop[]>();
  for (const { stop, key } of groups.flat()) if (key !== undefined) all.set(key, [...(all.get(key) ?? []), stop]);
  return groups.map((group) =>
    group.flatMap(({ stop, key }) => {
      const same = key === undefined ? [] : (all.get(key) ?? []);
      const [first, ...rest] = same;
      if (first === undefined) return [stop];
      if (first !== stop) return [];
      return [{ ...stop, people: sumOf(same), alsoFor: rest.map(({ printer }) => printer) }];
    }),
  );
}

function sumOf(stops: readonly PlannedStop[]): number | null {
  const known = stops.flatMap(({ people }) => (people === null ? [] : [people]));
  return known.length === 0 ? null : known.reduce((sum, people) => sum + people, 0);
}

/** What a desk can do at once, and what somebody has to go for: the latter with whatever has to wait for it. */
function legsOf(stops: readonly PlannedStop[]): readonly Leg[] {
  const goes = stops.findIndex(({ remote }) => !remote);
  if (stops.length === 0) return [];
  if (goes === -1) return [legOf(stops, true)];
  const onSite = stops.slice(goes).map((stop) => (stop.remote ? { ...stop, afterPrevious: true } : stop));
  return [...(goes === 0 ? [] : [legOf(stops.slice(0, goes), true)]), legOf(onSite, false)];
}

function legOf(stops: readonly PlannedStop[], remote: boolean): Leg {
  const minutes = stops.reduce((sum, stop) => sum + stop.minutes, 0);
  return { printer: stops[0]?.printer ?? '', stops, minutes, people: stops[0]?.people ?? null, remote };
}

function byWorth(a: Leg, b: Leg): number {
  if (a.remote !== b.remote) return a.remote ? -1 : 1;
  const worth = (b.people ?? 1) / Math.max(1, b.minutes) - (a.people ?? 1) / Math.max(1, a.minutes);
  if (worth !== 0) return worth;
  return a.minutes - b.minutes || compareText(a.printer, b.printer);
}

/** By code unit: the same order in every language of the machine. */
export function compareText(a: string, b: string): number {
  if (a === b) return 0;
  return a < b ? -1 : 1;
}

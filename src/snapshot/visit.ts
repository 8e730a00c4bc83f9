import type { BringItem, SnapshotPrinter, Visit, VisitStop } from '../model/snapshot.js';
import type { WhyDocument } from '../model/why.js';

/** Causes that are mended at a desk: in a spooler, in a configuration, in a name server. */
const REMOTE_LAYERS: ReadonlySet<string> = new Set(['queue', 'job', 'access', 'language', 'application']);
const REMOTE_CAUSES: ReadonlySet<string> = new Set([
  'moved',
  'name-unresolved',
  'name-points-elsewhere',
  'own-network-down',
  'ipp-path-unknown',
  'ipp-version-refused',
  'certificate-expired',
  'not-accepting-jobs',
]);

/** True when the verdict's cause can be mended without walking to the printer. */
export function isRemote(why: WhyDocument): boolean {
  return REMOTE_LAYERS.has(why.verdict.layer) || REMOTE_CAUSES.has(why.verdict.cause);
}

/** True when there is something to mend: output is stopped, or nobody could tell and something is suspected. */
export function needsVisit(why: WhyDocument): boolean {
  if (why.silent === false) return false;
  return why.layers.some((entry) => entry.state === 'fault') || why.silent === true;
}

/**
 * The round through the site: what can be mended from the desk first, then what serves most people for each minute,
 * quickest first where that is equal; and what to carry.
 */
export function planVisit(printers: readonly SnapshotPrinter[], people: Readonly<Record<string, number>> = {}): Visit {
  const stops = printers.filter((entry) => needsVisit(entry.why)).map((entry) => stopOf(entry.why, people));
  return { order: stops.sort(byWorth), bring: bringList(printers) };
}

function stopOf(why: WhyDocument, people: Readonly<Record<string, number>>): VisitStop {
  const { next } = why.verdict;
  return {
    printer: why.target,
    minutes: next.reduce((sum, step) => sum + step.minutes, 0),
    people: people[why.target] ?? null,
    remote: isRemote(why),
    steps: next.map((step) => step.step),
  };
}

function byWorth(a: VisitStop, b: VisitStop): number {
  if (a.remote !== b.remote) return a.remote ? -1 : 1;
  const worth = (b.people ?? 1) / Math.max(1, b.minutes) - (a.people ?? 1) / Math.max(1, a.minutes);
  if (worth !== 0) return worth;
  return a.minutes - b.minutes || compareText(a.printer, b.printer);
}

/** By code unit: the same order in every language of the machine. */
function compareText(a: string, b: string): number {
  if (a === b) return 0;
  return a < b ? -1 : 1;
}

/** What a cause calls for; `{component}` stands for the part that the printer names. */
const BRING_BY_CAUSE: Readonly<Record<string, string>> = {
  'supply-empty': '{component}, new',
  'supply-missing': '{component}, new',
  'supply-not-accepted': '{component}, of the type the printer takes',
  'supply-low': '{component}, spare',
  'waste-full': '{component}, empty',
  'part-worn-out': '{component}, new',
  'media-empty': 'paper for {component}',
  'media-needed': 'the paper asked for in {component}',
  'tray-missing': '{component}',
  'fuser-fault': 'the service manual for the fuser',
  'no-carrier': 'a network cable known to be good',
  'no-sign-of-life': 'a network cable and a mains lead known to be good',
};

const PART_BY_CAUSE: Readonly<Record<string, string>> = {
  'waste-full': 'the waste container',
  'part-worn-out': 'the worn part',
  'media-empty': 'the empty tray',
  'media-needed': 'the tray',
  'tray-missing': 'the missing tray',
};

function bringList(printers: readonly SnapshotPrinter[]): readonly BringItem[] {
  const items: BringItem[] = [];
  for (const { why, printer } of printers) {
    for (const blame of [why.verdict, ...why.others, ...why.warnings]) {
      const words = BRING_BY_CAUSE[blame.cause];
      if (words === undefined) continue;
      const part = blame.component ?? PART_BY_CAUSE[blame.cause] ?? 'the supply';
      const model = printer?.identity.model ?? why.printer.model;
      const what = `${words.replace('{component}', part)}${model === null ? '' : ` (${model})`}`;
      addItem(items, { what, for: [why.target], because: blame.summary });
    }
  }
  return items;
}

/** The same thing for several printers is one line. */
function addItem(items: BringItem[], item: BringItem): void {
  const same = items.findIndex((other) => other.what === item.what);
  const before = items[same];
  if (before === undefined) {
    items.push(item);
    return;
  }
  items[same] = { ...before, for: [...new Set([...before.for, ...item.for])] };
}

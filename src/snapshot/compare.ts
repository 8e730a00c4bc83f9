import { COMPARE_SCHEMA, type CompareDocument, type ComparedFault, type FixedFault } from '../model/compare.js';
import type { SnapshotDocument, SnapshotPrinter } from '../model/snapshot.js';
import type { Blame, WhyDocument } from '../model/why.js';
import { exchanged } from './exchanged.js';

const DAY = 86_400_000;

/** The same printer in both, found by what it is, else by what it is called. */
interface Pair {
  readonly name: string;
  readonly old: SnapshotPrinter;
  readonly new: SnapshotPrinter;
}

/** Two snapshots of one site, the older one first. Pure. */
export function compareSnapshots(old: SnapshotDocument, now: SnapshotDocument): CompareDocument {
  const { pairs, appeared, gone } = paired(old.printers, now.printers);
  const all = pairs.map((pair) => faultsOf(pair, old.madeAt, now.madeAt));
  return {
    schema: COMPARE_SCHEMA,
    old: about(old),
    new: about(now),
    days: Math.max(0, Number(((Date.parse(now.madeAt) - Date.parse(old.madeAt)) / DAY).toFixed(1))),
    fixed: all.flatMap(({ fixed }) => fixed),
    broken: [
      ...all.flatMap(({ broken }) => broken),
      ...appeared.flatMap((entry) => faults(entry.why.target, entry.why)),
    ],
    still: all.flatMap(({ still }) => still),
    unclear: all.flatMap(({ unclear }) => unclear),
    replaced: pairs.flatMap((pair) => exchanged(pair.name, pair.old, pair.new)),
    moved: pairs.flatMap(moved),
    appeared: old.chosen ? [] : namesOf(appeared),
    gone: now.chosen ? [] : namesOf(gone),
    notLookedAt: [...(old.chosen ? namesOf(appeared) : []), ...(now.chosen ? namesOf(gone) : [])],
    pages: pairs.flatMap(printed),
  };
}

function namesOf(entries: readonly SnapshotPrinter[]): readonly string[] {
  return entries.map(({ why }) => why.target);
}

function about({ site, madeAt, printers }: SnapshotDocument): CompareDocument['old'] {
  return { site, madeAt, printers: printers.length };
}

function paired(old: readonly SnapshotPrinter[], now: readonly SnapshotPrinter[]) {
  const open = new Set(now);
  const pairs: Pair[] = [];
  const gone: SnapshotPrinter[] = [];
  // Names first, of all: the configuration says who is meant, even when another device stands there now.
  const sameName = new Map<SnapshotPrinter, SnapshotPrinter>();
  for (const before of old) {
    const match = [...open].find(({ why }) => why.target === before.why.target);
    if (match === undefined) continue;
    sameName.set(before, match);
    open.delete(match);
  }
  for (const before of old) {
    const match = sameName.get(before) ?? sameDevice(before, open);
    if (match === undefined) gone.push(before);
    else {
      open.delete(match);
      pairs.push({ name: match.why.target, old: before, new: match });
    }
  }
  return { pairs, gone, appeared: [...open] };
}

function sameDevice(before: SnapshotPrinter, open: ReadonlySet<SnapshotPrinter>): SnapshotPrinter | undefined {
  const ids = identitiesOf(before);
  return [...open].find((entry) => identitiesOf(entry).some((id) => ids.includes(id)));
}

function identitiesOf({ printer }: SnapshotPrinter): readonly string[] {
  if (printer === null) return [];
  const { serial, uuid, macs } = printer.identity;
  return [serial, uuid, ...macs].flatMap((id) => (id === null || id === '' ? [] : [id.toLowerCase()]));
}

function faults(printer: string, { silent, verdict, others }: WhyDocument): readonly ComparedFault[] {
  const named: readonly Blame[] = silent === true ? [verdict, ...others] : others;
  return named.map(({ layer, cause, component, summary }) => ({
    printer,
    layer,
    cause,
    component: component ?? null,
    summary,
  }));
}

function keyOf({ layer, cause, component }: ComparedFault): string {
  return `${layer} ${cause} ${component ?? ''}`;
}

function faultsOf({ name, old, new: now }: Pair, oldAt: string, nowAt: string) {
  const before = faults(name, old.why);
  const after = faults(name, now.why);
  const had = new Set(before.map(keyOf));
  const has = new Set(after.map(keyOf));
  const ended = before.filter((fault) => !has.has(keyOf(fault)));
  return {
    fixed: ended.filter(({ layer }) => isSeen(now.why, layer)).map((fault) => held(fault, now, oldAt, nowAt)),
    unclear: ended.filter(({ layer }) => !isSeen(now.why, layer)),
    broken: after.filter((fault) => !had.has(keyOf(fault))),
    still: after.filter((fault) => had.has(keyOf(fault))),
  };
}

/** How long it has been over, and whether it came back meanwhile, by what an agent remembers in the newer snapshot. */
function held(fault: ComparedFault, { incidents }: SnapshotPrinter, oldAt: string, nowAt: string): FixedFault {
  const own = incidents.filter(({ layer, cause, endedAt }) => {
    return (
      layer === fault.layer && cause === fault.cause && endedAt !== null && Date.parse(endedAt) >= Date.parse(oldAt)
    );
  });
  const last = own
    .map(({ endedAt }) => endedAt ?? '')
    .sort()
    .at(-1);
  if (last === undefined) return { ...fault, endedAt: null, heldDays: null, cameBack: null };
  return {
    ...fault,
    endedAt: last,
    heldDays: Math.max(0, Math.floor((Date.parse(nowAt) - Date.parse(last)) / DAY)),
    cameBack: own.filter(({ startedAt }) => Date.parse(startedAt) > Date.parse(oldAt)).length,
  };
}

/** Whether the newer look can tell how this layer is: it printed, or the layer itself was judged. */
function isSeen({ silent, layers }: WhyDocument, layer: string): boolean {
  if (silent === false) return true;
  const state = layers.find((one) => one.layer === layer)?.state;
  return state === 'clear' || state === 'warning' || state === 'fault';
}

function moved({ name, old, new: now }: Pair): CompareDocument['moved'] {
  const [from, to] = [old.why.printer.address, now.why.printer.address];
  return from === null || to === null || from === to ? [] : [{ printer: name, from, to }];
}

function printed({ name, old, new: now }: Pair): CompareDocument['pages'] {
  const [before, after] = [old.counters?.lifePages ?? null, now.counters?.lifePages ?? null];
  const [a, b] = [old.printer?.identity.serial ?? null, now.printer?.identity.serial ?? null];
  if (before === null || after === null || after < before || (a !== null && b !== null && a !== b)) return [];
  return [{ printer: name, printed: after - before }];
}

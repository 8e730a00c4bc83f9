import type { PrinterDocument, Supply, Tray } from '../model/printer.js';
import type { BringItem, BringKind, RunsOut, SnapshotPrinter } from '../model/snapshot.js';
import type { Forecast } from '../model/supplies.js';
import type { Blame } from '../model/why.js';
import { errandOf } from './errands.js';
import type { PlannedStop } from './stops.js';

/** What is known of a printer beyond what it says of itself. */
export interface Known {
  readonly entry: SnapshotPrinter;
  /** Index of a supply → what it is ordered as. */
  readonly orderNames?: ReadonlyMap<number, string>;
}

/** What a cause calls for; `{component}` stands for the part that the printer names. Common practice, no published source. */
const BY_CAUSE: Readonly<Record<string, readonly [kind: BringKind, what: string, part: string]>> = {
  'supply-empty': ['supply', '{component}, new', 'cartridge that the display names'],
  'supply-missing': ['supply', '{component}, new', 'cartridge that the display names'],
  'supply-not-accepted': [
    'supply',
    '{component}, of the number meant for the model',
    'cartridge that the display names',
  ],
  'supply-low': ['supply', '{component}, spare', 'cartridge'],
  'waste-full': ['supply', '{component}, new', 'waste container'],
  'waste-nearly-full': ['supply', '{component}, spare', 'waste container'],
  'part-worn-out': ['part', '{component}, new', 'worn part that the display names'],
  'part-near-end': ['part', '{component}, spare', 'part that the display names'],
  'media-empty': ['paper', 'paper for {component}', 'the empty tray'],
  'media-low': ['paper', 'paper for {component}', 'the tray'],
  'media-needed': ['paper', 'the paper asked for in {component}', 'the tray'],
  'job-waits-for-media': ['paper', 'the paper that the waiting job asks for', ''],
  'tray-missing': ['part', '{component}', 'the missing tray'],
};

/**
 * Everything to carry: parts, supplies and paper that faults and warnings call for, supplies that may be used up before the
 * next visit, then tools and cables for the stops that somebody has to go to. The same thing for several printers is one line.
 */
export function bringList(
  known: readonly Known[],
  stops: readonly PlannedStop[],
  nextVisit: string,
): readonly BringItem[] {
  const things = known.flatMap((one) => [...calledFor(one), ...soonUsedUp(one, nextVisit)]);
  return merged([...things, ...stops.flatMap(toolsFor)]);
}

function calledFor({ entry, orderNames }: Known): readonly BringItem[] {
  const { why, printer } = entry;
  return [...(why.silent === null ? [] : [why.verdict]), ...why.others, ...why.warnings].flatMap((blame) => {
    const call = Object.hasOwn(BY_CAUSE, blame.cause) ? BY_CAUSE[blame.cause] : undefined;
    if (call === undefined) return [];
    const [kind, words, part] = call;
    const supply = kind === 'supply' || kind === 'part' ? supplyOf(blame, printer) : undefined;
    const paper = kind === 'paper' ? paperOf(blame, printer) : undefined;
    const what = paper ?? words.replace('{component}', blame.component ?? supply?.name ?? part);
    return [item(kind, what, entry, orderNameOf(supply, orderNames), blame.summary)];
  });
}

/** The supply that a fault is about: the one it names, else the only one in that state. */
function supplyOf({ component, cause }: Blame, printer: PrinterDocument | null): Supply | undefined {
  const supplies = printer?.supplies ?? [];
  if (component !== undefined) return supplies.find(({ name }) => name.toLowerCase() === component.toLowerCase());
  const spent = supplies.filter(({ state }) => state === (cause.startsWith('waste') ? 'full' : 'empty'));
  return spent.length === 1 ? spent[0] : undefined;
}

/** The paper that lies in the tray, as IPP names it (PWG 5101.1), and how much of it fills the tray. */
function paperOf({ component }: Blame, printer: PrinterDocument | null): string | undefined {
  const tray = printer?.trays.find(({ name }) => name === component);
  const media = tray?.media ?? '';
  if (tray === undefined || media === '') return undefined;
  return `${sheetsOf(tray)}paper ${sizeWords(media)} for ${tray.name}`;
}

/** A self-describing media name (PWG 5101.1, 5.1) as people say it: iso_a4_210x297mm is "A4, 210 x 297 mm". Any other as it is. */
function sizeWords(media: string): string {
  const parts = /^[a-z]+_([a-z0-9.-]+)_([\d.]+)x([\d.]+)(mm|in)$/.exec(media);
  if (parts === null) return media;
  const [, name = '', width, height, unit] = parts;
  const shown = /^[a-z]\d+$/.test(name) ? name.toUpperCase() : name;
  return `${shown}, ${width} x ${height} ${unit},`;
}

function sheetsOf({ capacity, unit }: Tray): string {
  return capacity !== null && capacity > 0 && unit === 'sheets' ? `${capacity} sheets of ` : '';
}

function orderNameOf(supply: Supply | undefined, names: Known['orderNames']): string | undefined {
  return supply === undefined ? undefined : names?.get(supply.index);
}

function item(
  kind: BringKind,
  what: string,
  { why, knownAs }: SnapshotPrinter,
  orderName: string | undefined,
  because: string,
): BringItem {
  const model = knownAs?.model ?? null;
  const number = orderName === undefined ? '' : `, ordered as ${orderName}`;
  return {
    what: `${what}${number}${model === null ? '' : ` (${model})`}`,
    for: [why.target],
    because,
    kind,
    quantity: 1,
  };
}

/** What may be empty, or full, by then. What a fault or a warning calls for already is not named a second time. */
function soonUsedUp({ entry, orderNames }: Known, nextVisit: string): readonly BringItem[] {
  const { why, printer } = entry;
  const named = new Set(
    [why.verdict, ...why.others, ...why.warnings].flatMap((blame) => {
      const supply = Object.hasOwn(BY_CAUSE, blame.cause) ? supplyOf(blame, printer) : undefined;
      return supply === undefined ? [] : [supply.index];
    }),
  );
  return entry.supplies
    .filter(({ supply }) => !named.has(supply.index))
    .filter((forecast) => isSoon(forecast, nextVisit))
    .map((forecast) => {
      const { supply } = forecast;
      return item('supply', `${supply.name}, spare`, entry, orderNames?.get(supply.index), soonWords(forecast));
    });
}

/** The cautious end counts: a spare too many is carried home again, one too few is a second trip. */
function isSoon({ state, emptyAt }: Forecast, nextVisit: string): boolean {
  if (state === 'low' || state === 'empty' || state === 'full') return true;
  return emptyAt !== null && emptyAt.low <= nextVisit;
}

function soonWords({ emptyAt, state }: Forecast): string {
  if (emptyAt === null) return `It is ${state}, and nothing is known of how long it lasts.`;
  return `It lasts until about ${emptyAt.median}, at worst until ${emptyAt.low}.`;
}

/** Supplies that are used up now or may be before the next visit, the first to go in front. */
export function runsOut(printers: readonly SnapshotPrinter[], nextVisit: string): readonly RunsOut[] {
  return printers
    .flatMap(({ why, supplies }) =>
      supplies
        .filter((forecast) => isSoon(forecast, nextVisit))
        .map(({ supply, emptyAt, state, percent }) => ({
          printer: why.target,
          supply: supply.name,
          emptyAt,
          state,
          percent,
        })),
    )
    .map((one) => ({ one, key: one.emptyAt?.low ?? '' }))
    .sort((a, b) => (a.key < b.key ? -1 : a.key > b.key ? 1 : 0))
    .map(({ one }) => one);
}

function toolsFor({ printer, remote, layer, cause, certainty, summary }: PlannedStop): readonly BringItem[] {
  if (remote) return [];
  // A guess tells little of what will be needed: what serves any visit does.
  const { tools } = errandOf(layer, certainty === 'possible' ? '' : cause);
  return tools.map(({ kind, what }) => ({ kind, what, for: [printer], because: summary, quantity: 1 }));
}

const ONE_SERVES_ALL: ReadonlySet<BringKind> = new Set<BringKind>(['tool', 'document', 'cable']);

function merged(items: readonly BringItem[]): readonly BringItem[] {
  const byWhat = new Map<string, BringItem>();
  for (const one of items) {
    const before = byWhat.get(one.what);
    if (before === undefined) byWhat.set(one.what, one);
    else byWhat.set(one.what, together(before, one));
  }
  return [...byWhat.values()];
}

function together(before: BringItem, one: BringItem): BringItem {
  const single = one.kind !== undefined && ONE_SERVES_ALL.has(one.kind);
  const quantity = single ? 1 : (before.quantity ?? 1) + (one.quantity ?? 1);
  return { ...before, for: [...new Set([...before.for, ...one.for])], quantity };
}

import type { PrinterDocument } from '../model/printer.js';
import { type Incident, SNAPSHOT_SCHEMA, type SnapshotDocument, type SnapshotPrinter } from '../model/snapshot.js';
import type { Forecast } from '../model/supplies.js';
import type { WhyDocument } from '../model/why.js';
import { planVisit } from './visit.js';

/** What is known of one printer when the snapshot is put together. */
export interface SnapshotInput {
  readonly printer: PrinterDocument | null;
  readonly why: WhyDocument;
  /** What an agent's memory adds; absent: nothing is remembered. */
  readonly supplies?: readonly Forecast[];
  readonly incidents?: readonly Incident[];
}

export interface SnapshotSite {
  readonly site: string;
  /** ISO 8601, UTC. */
  readonly madeAt: string;
  /** Target → how many people print there. */
  readonly people?: Readonly<Record<string, number>>;
}

/** Puts a site's printers together as `outfeed.snapshot/1`, in the order given. Pure: the same input gives the same document. */
export function buildSnapshot(inputs: readonly SnapshotInput[], site: SnapshotSite): SnapshotDocument {
  const printers = inputs.map(entryOf);
  return {
    schema: SNAPSHOT_SCHEMA,
    site: site.site,
    madeAt: site.madeAt,
    redacted: false,
    printers,
    visit: planVisit(printers, site.people),
  };
}

function entryOf({ printer, why, supplies = [], incidents = [] }: SnapshotInput): SnapshotPrinter {
  return {
    printer,
    why,
    supplies: foreseen(why.target, printer, supplies),
    counters: printer?.counters ?? null,
    incidents,
  };
}

/** Each supply that the printer names, with its forecast where there is one; of a printer that is silent what is remembered. */
function foreseen(target: string, printer: PrinterDocument | null, known: readonly Forecast[]): readonly Forecast[] {
  if (printer === null) return known;
  return printer.supplies.map(
    (supply) =>
      known.find((one) => one.supply.index === supply.index && one.supply.type === supply.type) ??
      withoutHistory(target, supply),
  );
}

/** One look is no history: the level as it is, and no forecast. */
function withoutHistory(printer: string, supply: PrinterDocument['supplies'][number]): Forecast {
  return {
    printer,
    supply: { index: supply.index, name: supply.name, type: supply.type, colour: supply.colour },
    percent: supply.percent,
    state: supply.state,
    enough: false,
    because: 'no history kept yet',
    perDay: null,
    daysLeft: null,
    emptyAt: null,
    pagesLeft: null,
    refills: [],
  };
}

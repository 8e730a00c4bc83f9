import type { PrinterDocument } from '../model/printer.js';
import {
  type Incident,
  type KnownAs,
  type PrinterPast,
  type SinceVisit,
  SNAPSHOT_SCHEMA,
  type SnapshotDocument,
  type SnapshotPrinter,
} from '../model/snapshot.js';
import type { Forecast } from '../model/supplies.js';
import type { WhyDocument } from '../model/why.js';
import type { Known } from './bring.js';
import { planVisit, type VisitPlan } from './visit.js';

/** What is known of one printer when the snapshot is put together. */
export interface SnapshotInput {
  readonly printer: PrinterDocument | null;
  readonly why: WhyDocument;
  /** What an agent's memory adds; absent: nothing is remembered. */
  readonly supplies?: readonly Forecast[];
  readonly incidents?: readonly Incident[];
  /** What it was and where it stood when that was last known. */
  readonly remembered?: KnownAs;
  readonly past?: PrinterPast;
  readonly sinceVisit?: SinceVisit;
  /** Index of a supply → what it is ordered as, from the file of the model. */
  readonly orderNames?: ReadonlyMap<number, string>;
}

export interface SnapshotSite extends VisitPlan {
  readonly site: string;
  /** A name of the IANA time zone table. */
  readonly timezone?: string;
  /** Stand-ins are where names, places and numbers were. */
  readonly redacted?: boolean;
  /** Of printers that were named, not of all. */
  readonly chosen?: boolean;
}

/** Puts a site's printers together as `outfeed.snapshot/1`, in the order given. Pure: the same input gives the same document. */
export function buildSnapshot(inputs: readonly SnapshotInput[], site: SnapshotSite): SnapshotDocument {
  const printers = inputs.map(entryOf);
  return {
    schema: SNAPSHOT_SCHEMA,
    site: site.site,
    ...(site.timezone === undefined ? {} : { timezone: site.timezone }),
    madeAt: site.madeAt,
    redacted: site.redacted ?? false,
    ...(site.chosen ? { chosen: true } : {}),
    printers,
    visit: planVisit(
      printers.map((entry, index) => knownOf(entry, inputs[index])),
      site,
    ),
  };
}

function knownOf(entry: SnapshotPrinter, input: SnapshotInput | undefined): Known {
  const orderNames = input?.orderNames;
  return orderNames === undefined ? { entry } : { entry, orderNames };
}

function entryOf(input: SnapshotInput): SnapshotPrinter {
  const { printer, why, supplies = [], incidents = [], past, sinceVisit } = input;
  return {
    printer,
    why,
    supplies: foreseen(why.target, printer, supplies),
    counters: printer?.counters ?? null,
    incidents,
    knownAs: knownAsOf(input),
    ...(past === undefined ? {} : { past }),
    ...(sinceVisit === undefined ? {} : { sinceVisit }),
  };
}

/** Its own word counts before what is remembered, unless another device answers in its place. */
function knownAsOf({ printer, why, remembered }: SnapshotInput): KnownAs {
  const own: KnownAs = {
    model: printer?.identity.model ?? why.printer.model,
    serial: printer?.identity.serial ?? why.printer.serial,
    location: printer?.identity.location ?? null,
  };
  if (remembered === undefined) return own;
  const [first, second] = why.verdict.cause === 'another-device-here' ? [remembered, own] : [own, remembered];
  return {
    model: first.model ?? second.model,
    serial: first.serial ?? second.serial,
    location: first.location ?? second.location,
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

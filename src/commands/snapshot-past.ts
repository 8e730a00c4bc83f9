import type { Config } from '../config/config.js';
import { suppliesDocument } from '../forecast/site.js';
import { cartridgeOf } from '../forecast/yield.js';
import type { ModelSupplies } from '../model/cartridge.js';
import type { KeptIncident } from '../model/incident.js';
import { ProgramProblem } from '../model/problem.js';
import type { Incident, KnownAs, SinceVisit, SnapshotPrinter } from '../model/snapshot.js';
import type { Forecast } from '../model/supplies.js';
import { countAt, pastOf, sinceVisitOf } from '../snapshot/past.js';
import type { SnapshotInput } from '../snapshot/snapshot.js';
import type { Io } from './io.js';
import type { LastVisit } from './last-visit.js';
import { modelSupplies } from './model-files.js';
import { type PrinterKept, rememberedPrinters } from './printers-past.js';
import { oneReading } from './supplies-now.js';
import { USUAL_SUPPLIES } from './supplies-options.js';
import { rememberedSupplies, type SuppliesPast, withLooks } from './supplies-past.js';

type Models = ReadonlyMap<string, ModelSupplies>;

/** All that is remembered of a site. Names of printers are in lower case. */
interface SitePast {
  readonly config: Config;
  readonly now: number;
  readonly models: Models;
  readonly supplies?: SuppliesPast;
  readonly forecasts: readonly Forecast[];
  readonly kept: ReadonlyMap<string, PrinterKept>;
  readonly lastVisit?: LastVisit;
}

/**
 * What was seen just now with what is remembered of the same printers: by an agent (forecasts, incidents, states and pages of the last
 * three months), by the snapshot of the last visit, by the configuration. A store that can't be read adds nothing and is told.
 */
export async function withPastOf(
  inputs: readonly SnapshotInput[],
  config: Config,
  io: Io,
  lastVisit?: LastVisit,
): Promise<readonly SnapshotInput[]> {
  const now = io.now().getTime();
  const models = await modelSupplies(config);
  const read = async () => ({
    supplies: await rememberedSupplies(config, io, now),
    kept: await rememberedPrinters(config, io, now),
  });
  const { supplies, kept } = await read().catch((error: unknown) => {
    const words = error instanceof ProgramProblem ? error.message : String(error).slice(0, 200);
    io.stderr(`What the agent remembers can not be read, so the snapshot has no history: ${words}\n`);
    return { supplies: undefined, kept: new Map<string, PrinterKept>() };
  });
  const site: SitePast = {
    config,
    now,
    models,
    ...(supplies === undefined ? {} : { supplies }),
    forecasts: supplies === undefined ? [] : forecastsOf(inputs, supplies, config, models, now),
    kept,
    ...(lastVisit === undefined ? {} : { lastVisit }),
  };
  return inputs.map((input) => ({ ...input, ...ownPast(input, site) }));
}

function forecastsOf(
  inputs: readonly SnapshotInput[],
  { histories }: SuppliesPast,
  { site: { timezone } }: Config,
  models: Models,
  asOf: number,
): readonly Forecast[] {
  const names = new Set(inputs.map(({ why }) => why.target.toLowerCase()));
  const known = histories.filter(({ printer }) => names.has(printer.toLowerCase()));
  const looks = inputs.flatMap(({ printer, why }) =>
    printer === null ? [] : printer.supplies.map((supply) => oneReading(why.target, printer, supply)),
  );
  const options = { ...USUAL_SUPPLIES, asOf, models, ...(timezone === undefined ? {} : { timezone }) };
  const together = withLooks(known, looks).map(({ history }) => history);
  return suppliesDocument(together, options).forecasts;
}

/** Of one printer. However its name was typed, it is the same. */
function ownPast(input: SnapshotInput, site: SitePast): Partial<SnapshotInput> {
  const name = input.why.target.toLowerCase();
  const kept = site.kept.get(name);
  const before = site.lastVisit?.snapshot?.printers.find(({ why }) => why.target.toLowerCase() === name);
  const incidents = incidentsOf(name, site.supplies?.incidents ?? []);
  const orderNames = orderNamesOf(input, site.models.get(name));
  return {
    ...(site.supplies === undefined ? {} : { supplies: suppliesOf(name, input, site.forecasts), incidents }),
    remembered: rememberedOf(name, kept, before, site.config),
    ...(kept === undefined ? {} : { past: pastOf(kept, site.now) }),
    ...(site.lastVisit === undefined ? {} : { sinceVisit: sinceLast(input, incidents, site.lastVisit, kept, before) }),
    ...(orderNames.size === 0 ? {} : { orderNames }),
  };
}

/** How it stands now is the printer's own word, alerts taken into account. */
function suppliesOf(name: string, { printer }: SnapshotInput, forecasts: readonly Forecast[]): readonly Forecast[] {
  return forecasts
    .filter((forecast) => forecast.printer.toLowerCase() === name)
    .map((forecast) => {
      const now = printer?.supplies.find(({ index }) => index === forecast.supply.index);
      return now === undefined ? forecast : { ...forecast, percent: now.percent, state: now.state };
    });
}

/** Those that struck this printer, alone or with others. */
function incidentsOf(name: string, incidents: readonly KeptIncident[]): readonly Incident[] {
  return incidents
    .filter(({ printer, affects }) => [printer, ...affects].some((one) => one.toLowerCase() === name))
    .map(({ id, printer, layer, cause, component, startedAt, endedAt, acknowledgedAt }) => ({
      id,
      printer,
      layer,
      cause,
      component,
      startedAt,
      endedAt,
      acknowledgedAt,
    }));
}

function rememberedOf(
  name: string,
  kept: PrinterKept | undefined,
  before: SnapshotPrinter | undefined,
  { printers }: Config,
): KnownAs {
  const then = before?.knownAs ?? before?.printer?.identity;
  const setting = printers.find((one) => one.name.toLowerCase() === name);
  return {
    model: then?.model ?? kept?.model ?? null,
    serial: setting?.serial ?? then?.serial ?? null,
    location: then?.location ?? null,
  };
}

function orderNamesOf({ printer }: SnapshotInput, model: ModelSupplies | undefined): ReadonlyMap<number, string> {
  const names = new Map<number, string>();
  for (const supply of printer?.supplies ?? []) {
    const cartridge = cartridgeOf(supply, model?.supplies ?? []);
    if (cartridge !== undefined) names.set(supply.index, cartridge.order);
  }
  return names;
}

/** The counter of then is that which the snapshot of then holds, else the one that an agent kept. */
function sinceLast(
  { printer }: SnapshotInput,
  incidents: readonly Incident[],
  { at }: LastVisit,
  kept: PrinterKept | undefined,
  before: SnapshotPrinter | undefined,
): SinceVisit {
  const [now, then] = [printer?.identity.serial ?? null, before?.printer?.identity.serial ?? null];
  const exchanged = now !== null && then !== null && now !== then;
  const counted = before?.counters?.lifePages ?? countAt(kept?.counts ?? [], Date.parse(at));
  return sinceVisitOf({
    lastVisit: at,
    lifePagesThen: exchanged ? null : counted,
    lifePagesNow: printer?.counters.lifePages ?? null,
    incidents,
  });
}

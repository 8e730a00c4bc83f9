import type { Config } from '../config/config.js';
import { suppliesDocument } from '../forecast/site.js';
import { ProgramProblem } from '../model/problem.js';
import type { Incident } from '../model/snapshot.js';
import type { Forecast } from '../model/supplies.js';
import type { SnapshotInput } from '../snapshot/snapshot.js';
import type { Io } from './io.js';
import { modelSupplies } from './model-files.js';
import { oneReading } from './supplies-now.js';
import { USUAL_SUPPLIES } from './supplies-options.js';
import { rememberedSupplies, withLooks } from './supplies-past.js';

/**
 * What was seen just now with what an agent remembers of the same printers: forecasts, and the incidents of the last three months.
 * A store that can't be read adds nothing and is told.
 */
export async function withPastOf(
  inputs: readonly SnapshotInput[],
  config: Config,
  io: Io,
): Promise<readonly SnapshotInput[]> {
  const asOf = io.now().getTime();
  const past = await rememberedSupplies(config, io, asOf).catch((error: unknown) => {
    const words = error instanceof ProgramProblem ? error.message : String(error).slice(0, 200);
    io.stderr(`What the agent remembers can not be read, so the snapshot has no history: ${words}\n`);
    return undefined;
  });
  if (past === undefined) return inputs;
  const names = new Set(inputs.map(({ why }) => why.target.toLowerCase()));
  const known = past.histories.filter(({ printer }) => names.has(printer.toLowerCase()));
  const looks = inputs.flatMap(({ printer, why }) =>
    printer === null ? [] : printer.supplies.map((supply) => oneReading(why.target, printer, supply)),
  );
  const histories = withLooks(known, looks).map(({ history }) => history);
  const { timezone } = config.site;
  const { forecasts } = suppliesDocument(histories, {
    ...USUAL_SUPPLIES,
    asOf,
    models: await modelSupplies(config),
    ...(timezone === undefined ? {} : { timezone }),
  });
  return inputs.map((input) => ({ ...input, ...pastOf(input.why.target, input, forecasts, past.incidents) }));
}

function pastOf(
  target: string,
  { printer }: SnapshotInput,
  forecasts: readonly Forecast[],
  incidents: readonly Incident[],
): Pick<SnapshotInput, 'supplies' | 'incidents'> {
  const own = forecasts.filter((forecast) => forecast.printer.toLowerCase() === target.toLowerCase());
  return {
    // How it stands now is the printer's own word, alerts taken into account.
    supplies: own.map((forecast) => {
      const now = printer?.supplies.find(({ index }) => index === forecast.supply.index);
      return now === undefined ? forecast : { ...forecast, percent: now.percent, state: now.state };
    }),
    incidents: incidents.filter((incident) => incident.printer === target),
  };
}

import type { Config } from '../config/config.js';
import { loadConfig } from '../config/load.js';
import { calendarOf } from '../forecast/calendar.js';
import { isUrgent, type SiteOptions, suppliesDocument } from '../forecast/site.js';
import type { SupplyHistory } from '../model/history.js';
import { EXIT, type ExitCode, ProgramProblem } from '../model/problem.js';
import type { SuppliesDocument } from '../model/supplies.js';
import { forTerminal } from '../render/escape.js';
import { renderJson } from '../render/json.js';
import { suppliesCsv } from '../render/supplies-csv.js';
import { renderSupplies } from '../render/supplies-text.js';
import { readHistoryFile } from './history-file.js';
import type { Io } from './io.js';
import { modelSupplies } from './model-files.js';
import type { CommonOptions } from './options.js';
import { lookAtSupplies } from './supplies-now.js';
import { rememberedSupplies, type SuppliesPast, withLooks } from './supplies-past.js';
import { writeWhole } from './whole-file.js';

export interface SuppliesArgs {
  /** As typed; none: all printers of the history, or all that are configured. */
  readonly targets: readonly string[];
  /** CSV file with the past. */
  readonly history?: string;
  /** The moment that is asked about, milliseconds since 1970. */
  readonly asOf?: number;
  readonly interval: number;
  readonly leadDays: number;
  readonly risk: number;
  /** File to write the forecasts and orders to as CSV. */
  readonly csv?: string;
  readonly options: CommonOptions;
}

/**
 * Tells what runs out when and what to order. Exit 0: nothing to do today. 1: something is used up or has to be ordered today.
 * 3: nothing is known of any supply.
 */
export async function runSupplies(args: SuppliesArgs, io: Io): Promise<ExitCode> {
  const { options } = args;
  const config = await loadConfig(options.config, io);
  const document = await (args.history === undefined ? now(args, config, io) : past(args.history, args, config, io));
  if (args.csv !== undefined) await writeWhole(args.csv, suppliesCsv(document), io.cwd);
  const { timezone } = config.site;
  const today = calendarOf(timezone).dateOf(Date.parse(document.asOf));
  const text = { color: io.color && options.color, columns: io.columns, today };
  io.stdout(options.json ? renderJson(document) : renderSupplies(document, text));
  if (isUrgent(document, timezone)) return EXIT.fault;
  const known = document.forecasts.some(({ enough, state }) => enough || state !== 'unknown');
  return known ? EXIT.nothingWrong : EXIT.undecided;
}

/** Forecasts from the past in a file, as of its last reading unless another time is asked about. */
async function past(file: string, args: SuppliesArgs, config: Config, io: Io): Promise<SuppliesDocument> {
  const history = await readHistoryFile(file, io);
  const all = await history.supplies(args.asOf ?? Number.POSITIVE_INFINITY);
  const asOf = args.asOf ?? newest(all);
  const wanted = args.targets.map((target) => target.toLowerCase());
  const names = [...new Set(all.map(({ printer }) => printer))];
  const missing = args.targets.filter((target) => !names.some((name) => name.toLowerCase() === target.toLowerCase()));
  if (missing.length > 0) throw unknownPrinter(missing[0] ?? '', file, names);
  const histories = all.filter(({ printer }) => wanted.length === 0 || wanted.includes(printer.toLowerCase()));
  return suppliesDocument(histories, await siteOptions(args, config, asOf));
}

function newest(histories: readonly SupplyHistory[]): number {
  return histories.reduce((latest, { readings }) => Math.max(latest, readings.at(-1)?.at ?? 0), 0);
}

function unknownPrinter(target: string, file: string, names: readonly string[]): ProgramProblem {
  const some = names.slice(0, 5).join(', ');
  const has = names.length === 0 ? 'has no reading up to then' : `has ${some}${names.length > 5 ? ' and others' : ''}`;
  return new ProgramProblem('history-printer', `${file} has no printer "${forTerminal(target, 100)}"; it ${has}.`);
}

async function now(args: SuppliesArgs, config: Config, io: Io): Promise<SuppliesDocument> {
  const until = args.asOf ?? io.now().getTime();
  const past = await rememberedSupplies(config, io, until);
  if (args.asOf !== undefined) return remembered(past, args, config, until);
  const { histories: looks, asked, present, problems } = await lookAtSupplies(args.targets, args.options, config, io);
  // Looking takes seconds: what was seen belongs to the past only once it is over.
  const asOf = io.now().getTime();
  const names = new Set(asked.map((name) => name.toLowerCase()));
  const known = past?.histories.filter(({ printer }) => names.has(printer.toLowerCase())) ?? [];
  const pairs = withLooks(known, looks);
  const lookOf = new Map(pairs.map(({ history, look }) => [history, look]));
  return suppliesDocument(
    pairs.map(({ history }) => history),
    await siteOptions(args, config, asOf),
    (history) => {
      const look = lookOf.get(history);
      return look === undefined ? undefined : present(look);
    },
    problems,
    past?.feeding.filter(({ printer }) => names.has(printer.toLowerCase())),
  );
}

/** As of a moment that is over: nobody is asked now. */
async function remembered(
  past: SuppliesPast | undefined,
  args: SuppliesArgs,
  config: Config,
  asOf: number,
): Promise<SuppliesDocument> {
  if (past === undefined) {
    throw new ProgramProblem(
      'option-needs',
      '--as-of needs a past: give --history FILE with it, or let the agent run.',
    );
  }
  const wanted = args.targets.map((target) => target.toLowerCase());
  const isWanted = ({ printer }: { printer: string }): boolean =>
    wanted.length === 0 || wanted.includes(printer.toLowerCase());
  const options = await siteOptions(args, config, asOf);
  return suppliesDocument(past.histories.filter(isWanted), options, undefined, [], past.feeding.filter(isWanted));
}

async function siteOptions(args: SuppliesArgs, config: Config, asOf: number): Promise<SiteOptions> {
  const { interval, leadDays, risk } = args;
  const { timezone } = config.site;
  const models = await modelSupplies(config);
  return { asOf, interval, leadDays, risk, models, ...(timezone === undefined ? {} : { timezone }) };
}

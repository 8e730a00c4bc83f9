import { isIP } from 'node:net';
import type { Config } from '../config/config.js';
import { loadConfig } from '../config/load.js';
import { EXIT, type ExitCode } from '../model/problem.js';
import type { SweepDocument } from '../model/sweep.js';
import type { Target } from '../model/target.js';
import { readDeviceUri } from '../model/uri.js';
import type { Net } from '../net/net.js';
import { renderJson } from '../render/json.js';
import { renderSweep } from '../render/sweep-text.js';
import { type KnownPrinter, type SweepOptions, type SweepPorts, USUAL_PORTS } from '../sweep/options.js';
import { ownRanges } from '../sweep/own-ranges.js';
import { PACES } from '../sweep/pace.js';
import { parseRanges, type RangePlan } from '../sweep/ranges.js';
import { sweep } from '../sweep/sweep.js';
import { credentialsOf } from './credentials.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';
import { startProgress } from './progress.js';
import { configuredTargets } from './target.js';

export interface SweepArgs {
  /** Empty: the configured ranges, else the machine's own subnets. */
  readonly ranges: readonly string[];
  readonly options: CommonOptions;
}

const RETRIES = 1;
const LISTEN_MS = 1500;
const RESOLVE_MS = 1500;

/** Finds the printers of the ranges and prints them. Exit 0 when the sweep ran, whatever it found. */
export async function runSweep({ ranges, options }: SweepArgs, io: Io): Promise<ExitCode> {
  const document = await sweepFor(ranges, options, io);
  io.stdout(
    options.json
      ? renderJson(document)
      : renderSweep(document, { color: io.color && options.color, columns: io.columns }),
  );
  return EXIT.nothingWrong;
}

/** Sweeps as the options and the configuration say, with a progress line where a person watches. */
export async function sweepFor(ranges: readonly string[], options: CommonOptions, io: Io): Promise<SweepDocument> {
  const config = await loadConfig(options.config, io);
  const net = await io.net();
  const { plan, remarks } = await planFor(ranges, config, options, net);
  const known = await knownPrinters(configuredTargets(config, options), net);
  const pace = PACES[config.sweep.pace];
  const drawn = io.stderrIsTty && !options.json && !options.quiet;
  const progress = drawn ? startProgress(plan.count, io.stderr, io.columns) : undefined;
  const asked: SweepOptions = {
    plan,
    remarks,
    known,
    ports: portsFor(known, options),
    credentials: await credentialsOf(options, config, io),
    retries: options.retries ?? config.read.retries ?? RETRIES,
    pace: options.timeoutMs === undefined ? pace : { ...pace, timeoutMs: options.timeoutMs },
    listenMs: LISTEN_MS,
    ...(io.signal === undefined ? {} : { signal: io.signal }),
    ...(progress === undefined ? {} : { onProgress: progress.update }),
  };
  return sweep(asked, net).finally(() => progress?.stop());
}

interface Planned {
  readonly plan: RangePlan;
  readonly remarks: readonly string[];
}

async function planFor(
  given: readonly string[],
  config: Config,
  options: Pick<CommonOptions, 'yesLarge' | 'allowPublic'>,
  net: Net,
): Promise<Planned> {
  const permits = { yesLarge: options.yesLarge, allowPublic: options.allowPublic || config.allowPublic };
  const named = given.length > 0 ? given : config.sweep.ranges;
  if (named.length > 0) return { plan: parseRanges(named, permits), remarks: [] };
  const own = ownRanges(await net.subnets());
  return { plan: parseRanges(own.names, permits), remarks: own.remarks };
}

/** Configured printers by address; a name that can't be resolved quickly is left to be met by its address. */
async function knownPrinters(targets: readonly Target[], net: Net): Promise<readonly KnownPrinter[]> {
  const placed = await Promise.all(
    targets.map(async (target): Promise<readonly KnownPrinter[]> => {
      const literal = isIP(target.host) !== 0;
      const addresses = literal ? [target.host] : (await net.resolve(target.host, RESOLVE_MS)).addresses;
      const { printPorts, snmpPort, ippUri } = target;
      return addresses.map((address) => ({
        address,
        printPorts,
        snmpPort,
        ...(ippUri === undefined ? {} : { ippUri }),
      }));
    }),
  );
  return placed.flat();
}

/** The usual ports, and those that the site's configured printers use: its others are likely to use them too. */
function portsFor(known: readonly KnownPrinter[], options: Pick<CommonOptions, 'snmpPort' | 'ippUri'>): SweepPorts {
  const uris = [...known.map((printer) => printer.ippUri), options.ippUri].filter((uri) => uri !== undefined);
  const ipp = unique([...USUAL_PORTS.ipp, ...uris.flatMap(portOf)]);
  const print = unique([...USUAL_PORTS.print, ...known.flatMap((printer) => printer.printPorts)]);
  const usualSnmp = options.snmpPort === undefined ? USUAL_PORTS.snmp : [options.snmpPort];
  return {
    ipp,
    print: print.filter((port) => !ipp.includes(port)),
    web: USUAL_PORTS.web,
    snmp: unique([...usualSnmp, ...known.map((printer) => printer.snmpPort)]),
  };
}

function portOf(uri: string): readonly number[] {
  const read = readDeviceUri(uri);
  return 'wrong' in read ? [] : [read.port];
}

function unique(ports: readonly number[]): readonly number[] {
  return [...new Set(ports)];
}

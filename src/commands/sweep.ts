import { isIP } from 'node:net';
import { setFlagsFromString } from 'node:v8';
import type { Config } from '../config/config.js';
import { loadConfig } from '../config/load.js';
import { EXIT, type ExitCode } from '../model/problem.js';
import type { SweepDocument } from '../model/sweep.js';
import type { Target } from '../model/target.js';
import { readDeviceUri } from '../model/uri.js';
import type { Net } from '../net/net.js';
import { renderJson } from '../render/json.js';
import { changesSince, type Memory, type Remembered, rememberedFrom } from '../sweep/changes.js';
import { type KnownPrinter, type SweepOptions, type SweepPorts, USUAL_PORTS } from '../sweep/options.js';
import { ownRanges } from '../sweep/own-ranges.js';
import { PACES } from '../sweep/pace.js';
import { contains, parseRanges, type RangePlan } from '../sweep/ranges.js';
import { sweep } from '../sweep/sweep.js';
import { credentialsOf } from './credentials.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';
import { configuredTargets } from './target.js';

export interface SweepArgs {
  /** Empty: the configured ranges, else the machine's own subnets. */
  readonly ranges: readonly string[];
  /** File with an earlier sweep. */
  readonly since?: string;
  readonly options: CommonOptions;
}

/** A question is asked three times in all: with one packet in twenty lost, one in a thousand stays unanswered. */
const RETRIES = 2;
const RESOLVE_MS = 1500;

/**
 * A long sweep lives on short-lived sockets, which V8's young collector takes for alive; left to itself the heap doubles before they go.
 * So over this many addresses it is collected whenever it has grown by so much. Percent.
 */
const HEAP_GROWTH = 20;
const MANY_ADDRESSES = 1024;

/** Finds the printers of the ranges and prints them. Exit 0 when the sweep ran, whatever it found. */
export async function runSweep({ ranges, since, options }: SweepArgs, io: Io): Promise<ExitCode> {
  // Before the network is touched: a file that can't be read is found out at once.
  const earlier = since === undefined ? undefined : await (await import('./earlier-sweep.js')).loadSweep(since, io.cwd);
  const document = await sweepFor(ranges, options, io, earlier);
  if (options.json) io.stdout(renderJson(document));
  else {
    const { renderSweep } = await import('../render/sweep-text.js');
    io.stdout(renderSweep(document, { color: io.color && options.color, columns: io.columns }));
  }
  return EXIT.nothingWrong;
}

/**
 * Sweeps as the options and the configuration say, with a progress line where a person watches, and compares what was found with the
 * configuration and with an earlier sweep.
 */
export async function sweepFor(
  ranges: readonly string[],
  options: CommonOptions,
  io: Io,
  earlier?: SweepDocument,
): Promise<SweepDocument> {
  const config = await loadConfig(options.config, io);
  const net = await io.net();
  const { plan, remarks } = await planFor(ranges, config, options, net);
  if (plan.count > MANY_ADDRESSES) setFlagsFromString(`--heap-growing-percent=${HEAP_GROWTH}`);
  const configured = await placedPrinters(configuredTargets(config, options), net);
  const known = configured.flatMap(({ known: places }) => places);
  // Without a configuration a person waits; an agent that sweeps by itself has one, and time.
  const pace = PACES[options.pace ?? (config.folder === null ? 'steady' : config.sweep.pace)];
  const drawn = io.stderrIsTty && !options.json && !options.quiet;
  const progress = drawn ? (await import('./progress.js')).startProgress(plan.count, io.stderr, io.columns) : undefined;
  const asked: SweepOptions = {
    plan,
    remarks,
    known,
    ports: portsFor(known, options),
    credentials: await credentialsOf(options, config, io),
    retries: options.retries ?? config.read.retries ?? RETRIES,
    pace: options.timeoutMs === undefined ? pace : { ...pace, timeoutMs: options.timeoutMs },
    listenMs: options.listenMs ?? pace.listenMs,
    ...(io.signal === undefined ? {} : { signal: io.signal }),
    ...(progress === undefined ? {} : { onProgress: progress.update, onFound: progress.found }),
  };
  const document = await sweep(asked, net).finally(() => progress?.stop());
  const memories = memoriesOf(configured, plan, earlier);
  if (memories.length === 0) return document;
  const complete = io.signal?.aborted !== true;
  const changes = memories.flatMap((memory) => changesSince(document, memory, complete));
  // That nothing differs can't be said of addresses that were not tried.
  return changes.length === 0 && !complete ? document : { ...document, changes };
}

function memoriesOf(
  configured: readonly PlacedPrinter[],
  plan: RangePlan,
  earlier: SweepDocument | undefined,
): readonly Memory[] {
  const inRange = (address: string): boolean => contains(plan, address);
  const inBoth = (before: SweepDocument): ((address: string) => boolean) => {
    const ranges = parseRanges(before.ranges, { yesLarge: true, allowPublic: true });
    return (address) => inRange(address) && contains(ranges, address);
  };
  return [
    ...(configured.length === 0
      ? []
      : [{ against: 'configuration' as const, printers: configured.map(({ remembered }) => remembered), inRange }]),
    ...(earlier === undefined
      ? []
      : [{ against: 'earlier-sweep' as const, printers: rememberedFrom(earlier), inRange: inBoth(earlier) }]),
  ];
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

/** A configured printer where the network puts it. */
interface PlacedPrinter {
  readonly known: readonly KnownPrinter[];
  readonly remembered: Remembered;
}

/** Configured printers by address; a name that can't be resolved quickly is left to be met by its address. */
function placedPrinters(targets: readonly Target[], net: Net): Promise<readonly PlacedPrinter[]> {
  return Promise.all(
    targets.map(async (target): Promise<PlacedPrinter> => {
      const literal = isIP(target.host) !== 0;
      const addresses = literal ? [target.host] : (await net.resolve(target.host, RESOLVE_MS)).addresses;
      const { printPorts, snmpPort, ippUri, expected, deviceIndex, label } = target;
      const { serial = null, uuid = null, mac = null } = expected ?? {};
      const index = deviceIndex === undefined ? {} : { deviceIndex };
      const uri = ippUri === undefined ? {} : { ippUri };
      return {
        known: addresses.map((address) => ({ address, printPorts, snmpPort, ...uri })),
        remembered: { label, addresses, serial, uuid, mac, ...index },
      };
    }),
  );
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

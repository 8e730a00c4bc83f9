import { isIP } from 'node:net';
import type { Config } from '../config/config.js';
import { loadConfig } from '../config/load.js';
import { type Facts, readFacts } from '../facts/facts.js';
import type { QueueFact } from '../facts/queues.js';
import type { Evidence, Observation } from '../model/evidence.js';
import { EXIT, type ExitCode } from '../model/problem.js';
import { QUEUE_SCHEMA, type QueueDocument, type QueueEntry } from '../model/queue.js';
import type { Target } from '../model/target.js';
import { EVIDENCE_SCHEMA, type EvidenceBundle } from '../model/why.js';
import type { Net } from '../net/net.js';
import { collectEvidence } from '../probes/collect.js';
import type { Limits } from '../probes/probe.js';
import { spoolerProbe } from '../probes/spooler/spooler.js';
import { renderJson } from '../render/json.js';
import { renderQueues } from '../render/queue-text.js';
import { crashReport } from '../verdict/crash-report.js';
import { type KnownPrinter, leadsTo } from '../verdict/leads-to.js';
import { queueEntry } from '../verdict/queue-entry.js';
import type { Io } from './io.js';
import { limitsOf } from './limits.js';
import type { CommonOptions } from './options.js';
import type { Apply } from './queue-actions.js';
import { applyToJob } from './queue-apply.js';
import { filesAsEvidence, type QueueFiles } from './queue-files.js';
import { findPlaces, type Places, type QueuePlace } from './queue-places.js';

export interface QueueArgs {
  /** TARGETs and URIs. */
  readonly targets: readonly string[];
  readonly options: CommonOptions;
  readonly files: QueueFiles;
  /** The local spooler, when it is not the one on loopback; `none` leaves it out. */
  readonly spooler?: string;
  /** Set one job aside. */
  readonly apply?: Apply;
}

/** Printers asked at once. */
const AT_ONCE = 8;

/**
 * Shows the print queues and jobs on the way to a printer, and what blocks them. Exit 0: nothing blocks. 1: something does. 3: no
 * queue could be found or read.
 */
export async function runQueue(args: QueueArgs, io: Io): Promise<ExitCode> {
  const { document, uris } = await queueDocument(args, io);
  const { json, color } = args.options;
  io.stdout(json ? renderJson(document) : renderQueues(document, { color: io.color && color, columns: io.columns }));
  if (args.apply !== undefined) await applyToJob(args.apply, document, uris, args.options, io);
  return exitOf(document);
}

function exitOf({ queues, crashLoop }: QueueDocument): ExitCode {
  const fault = queues.some(({ findings }) => findings.some(({ severity }) => severity === 'fault'));
  if (fault || (crashLoop !== null && crashLoop.crashes > 1)) return EXIT.fault;
  const read = queues.some(({ state }) => state !== null);
  return read || crashLoop !== null ? EXIT.nothingWrong : EXIT.undecided;
}

interface Made {
  readonly document: QueueDocument;
  /** URIs of the queues that were asked over IPP. */
  readonly uris: ReadonlySet<string>;
}

/** Asks and judges; prints nothing. */
export async function queueDocument(args: QueueArgs, io: Io): Promise<Made> {
  const config = await loadConfig(args.options.config, io);
  const files = await filesAsEvidence(args.files, io);
  const net = await io.net();
  const limits = await limitsOf(args.options, config, io);
  const look = files.length === 0 || args.targets.length > 0 || args.spooler !== undefined;
  const asking = {
    targets: args.targets,
    options: args.options,
    look,
    ...(args.spooler === undefined ? {} : { spooler: args.spooler }),
  };
  const found = await findPlaces(asking, config, net, io, limits.timeoutMs);
  const known = await knownPrinters(found.targets, config, net, limits);
  const read = await readPlaces(found, known, net, limits);
  const askedAt = net.now().toISOString();
  const site: Site = { files, found, known, limits, askedAt };
  const bundles = await printerBundles(site, read, net);
  const entries = [...silentEntries(site), ...ippEntries(site, read, bundles), ...reportEntries(site, bundles)];
  const host = readFacts(bundleOf(site, null, files)).printHost;
  return {
    document: {
      schema: QUEUE_SCHEMA,
      askedAt,
      queues: withMembers(entries),
      crashLoop: crashReport(host),
      problems: [...found.problems, ...(host?.denied ?? []).map((part) => `The report could not tell of ${part}.`)],
    },
    uris: new Set(read.map(({ place }) => place.uri)),
  };
}

interface Site {
  readonly files: readonly Observation[];
  readonly found: Places;
  readonly known: readonly KnownPrinter[];
  readonly limits: Limits;
  readonly askedAt: string;
}

interface Read {
  readonly place: QueuePlace;
  readonly records: readonly Observation[];
  readonly queue: QueueFact;
  /** Label of the printer that it leads to. */
  readonly leadsTo: string | null;
}

/** Every printer with its addresses: device URIs name them in many ways. */
async function knownPrinters(
  targets: readonly Target[],
  config: Config,
  net: Net,
  limits: Limits,
): Promise<readonly KnownPrinter[]> {
  return Promise.all(
    targets.map(async ({ label, host, ippUri }): Promise<KnownPrinter> => {
      const addresses = isIP(host) === 0 ? (await net.resolve(host, limits.timeoutMs)).addresses : [host];
      const setting = config.printers.find(({ name }) => name.toLowerCase() === label.toLowerCase());
      const names = isIP(host) === 0 ? [host] : [];
      const ippHost = ippUri === undefined ? undefined : /^[a-z]+:\/\/([^/:[\]]+)/i.exec(ippUri)?.[1];
      return {
        label,
        addresses,
        hostNames: [...names, ...(ippHost === undefined || isIP(ippHost) !== 0 ? [] : [ippHost])],
        uuids: setting?.uuid === undefined ? [] : [setting.uuid],
        serviceNames: [label],
      };
    }),
  );
}

/** Reads every queue; where a printer was asked about, only those that lead to it or should do so are kept. */
async function readPlaces(
  found: Places,
  known: readonly KnownPrinter[],
  net: Net,
  limits: Limits,
): Promise<readonly Read[]> {
  const all = await inTurn(found.places, async (place): Promise<Read | undefined> => {
    const target: Target = { label: place.uri, host: '', snmpPort: 161, printPorts: [], queues: [place.uri] };
    const records = await spoolerProbe.run(target, net, limits);
    const bundle = { target: '', address: null, askedAt: '', evidence: numbered(records) };
    const [queue] = readFacts({ ...bundle, ...(limits.user === undefined ? {} : { user: limits.user }) }).queues ?? [];
    return queue === undefined ? undefined : { place, records, queue, leadsTo: leadsTo(queue, known) };
  });
  const read = all.flatMap((one) => one ?? []);
  const { about } = found;
  if (about.length === 0) return read;
  return read.filter(({ place, leadsTo: to, queue }) => {
    const meant = place.from !== 'listed' || about.some((label) => label.toLowerCase() === queue.name.toLowerCase());
    return meant || (to !== null && about.includes(to));
  });
}

/** What each printer behind a queue says of itself, by label. Every printer is asked once, however many queues lead to it. */
async function printerBundles(
  site: Site,
  read: readonly Read[],
  net: Net,
): Promise<ReadonlyMap<string, EvidenceBundle>> {
  const { found, limits } = site;
  const labels = new Set([...read.flatMap((one) => expectedOf(one, site) ?? []), ...reportLabels(site)]);
  const targets = found.targets.filter(({ label }) => labels.has(label));
  const bundles = await inTurn(
    targets,
    async (target) => [target.label, await collectEvidence(target, net, limits)] as const,
  );
  return new Map(bundles);
}

/** The printer that a queue is judged with: the one it should lead to, else the one it does, else the one of its name. */
function expectedOf({ place, queue, leadsTo: to }: Read, { found }: Site): string | null {
  const named = found.targets.find(({ label }) => label.toLowerCase() === queue.name.toLowerCase())?.label;
  return place.wanted ?? to ?? named ?? null;
}

function ippEntries(
  site: Site,
  read: readonly Read[],
  bundles: ReadonlyMap<string, EvidenceBundle>,
): readonly QueueEntry[] {
  return read.flatMap((one) => {
    const label = expectedOf(one, site);
    const printer = label === null ? undefined : bundles.get(label);
    const facts = readFacts(bundleOf(site, printer ?? null, one.records));
    const queue = facts.queues?.find(({ uri }) => uri === one.queue.uri);
    return queue === undefined ? [] : [queueEntry(queue, facts, one.leadsTo, site.limits.user ?? null)];
  });
}

/** A spooler that was named and is not there stops all its queues. */
function silentEntries(site: Site): readonly QueueEntry[] {
  const { silentSpooler } = site.found;
  if (silentSpooler === null) return [];
  const record: Observation = {
    source: 'spooler',
    what: 'Get-Printer-Attributes',
    about: 'queue',
    subject: silentSpooler,
    outcome: 'refused',
    value: { uri: silentSpooler, httpStatus: null, version: null, status: null, attributes: {}, problems: [] },
    at: site.askedAt,
    tookMs: 0,
  };
  const facts = readFacts(bundleOf(site, null, [record]));
  return (facts.queues ?? []).map((queue) => queueEntry(queue, facts, null, null));
}

function hostFacts(site: Site): Facts | undefined {
  const report = site.files.find(({ what }) => what === 'print-host report');
  return report === undefined ? undefined : readFacts({ ...bundleOf(site, null, site.files), target: report.subject });
}

function reportLabels(site: Site): readonly string[] {
  return (hostFacts(site)?.queues ?? []).flatMap((queue) => reportedPrinter(queue, site) ?? []);
}

function reportedPrinter(queue: QueueFact, { known }: Site): string | null {
  const named = known.find(({ label }) => label.toLowerCase() === queue.name.toLowerCase())?.label;
  return leadsTo(queue, known) ?? named ?? null;
}

/** Queues of a print host's report, each judged with the printer behind it where that is known. */
function reportEntries(site: Site, bundles: ReadonlyMap<string, EvidenceBundle>): readonly QueueEntry[] {
  const host = hostFacts(site);
  if (host === undefined) return [];
  const { about } = site.found;
  return (host.queues ?? []).flatMap((queue) => {
    const label = reportedPrinter(queue, site);
    if (about.length > 0 && (label === null || !about.includes(label))) return [];
    const printer = label === null ? undefined : bundles.get(label);
    const facts = printer === undefined ? host : readFacts(bundleOf(site, printer, site.files));
    const own = facts.queues?.find(({ uri }) => uri === queue.uri) ?? queue;
    return [queueEntry(own, facts, leadsTo(queue, site.known), site.limits.user ?? null)];
  });
}

/** A class leads where its members lead, when they all lead to one printer. */
function withMembers(entries: readonly QueueEntry[]): readonly QueueEntry[] {
  return entries.map((entry) => {
    const members = entries.filter(({ name, server }) => server === entry.server && entry.members.includes(name));
    const to = new Set(members.map((member) => member.leadsTo));
    const [only] = to;
    return entry.members.length > 0 && to.size === 1 && only != null ? { ...entry, leadsTo: only } : entry;
  });
}

function bundleOf(
  { limits, askedAt }: Site,
  printer: EvidenceBundle | null,
  records: readonly Observation[],
): EvidenceBundle {
  return {
    schema: EVIDENCE_SCHEMA,
    target: printer?.target ?? '',
    address: printer?.address ?? null,
    ...(limits.user === undefined ? {} : { user: limits.user }),
    askedAt,
    tookMs: 0,
    evidence: numbered([...(printer?.evidence ?? []), ...records]),
  };
}

function numbered(records: readonly Observation[]): readonly Evidence[] {
  return records.map((record, index) => ({ ...record, id: `e${index + 1}` }) as Evidence);
}

/** A few at a time, results in the order of the list. */
async function inTurn<T, R>(list: readonly T[], work: (item: T) => Promise<R>): Promise<readonly R[]> {
  const results: R[] = [];
  for (let at = 0; at < list.length; at += AT_ONCE)
    results.push(...(await Promise.all(list.slice(at, at + AT_ONCE).map(work))));
  return results;
}

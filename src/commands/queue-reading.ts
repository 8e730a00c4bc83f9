import { isIP } from 'node:net';
import type { Config } from '../config/config.js';
import { readFacts } from '../facts/facts.js';
import type { QueueFact } from '../facts/queues.js';
import type { Evidence, Observation } from '../model/evidence.js';
import type { Target } from '../model/target.js';
import { EVIDENCE_SCHEMA, type EvidenceBundle } from '../model/why.js';
import type { Net } from '../net/net.js';
import { collectEvidence } from '../probes/collect.js';
import { ippProbe } from '../probes/ipp/ipp.js';
import type { Limits } from '../probes/probe.js';
import { spoolerProbe } from '../probes/spooler/spooler.js';
import { tcpProbe } from '../probes/tcp/tcp.js';
import { blockOf, isPrivate, toNumber } from '../sweep/space.js';
import { type KnownPrinter, leadsTo } from '../verdict/leads-to.js';
import type { Places, QueuePlace } from './queue-places.js';

/** Printers asked at once. */
const AT_ONCE = 8;

/** What was found and read so far. */
export interface Site {
  readonly files: readonly Observation[];
  readonly found: Places;
  readonly known: readonly KnownPrinter[];
  readonly limits: Limits;
  readonly askedAt: string;
}

export interface Read {
  readonly place: QueuePlace;
  readonly records: readonly Observation[];
  readonly queue: QueueFact;
  /** Label of the printer that it leads to. */
  readonly leadsTo: string | null;
}

/** Every printer with its addresses: device URIs name them in many ways. */
export async function knownPrinters(
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
export async function readPlaces(
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

/**
 * What the printers behind the queues say of themselves, by their label. A printer that is known by name is asked everything,
 * once, however many queues lead to it; `more` are labels beyond those of the queues.
 */
export async function printerBundles(
  site: Site,
  read: readonly Read[],
  more: readonly string[],
  net: Net,
): Promise<ReadonlyMap<string, EvidenceBundle>> {
  const { found, limits } = site;
  const labels = new Set([...read.flatMap((one) => expectedOf(one, site) ?? []), ...more]);
  const targets = found.targets.filter(({ label }) => labels.has(label));
  const nameless = read.flatMap((one) => (expectedOf(one, site) === null ? (deviceTarget(one.queue) ?? []) : []));
  const asked = await inTurn(
    targets,
    async (target) => [target.label, await collectEvidence(target, net, limits)] as const,
  );
  const tried = await inTurn(
    nameless,
    async (target) => [target.label, await collectEvidence(target, net, limits, [tcpProbe, ippProbe])] as const,
  );
  return new Map([...asked, ...tried]);
}

/**
 * A device that nobody named, as a target: its ports are tried and it is asked over its own IPP URI, and in no other way, so
 * that the queue's way and the printer's own can be told apart; and only within private address space.
 */
function deviceTarget({ device }: QueueFact): Target | undefined {
  if (device === null || device.host === null || !/^ipps?$/.test(device.scheme)) return undefined;
  const [address] = isIP(device.host) === 0 ? device.addresses : [device.host];
  if (address === undefined || toNumber(address) === undefined) return undefined;
  if (!isPrivate(blockOf(address, isIP(address) === 6 ? 128 : 32))) return undefined;
  const { port } = device;
  return {
    label: device.uri,
    host: address,
    ippUri: device.uri,
    snmpPort: 161,
    printPorts: port === null ? [] : [port],
    queues: [],
  };
}

/** Label under which the printer of a queue was asked, named or not. */
export function askedAs(one: Read, site: Site): string | null {
  return expectedOf(one, site) ?? deviceTarget(one.queue)?.label ?? null;
}

/** The printer that a queue is judged with: the one it should lead to, else the one it does, else the one of its name. */
function expectedOf({ place, queue, leadsTo: to }: Read, { found }: Site): string | null {
  const named = found.targets.find(({ label }) => label.toLowerCase() === queue.name.toLowerCase())?.label;
  return place.wanted ?? to ?? named ?? null;
}

/** Evidence of a printer and of its queue, as one bundle to be judged. */
export function bundleOf(
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

import { isIP } from 'node:net';
import type { Config, PrinterSetting } from '../config/config.js';
import type { ServiceInstance } from '../model/evidence.js';
import { ProgramProblem } from '../model/problem.js';
import type { Target } from '../model/target.js';
import { looksLikeUri, readDeviceUri } from '../model/uri.js';
import type { Net } from '../net/net.js';
import { listQueues } from '../probes/spooler/list.js';
import { ippAddress } from '../wire/ipp/uri.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';
import { configuredTargets, resolveTarget } from './target.js';

/** A queue to be asked, and where it was heard of. */
export interface QueuePlace {
  readonly uri: string;
  /** Label of the printer that it should lead to; null when nobody says so. */
  readonly wanted: string | null;
  readonly from: 'given' | 'configured' | 'listed' | 'announced';
  /** Device URI and name of the spooler's list. */
  readonly listed?: { readonly name: string; readonly deviceUri: string | null };
}

export interface Places {
  readonly places: readonly QueuePlace[];
  /** Printers that may stand behind the queues: those of the configuration and what was typed. */
  readonly targets: readonly Target[];
  /** Labels of the printers that were asked about; empty: no printer in particular. */
  readonly about: readonly string[];
  /** A spooler that was named and does not answer: its URI. */
  readonly silentSpooler: string | null;
  readonly problems: readonly string[];
}

const OWN_SPOOLER = 'ipp://127.0.0.1:631/';
const ANNOUNCED = ['_ipp._tcp', '_ipps._tcp'];
const LISTEN_MS = 2_000;

export interface Asking {
  readonly targets: readonly string[];
  readonly options: CommonOptions;
  /** `--spooler`: address of a spooler, or `none`. */
  readonly spooler?: string;
  /** False when files were handed over and nothing else was named: then the network stays untouched. */
  readonly look: boolean;
}

/**
 * The queues to ask: those named, those of the configuration, those in the local spooler's own list, and, when nothing was
 * named at all, those that announce themselves.
 */
export async function findPlaces(asking: Asking, config: Config, net: Net, io: Io, timeoutMs: number): Promise<Places> {
  const { options } = asking;
  const uris = asking.targets.filter(isQueueUri);
  const typed = asking.targets
    .filter((name) => !isQueueUri(name))
    .map((name) => resolveTarget(name, config, { ...options, queues: [] }));
  const targets = distinctTargets([...typed, ...configuredTargets(config, { ...options, queues: [] })]);
  const only = typed.length === 1 ? (typed[0]?.label ?? null) : null;
  const given = [...uris, ...options.queues.map(checkedQueue)].map(
    (uri): QueuePlace => ({ uri, wanted: only, from: 'given' }),
  );
  const inGeneral = asking.targets.length === 0 && options.queues.length === 0;
  const settings = inGeneral ? config.printers : typed.flatMap((target) => settingFor(target, config) ?? []);
  const configured = settings.flatMap(({ name, queues }) =>
    queues.map((uri): QueuePlace => ({ uri, wanted: labelOf(name, targets), from: 'configured' })),
  );
  const about = typed.map(({ label }) => label);
  const found = {
    places: distinctPlaces([...given, ...configured]),
    targets,
    about,
    silentSpooler: null,
    problems: [],
  };
  if (!asking.look || (uris.length > 0 && typed.length === 0)) return found;
  const listed = await listedPlaces(asking, net, io, timeoutMs);
  const spoolerNamed = asking.spooler !== undefined || Boolean(io.env.OUTFEED_SPOOLER);
  const heard = inGeneral && !spoolerNamed ? await announcedPlaces(net) : [];
  return {
    ...found,
    ...listed,
    places: distinctPlaces([...found.places, ...listed.places, ...heard]),
  };
}

/** A URI over which queues are asked; `socket` and `lpd` URIs name a printer. */
function isQueueUri(text: string): boolean {
  return looksLikeUri(text) && /^(ipps?|https?):/i.test(text.trim()) && checkedQueue(text) !== '';
}

function checkedQueue(text: string): string {
  const uri = readDeviceUri(text);
  if ('wrong' in uri) throw new ProgramProblem('target', `${uri.wrong.charAt(0).toUpperCase()}${uri.wrong.slice(1)}.`);
  if (uri.scheme === 'socket' || uri.scheme === 'lpd') {
    throw new ProgramProblem('target', `--queue takes an ipp, ipps, http or https URI, not "${text}".`);
  }
  return text.trim();
}

function settingFor(target: Target, config: Config): PrinterSetting | undefined {
  return config.printers.find(({ name }) => name.toLowerCase() === target.label.toLowerCase());
}

function labelOf(name: string, targets: readonly Target[]): string {
  return targets.find(({ label }) => label.toLowerCase() === name.toLowerCase())?.label ?? name;
}

function distinctTargets(targets: readonly Target[]): readonly Target[] {
  const key = ({ label }: Target): string => label.toLowerCase();
  return targets.filter((target, i) => targets.findIndex((other) => key(other) === key(target)) === i);
}

/** The first mention of a queue counts; what a later one knows of its printer is kept. */
function distinctPlaces(places: readonly QueuePlace[]): readonly QueuePlace[] {
  const found = new Map<string, QueuePlace>();
  for (const place of places) {
    const before = found.get(place.uri);
    found.set(place.uri, before === undefined ? place : { ...place, ...before, wanted: before.wanted ?? place.wanted });
  }
  return [...found.values()];
}

async function listedPlaces(
  { spooler, options }: Asking,
  net: Net,
  io: Io,
  timeoutMs: number,
): Promise<Pick<Places, 'places' | 'silentSpooler' | 'problems'>> {
  const named = spooler ?? io.env.OUTFEED_SPOOLER;
  if (named === 'none') return { places: [], silentSpooler: null, problems: [] };
  const uri = named === undefined || named === '' ? OWN_SPOOLER : checkedQueue(named);
  const { outcome, queues, because } = await listQueues(uri, net, timeoutMs, options.user);
  const places = queues.map((queue): QueuePlace => ({ uri: queue.uri, wanted: null, from: 'listed', listed: queue }));
  // Most machines have no spooler of their own that speaks IPP: that is no news unless one was named.
  const news = named !== undefined && because !== null;
  return {
    places,
    // One that answers and refuses is not down.
    silentSpooler: news && outcome !== 'denied' && outcome !== 'answered' ? uri : null,
    problems: news ? [`The spooler ${uri} gave no list of its queues: ${because}.`] : [],
  };
}

/** Queues of print servers announce a path below `printers/` or `classes/` (`rp`, common practice of one spooler). */
async function announcedPlaces(net: Net): Promise<readonly QueuePlace[]> {
  const instances = await net.browse(ANNOUNCED, LISTEN_MS);
  return instances.flatMap((instance): QueuePlace[] => {
    const uri = announcedUri(instance);
    return uri === undefined ? [] : [{ uri, wanted: null, from: 'announced' }];
  });
}

function announcedUri({ txt, addresses, port, type }: ServiceInstance): string | undefined {
  const path = txt.rp ?? '';
  const address = addresses.find((one) => isIP(one) === 4) ?? addresses[0];
  if (!/^\/?(printers|classes)\/[^/]+$/.test(path) || address === undefined || port === null) return undefined;
  return ippAddress(address, port, type === '_ipps._tcp', path).uri;
}

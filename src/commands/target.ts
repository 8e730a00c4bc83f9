import type { Config, PrinterSetting } from '../config/config.js';
import { readHost } from '../model/host.js';
import { ProgramProblem } from '../model/problem.js';
import type { LpdQueue, Target } from '../model/target.js';
import { type DeviceUri, looksLikeUri, readDeviceUri } from '../model/uri.js';
import { shortened } from '../render/escape.js';
import { isLpdUri, lpdQueueOf, namedLpdQueue } from './lpd-queue.js';
import type { CommonOptions } from './options.js';

const SNMP_PORT = 161;
/** IPP (RFC 8010), raw (common practice, no published source), LPD (RFC 1179). */
const IPP_PORT = 631;
const RAW_PORT = 9100;
const LPD_PORT = 515;

/** The options that bear on where a target is asked. */
export type TargetOptions = Pick<CommonOptions, 'snmpPort' | 'ippUri' | 'queues'>;

/**
 * What was typed as TARGET → where to ask. A name of the configuration, an IP address, a host name or a URI, each with `#2` for the second
 * printer behind one agent. Options win over the configuration. Throws ProgramProblem (exit 2) for anything else.
 */
export function resolveTarget(typed: string, config: Config, options: TargetOptions): Target {
  const { name, deviceIndex } = withoutIndex(typed);
  const setting = settingOf(name, config);
  const place = setting === undefined ? placeOf(name) : placeOfSetting(setting);
  const ippUri = options.ippUri === undefined ? place.ippUri : checkedUri('--ipp-uri', options.ippUri);
  const index = deviceIndex ?? setting?.deviceIndex;
  const expected = setting === undefined ? undefined : expectedOf(setting);
  const queues = [...new Set([...options.queues, ...(setting?.queues ?? [])])];
  const lpdQueues = lpdQueuesOf(setting === undefined ? name : undefined, queues, place.host);
  return {
    label: typed.trim(),
    host: place.host,
    snmpPort: options.snmpPort ?? setting?.snmpPort ?? SNMP_PORT,
    printPorts: printPorts(place, ippUri),
    queues: queues.flatMap((uri) => {
      if (isLpdUri(uri)) return [];
      return options.queues.includes(uri) ? checkedUri('--queue', uri) : uri;
    }),
    ...(index === undefined ? {} : { deviceIndex: index }),
    ...(ippUri === undefined ? {} : { ippUri }),
    ...(expected === undefined ? {} : { expected }),
    ...(setting?.pjl === true ? { pjl: { port: setting.rawPort ?? RAW_PORT } } : {}),
    ...(lpdQueues.length === 0 ? {} : { lpdQueues }),
    ...(setting?.switch === undefined ? {} : { switch: setting.switch }),
  };
}

/** The LPD queues that were named: by TARGET itself, by --queue or in the configuration. */
function lpdQueuesOf(typed: string | undefined, queues: readonly string[], host: string): readonly LpdQueue[] {
  const own = typed !== undefined && isLpdUri(typed) ? lpdQueueOf(typed, host) : undefined;
  const others = queues.filter(isLpdUri).map((uri) => namedLpdQueue(uri, host));
  return [...(own === undefined ? [] : [own]), ...others.filter((queue) => queue.uri !== own?.uri)];
}

/** Every printer of the configuration as a target. */
export function configuredTargets(config: Config, options: TargetOptions): readonly Target[] {
  return config.printers.map((printer) => resolveTarget(printer.name, config, options));
}

/** The configured printer that a name means: as written first, then whatever its case. */
export function settingOf(name: string, config: Config): PrinterSetting | undefined {
  const exact = config.printers.find((printer) => printer.name === name);
  return exact ?? config.printers.find((printer) => printer.name.toLowerCase() === name.toLowerCase());
}

interface Place {
  readonly host: string;
  readonly ippUri?: string;
  readonly rawPort?: number;
  readonly lpdPort?: number;
}

function withoutIndex(typed: string): { readonly name: string; readonly deviceIndex?: number } {
  const match = /^(.*)#([^#]*)$/.exec(typed.trim());
  if (match === null) return { name: typed.trim() };
  const index = /^[1-9]\d{0,8}$/.test(match[2] ?? '') ? Number(match[2]) : undefined;
  if (index !== undefined) return { name: (match[1] ?? '').trim(), deviceIndex: index };
  throw unusable(`after # belongs the number of a printer behind one address, as in 192.0.2.21#2, not "${match[2]}"`);
}

function placeOfSetting({ address, ippUri, rawPort, lpdPort }: PrinterSetting): Place {
  return {
    host: address.replace(/^\[(.*)\]$/, '$1'),
    ...(ippUri === undefined ? {} : { ippUri }),
    ...(rawPort === undefined ? {} : { rawPort }),
    ...(lpdPort === undefined ? {} : { lpdPort }),
  };
}

function placeOf(name: string): Place {
  if (looksLikeUri(name)) return placeOfUri(name);
  const reading = readHost(name);
  if ('wrong' in reading) throw unusable(reading.wrong);
  return { host: reading.host };
}

function placeOfUri(text: string): Place {
  const uri = readDeviceUri(text);
  if ('wrong' in uri) throw unusable(uri.wrong);
  const places: Readonly<Record<DeviceUri['scheme'], Place>> = {
    ipp: { host: uri.host, ippUri: text },
    ipps: { host: uri.host, ippUri: text },
    http: { host: uri.host },
    https: { host: uri.host },
    socket: { host: uri.host, rawPort: uri.port },
    lpd: { host: uri.host, lpdPort: uri.port },
  };
  return places[uri.scheme];
}

function printPorts({ rawPort, lpdPort }: Place, ippUri: string | undefined): readonly number[] {
  const ipp = ippUri === undefined ? undefined : readDeviceUri(ippUri);
  const own = ipp === undefined || 'wrong' in ipp ? [] : [ipp.port];
  return [...new Set([IPP_PORT, ...own, rawPort ?? RAW_PORT, lpdPort ?? LPD_PORT])];
}

function expectedOf({ serial, uuid, mac }: PrinterSetting): Target['expected'] {
  if (serial === undefined && uuid === undefined && mac === undefined) return undefined;
  return {
    ...(serial === undefined ? {} : { serial }),
    ...(uuid === undefined ? {} : { uuid }),
    ...(mac === undefined ? {} : { mac }),
  };
}

function checkedUri(option: string, text: string): string {
  const uri = readDeviceUri(text);
  if ('wrong' in uri) throw unusable(`${option}: ${uri.wrong}`);
  if (uri.scheme === 'socket' || uri.scheme === 'lpd') {
    const takes = option === '--queue' ? 'ipp, ipps, http, https or lpd' : 'ipp, ipps, http or https';
    throw unusable(`${option} takes an ${takes} URI, not "${text}"`);
  }
  return text;
}

function unusable(why: string): ProgramProblem {
  const sentence = shortened(why, 300);
  return new ProgramProblem('target', `${sentence.charAt(0).toUpperCase()}${sentence.slice(1)}.`);
}

import type { PrinterDocument } from '../model/printer.js';
import type { FoundBy, OtherHost } from '../model/sweep.js';
import type { DiscoveredDevice } from '../net/net.js';
import type { Announcement } from './announced.js';
import { type Met, uriAt } from './inspect.js';
import type { Sighting } from './merge.js';
import type { SweepPorts } from './options.js';
import type { Queue } from './queues.js';
import { isSelfAssigned } from './space.js';

/** All that is known of one address. */
export interface Place {
  readonly address: string;
  /** Undefined: it could not be asked, or nobody answered. */
  readonly met: Met | undefined;
  /** Hardware address, where the link told one. */
  readonly mac: string | null;
  readonly heard: readonly Announcement[];
  readonly discovered: DiscoveredDevice | undefined;
}

/** What an address came to: printers, or another host with the reason why it is none, or nobody. */
export interface Judged {
  readonly printers: readonly Sighting[];
  readonly other: OtherHost | null;
}

/**
 * Who sits at one address. In this order: what the device said of itself, each printer behind its agent for itself; a print server's
 * queues; what is announced; open print ports, unless the host says that it is something else. `leadsElsewhere`: true for a
 * queue whose printer is one of its own accord.
 */
export function judge(place: Place, ports: SweepPorts, leadsElsewhere: (queue: Queue) => boolean): Judged {
  const { met } = place;
  const queues = met?.server?.queues ?? [];
  const own = queues.filter((queue) => !leadsElsewhere(queue));
  const documents = met?.said?.documents.filter((document) => document.isPrinter) ?? [];
  let printers: readonly Sighting[] = documents.map((document) => fromDocument(place, document, documents.length > 1));
  if (printers.length === 0) printers = own.map((queue) => fromQueue(place, queue));
  const silenced = new Set(queues.filter((queue) => !own.includes(queue)).map((queue) => queue.path));
  for (const heard of place.heard) {
    if (!silenced.has(pathOf(heard.ippUri) ?? '')) printers = withAnnouncement(printers, place, heard);
  }
  if (place.discovered !== undefined) printers = withDiscovery(printers, place, place.discovered);
  if (printers.length === 0 && met !== undefined) printers = byPorts(place, met, ports);
  if (printers.length > 0) return { printers, other: null };
  return { printers, other: otherAt(place.address, met, queues.length) };
}

function blank(place: Place, because: string, ways: readonly FoundBy[]): Sighting {
  const { met } = place;
  return {
    address: place.address,
    name: null,
    model: null,
    serial: null,
    uuid: null,
    mac: place.mac,
    ports: met?.knocked.open ?? [],
    snmp: met?.said?.snmp ?? null,
    ipp: null,
    dnsSd: false,
    foundBy: [...ways, ...(place.mac === null ? [] : (['neighbour'] as const))],
    alsoAt: [],
    because,
  };
}

function fromDocument(place: Place, document: PrinterDocument, several: boolean): Sighting {
  const { identity, state, isPrinterBecause } = document;
  const said = place.met?.said;
  const ipp = !several || state.ipp !== null ? (said?.ipp ?? null) : null;
  const prints = (place.met?.knocked.open.length ?? 0) > 0;
  const ways: readonly (readonly [FoundBy, boolean])[] = [
    ['snmp', said?.snmp != null],
    ['ipp', ipp !== null],
    ['tcp', prints],
  ];
  const base = blank(
    place,
    isPrinterBecause,
    ways.filter(([, found]) => found).map(([way]) => way),
  );
  return {
    ...base,
    name: identity.name,
    model: identity.model,
    serial: identity.serial,
    uuid: identity.uuid,
    mac: identity.macs.find((mac) => mac === base.mac) ?? identity.macs[0] ?? base.mac,
    ipp,
    ...(several && document.deviceIndex != null
      ? { deviceIndex: document.deviceIndex, unit: String(document.deviceIndex) }
      : {}),
  };
}

function fromQueue(place: Place, queue: Queue): Sighting {
  const { port = 631, tls = false } = place.met?.server ?? {};
  return {
    ...blank(place, `The print server at this address has it as its queue "${queue.name}".`, ['ipp', 'tcp']),
    name: queue.name,
    model: queue.model,
    uuid: queue.uuid,
    ipp: uriAt(tls ? 'ipps' : 'ipp', place.address, port, queue.path),
    unit: queue.path,
  };
}

function pathOf(uri: string | null): string | null {
  return uri === null ? null : uri.replace(/^[a-z]+:\/\/[^/]*/i, '');
}

/** An announcement tells more of a printer already met, or of one more. */
function withAnnouncement(known: readonly Sighting[], place: Place, heard: Announcement): readonly Sighting[] {
  const at = known.findIndex((one) => isAnnouncedBy(one, heard, known.length, place.heard.length));
  const met = known[at];
  if (met !== undefined) {
    const more: Sighting = {
      ...met,
      name: met.name ?? heard.name,
      model: met.model ?? heard.model,
      uuid: met.uuid ?? heard.uuid,
      dnsSd: true,
      foundBy: [...new Set<FoundBy>([...met.foundBy, 'dns-sd'])],
      alsoAt: [...new Set([...met.alsoAt, ...heard.alsoAt])],
    };
    return known.map((one, index) => (index === at ? more : one));
  }
  const several = place.heard.length + known.length > 1;
  const announced: Sighting = {
    ...blank(place, 'It announces itself as a printer by DNS-SD.', ['dns-sd']),
    name: heard.name,
    model: heard.model,
    uuid: heard.uuid,
    ipp: several ? heard.ippUri : null,
    dnsSd: true,
    alsoAt: heard.alsoAt,
    ...(several ? { unit: pathOf(heard.ippUri) ?? heard.name } : {}),
  };
  return [...known, announced];
}

function isAnnouncedBy(one: Sighting, heard: Announcement, met: number, announced: number): boolean {
  if (one.dnsSd) return false;
  if (one.uuid !== null && heard.uuid !== null) return one.uuid === heard.uuid || (met === 1 && announced === 1);
  if (one.ipp !== null && pathOf(one.ipp) === pathOf(heard.ippUri)) return true;
  return (met === 1 && announced === 1) || (one.name !== null && one.name === heard.name);
}

function withDiscovery(known: readonly Sighting[], place: Place, device: DiscoveredDevice): readonly Sighting[] {
  const said: FoundBy = 'ws-discovery';
  const [only] = known;
  if (only === undefined) {
    const alone = blank(place, 'It answers a WS-Discovery probe as a print device.', [said]);
    return [{ ...alone, endpoint: device.uuid }];
  }
  const at = Math.max(
    0,
    known.findIndex((one) => one.uuid !== null && one.uuid === device.uuid),
  );
  return known.map((one, index) =>
    index === at ? { ...one, endpoint: device.uuid, foundBy: [...new Set([...one.foundBy, said])] } : one,
  );
}

/** Nothing was said that shows a printer: the open ports speak, unless the host has said that it is something else. */
function byPorts(place: Place, met: Met, ports: SweepPorts): readonly Sighting[] {
  const { said, server, knocked } = met;
  const open = knocked.open.filter((port) => [...ports.ipp, ...ports.print, ...met.printPorts].includes(port));
  if (open.length === 0 || met.takesAll || (said !== null && said.snmp !== null && !said.cut)) return [];
  if (server !== null && server.answer !== 'unknown') return [];
  const list = open.join(' and ');
  const one = blank(place, `It takes connections on port ${list}, and says nothing of what it is.`, ['tcp']);
  const onlyIpp = open.every((port) => ports.ipp.includes(port));
  if (said?.ippNotFound !== true || !onlyIpp) return [one];
  const because = `It serves IPP on port ${list}, but at none of the usual paths: a printer with a path of its own, perhaps.`;
  return [{ ...one, because, candidate: true }];
}

function otherAt(address: string, met: Met | undefined, queues: number): OtherHost | null {
  if (met === undefined || !met.alive) return null;
  const { knocked, said, reach } = met;
  // Every address of loopback answers: only what offers something is a host.
  if (reach === 'loopback' && knocked.open.length === 0 && (said?.snmp ?? null) === null) return null;
  return { address, what: describe(met, queues), ...(isSelfAssigned(address) ? { selfAssigned: true } : {}) };
}

function describe({ knocked, said, server, takesAll }: Met, queues: number): string {
  const ports = knocked.open.length === 0 ? 'none of the ports asked is open' : `open: ${knocked.open.join(', ')}`;
  if (server !== null && server.answer !== 'unknown') {
    const lead = queues === 0 ? 'it has no queue' : `its ${queues} queues lead to printers elsewhere`;
    return `answers IPP, not a printer: a print server, ${queues === 1 ? 'its queue leads to a printer elsewhere' : lead} (${ports})`;
  }
  if (said !== null && said.snmp !== null) {
    const words = said.description === null ? '' : ` "${said.description}"`;
    return `answers SNMP, not a printer${words}: its agent has no Printer-MIB rows and nothing answers IPP as a printer (${ports})`;
  }
  if (takesAll) {
    return `takes calls even on a port that nobody serves: a firewall or a tarpit answers there, and whether a printer is behind it can't be told (${ports})`;
  }
  if (!knocked.alive) return 'is there, but answers nothing: asleep, or a firewall swallows every call';
  return `answers, not a printer: neither SNMP nor a print port (${ports})`;
}

import type { FoundBy, FoundPrinter } from '../model/sweep.js';
import { isSelfAssigned, toNumber } from './space.js';

/** A printer as it was met at one address. */
export interface Sighting extends FoundPrinter {
  /** Which of several printers at one address: a queue's path, a device's number. */
  readonly unit?: string;
  /** UUID of its endpoint in WS-Discovery, which need not be the UUID that it has elsewhere. */
  readonly endpoint?: string | null;
}

/** Order in which ways of finding are listed. */
const WAYS: readonly FoundBy[] = ['snmp', 'ipp', 'dns-sd', 'ws-discovery', 'tcp', 'neighbour'];

/**
 * One device once, however many addresses, names or services it has. Two sightings are one device when they agree on
 * serial number, UUID or hardware address, or, knowing none of these, on model and name. Never when both
 * tell a serial number and these differ, or only UUIDs and these differ: a box may speak for two printers under one
 * hardware address. Nor when they are two of several printers at one address.
 */
export function mergeSightings(sightings: readonly Sighting[]): readonly FoundPrinter[] {
  const groups: Sighting[][] = [];
  for (const sighting of [...sightings].sort(byAddress)) {
    const same = groups.filter((group) => group.some((other) => isSame(other, sighting)) && fits(group, sighting));
    const home = same[0];
    if (home === undefined) {
      groups.push([sighting]);
      continue;
    }
    home.push(sighting);
    for (const other of same.slice(1)) {
      if (!other.every((member) => fits(home, member))) continue;
      home.push(...other);
      groups.splice(groups.indexOf(other), 1);
    }
  }
  return groups.map(joinGroup).sort(byAddress);
}

function fits(group: readonly Sighting[], sighting: Sighting): boolean {
  return group.every((other) => {
    if (other.unit !== sighting.unit && other.address === sighting.address) return false;
    if (differ(telling(other.serial), telling(sighting.serial))) return false;
    return agree(telling(other.serial), telling(sighting.serial)) || !differentUuids(other, sighting);
  });
}

/** The endpoint's UUID may be another than the printer's, so it tells two apart only where both have nothing else. */
function differentUuids(a: Sighting, b: Sighting): boolean {
  if (differ(telling(a.uuid), telling(b.uuid))) return true;
  return a.uuid === null && b.uuid === null && differ(a.endpoint ?? null, b.endpoint ?? null);
}

function isSame(a: Sighting, b: Sighting): boolean {
  if (agree(telling(a.serial), telling(b.serial)) && (!differ(a.model, b.model) || isLong(a.serial))) return true;
  const endpoints = [a.endpoint ?? null, b.endpoint ?? null] as const;
  if (agree(telling(a.uuid), telling(b.uuid)) || agree(...endpoints)) return true;
  if (agree(telling(a.uuid), endpoints[1]) || agree(endpoints[0], telling(b.uuid))) return true;
  // Several printers behind one hardware address are told apart by what they are called there.
  if (a.unit !== b.unit) return false;
  if (agree(a.mac, b.mac)) return true;
  const nameless = [a, b].some((one) => telling(one.serial) === null && telling(one.uuid) === null && one.mac === null);
  return nameless && a.model !== null && agree(a.model, b.model) && agree(a.name, b.name);
}

/** Two makers may well both have numbered a device `1234`; a long number is not met twice. */
function isLong(serial: string | null): boolean {
  return serial !== null && serial.trim().length >= 6;
}

function agree(a: string | null, b: string | null): boolean {
  return a !== null && b !== null && a.trim().toLowerCase() === b.trim().toLowerCase();
}

function differ(a: string | null, b: string | null): boolean {
  return a !== null && b !== null && a.trim().toLowerCase() !== b.trim().toLowerCase();
}

/** A number that devices carry before anybody set it (`0000000000`, `XXXXXXXX`, `unknown`) tells nothing. */
function telling(value: string | null): string | null {
  if (value === null) return null;
  const bare = value.toLowerCase().replace(/[^a-z0-9]/g, '');
  if (bare.length < 3 || new Set(bare).size === 1) return null;
  return ['unknown', 'none', 'null', 'notset', 'notavailable', 'serialnumber'].includes(bare) ? null : value;
}

function joinGroup(group: readonly Sighting[]): FoundPrinter {
  const ordered = [...group].sort((a, b) => knowledge(b) - knowledge(a) || byAddress(a, b));
  const first = <K extends 'name' | 'model' | 'serial' | 'uuid' | 'mac' | 'snmp' | 'ipp'>(
    key: K,
  ): FoundPrinter[K] | null => ordered.find((one) => one[key] !== null)?.[key] ?? null;
  const address = ordered[0]?.address ?? '';
  const addresses = new Set(group.flatMap((one) => [one.address, ...one.alsoAt]));
  addresses.delete(address);
  const ways = new Set(group.flatMap((one) => one.foundBy));
  const [best] = ordered;
  return {
    address,
    name: first('name'),
    model: first('model'),
    serial: first('serial'),
    uuid: first('uuid') ?? ordered.find((one) => one.endpoint)?.endpoint ?? null,
    mac: first('mac'),
    ports: [...new Set(group.flatMap((one) => one.ports))].sort((a, b) => a - b),
    snmp: first('snmp'),
    ipp: first('ipp'),
    dnsSd: group.some((one) => one.dnsSd),
    foundBy: WAYS.filter((way) => ways.has(way)),
    alsoAt: [...addresses].sort(compareAddresses),
    ...(best?.deviceIndex === undefined ? {} : { deviceIndex: best.deviceIndex }),
    ...([address, ...addresses].every(isSelfAssigned) ? { selfAssigned: true } : {}),
    ...(group.every((one) => one.candidate === true) ? { candidate: true } : {}),
    ...(best?.because === undefined ? {} : { because: best.because }),
  };
}

/** How much was learnt at an address: the one that told most stands for the device. */
function knowledge(one: Sighting): number {
  const own = isSelfAssigned(one.address) ? 0 : 1;
  return (one.snmp === null ? 0 : 4) + (one.ipp === null ? 0 : 4) + (one.serial === null ? 0 : 2) + own;
}

function byAddress(a: Sighting, b: Sighting): number {
  return compareAddresses(a.address, b.address) || (a.unit ?? '').localeCompare(b.unit ?? '', 'en', { numeric: true });
}

/** IPv4 before IPv6, then by number. */
export function compareAddresses(a: string, b: string): number {
  const [x, y] = [toNumber(a), toNumber(b)];
  if (x === undefined || y === undefined) return a < b ? -1 : a > b ? 1 : 0;
  if (x.family !== y.family) return x.family - y.family;
  return x.value < y.value ? -1 : x.value > y.value ? 1 : 0;
}

import type { ServiceInstance } from '../model/evidence.js';
import { compareAddresses } from './merge.js';

/** What one printer announces at one address by DNS-SD. */
export interface Announcement {
  readonly address: string;
  readonly name: string;
  readonly model: string | null;
  /** Lower case, without `urn:uuid:`. */
  readonly uuid: string | null;
  readonly ports: readonly number[];
  readonly ippUri: string | null;
  /** True when it speaks for a print server's queue rather than for a printer. */
  readonly isQueue: boolean;
  /** Further addresses of the same instances, which need not be asked. */
  readonly alsoAt: readonly string[];
}

/** Whether an address is to be asked, of all that an instance has. */
type Wanted = (address: string, all: readonly string[]) => boolean;

/**
 * Announcements by address and printer, for the addresses that `wanted` accepts of all that an instance has. Several printers at one
 * address differ in name and UUID, or in IPP port and path. Keys: Bonjour-style printing keys `ty`, `product`, `UUID`,
 * `rp` (PWG 5100.14 section 4.2).
 */
export function announcements(instances: readonly ServiceInstance[], wanted: Wanted): readonly Announcement[] {
  const byAddress = new Map<string, ServiceInstance[]>();
  for (const instance of instances) {
    for (const address of instance.addresses.filter((one) => wanted(one, instance.addresses))) {
      byAddress.set(address, [...(byAddress.get(address) ?? []), instance]);
    }
  }
  return [...byAddress]
    .flatMap(([address, list]) => printersOf(list).map((own) => announcementOf(address, own, wanted)))
    .sort((a, b) => compareAddresses(a.address, b.address) || a.name.localeCompare(b.name, 'en', { numeric: true }));
}

/** The instances of one address, those of one printer together: a printer has one name for all of its services. */
function printersOf(list: readonly ServiceInstance[]): readonly (readonly ServiceInstance[])[] {
  const groups: ServiceInstance[][] = [];
  for (const instance of list) {
    const home = groups.find((group) => group.some((other) => belongTogether(other, instance)));
    if (home === undefined) groups.push([instance]);
    else home.push(instance);
  }
  const telling = groups.filter((group) => group.some((one) => isIpp(one) || uuidOf(one) !== null));
  // Services without anything to tell them apart are those of the one printer that has something.
  return telling.length === 1
    ? [[...telling.flat(), ...groups.filter((group) => !telling.includes(group)).flat()]]
    : groups;
}

function belongTogether(a: ServiceInstance, b: ServiceInstance): boolean {
  const [x, y] = [uuidOf(a), uuidOf(b)];
  if (x !== null && y !== null) return x === y;
  if (a.name === b.name) return true;
  return isIpp(a) && isIpp(b) && a.port === b.port && (a.txt.rp ?? '') === (b.txt.rp ?? '');
}

function isIpp(instance: ServiceInstance): boolean {
  return /^_ipps?\._tcp$/.test(instance.type);
}

function announcementOf(address: string, list: readonly ServiceInstance[], wanted: Wanted): Announcement {
  const text = (key: string): string | null => list.map((one) => one.txt[key]?.trim()).find((value) => value) ?? null;
  const ipp = list.find((one) => one.type === '_ipp._tcp' && isPort(one.port));
  const ipps = list.find((one) => one.type === '_ipps._tcp' && isPort(one.port));
  const others = new Set(list.flatMap(({ addresses }) => addresses.filter((one) => !wanted(one, addresses))));
  return {
    address,
    name: list[0]?.name ?? '',
    model: text('ty') ?? text('product')?.replace(/^\((.*)\)$/, '$1') ?? null,
    uuid: list.map(uuidOf).find((uuid) => uuid !== null) ?? null,
    // Port 0 stands for a service that is not offered (RFC 6763 4.2.2 practice for flagship services).
    ports: [...new Set(list.map((one) => one.port).filter(isPort))].sort((a, b) => a - b),
    ippUri: ipp ? uriOf('ipp', address, ipp) : ipps ? uriOf('ipps', address, ipps) : null,
    isQueue: list.every((one) => /^printers\//.test(one.txt.rp ?? '')),
    alsoAt: [...others].sort(compareAddresses),
  };
}

function isPort(port: number | null): port is number {
  return port !== null && port > 0 && port <= 65_535;
}

function uriOf(scheme: string, address: string, instance: ServiceInstance): string {
  const host = address.includes(':') ? `[${address.replace(/%[\s\S]*$/, '')}]` : address;
  const path = (instance.txt.rp ?? 'ipp/print').replace(/^\/+/, '');
  return `${scheme}://${host}:${instance.port}/${/^[\w./~%-]*$/.test(path) ? path : 'ipp/print'}`;
}

function uuidOf(instance: ServiceInstance): string | null {
  const match = /([0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12})/i.exec(instance.txt.uuid ?? '');
  return match?.[1]?.toLowerCase() ?? null;
}

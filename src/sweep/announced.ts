import type { ServiceInstance } from '../model/evidence.js';
import { compareAddresses } from './merge.js';

/** What one address announces by DNS-SD. */
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
}

/**
 * Announcements by address, for the addresses that `wanted` accepts. Keys: Bonjour-style printing keys `ty`, `product`,
 * `UUID`, `rp` (PWG 5100.14 section 4.2).
 */
export function announcements(
  instances: readonly ServiceInstance[],
  wanted: (address: string) => boolean,
): readonly Announcement[] {
  const byAddress = new Map<string, ServiceInstance[]>();
  for (const instance of instances) {
    for (const address of instance.addresses.filter(wanted)) {
      byAddress.set(address, [...(byAddress.get(address) ?? []), instance]);
    }
  }
  return [...byAddress]
    .map(([address, list]) => announcementOf(address, list))
    .sort((a, b) => compareAddresses(a.address, b.address));
}

function announcementOf(address: string, list: readonly ServiceInstance[]): Announcement {
  const text = (key: string): string | null => list.map((one) => one.txt[key]?.trim()).find((value) => value) ?? null;
  const ipp = list.find((one) => one.type === '_ipp._tcp' && isPort(one.port));
  const ipps = list.find((one) => one.type === '_ipps._tcp' && isPort(one.port));
  return {
    address,
    name: list[0]?.name ?? '',
    model: text('ty') ?? text('product')?.replace(/^\((.*)\)$/, '$1') ?? null,
    uuid: uuidOf(text('uuid')),
    // Port 0 stands for a service that is not offered (RFC 6763 4.2.2 practice for flagship services).
    ports: [...new Set(list.map((one) => one.port).filter(isPort))].sort((a, b) => a - b),
    ippUri: ipp ? uriOf('ipp', address, ipp) : ipps ? uriOf('ipps', address, ipps) : null,
    isQueue: list.every((one) => /^printers\//.test(one.txt.rp ?? '')),
  };
}

function isPort(port: number | null): port is number {
  return port !== null && port > 0 && port <= 65_535;
}

function uriOf(scheme: string, address: string, instance: ServiceInstance): string {
  const host = address.includes(':') ? `[${address}]` : address;
  const path = (instance.txt.rp ?? 'ipp/print').replace(/^\/+/, '');
  return `${scheme}://${host}:${instance.port}/${/^[\w./~-]*$/.test(path) ? path : 'ipp/print'}`;
}

function uuidOf(text: string | null): string | null {
  const match = /([0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12})/i.exec(text ?? '');
  return match?.[1]?.toLowerCase() ?? null;
}

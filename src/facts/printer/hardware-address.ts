/** Hardware addresses of a device's real interfaces, from ifTable (RFC 2863). */
import type { SnmpValue } from '../../model/evidence.js';
import { ENUMS } from '../../registry/enums.generated.js';
import { label, plainRows, type Row, type SnmpTables } from './snmp-tables.js';
import { octetsOf } from './text.js';

/** IANAifType names that are no network card. */
const UNREAL: ReadonlySet<string> = new Set(['softwareLoopback', 'tunnel', 'propVirtual', 'mplsTunnel', 'ppp']);

/** Six octets, or their text with separators, in lower case with colons; null for zero, all ones and group addresses. */
export function hardwareAddress(value: SnmpValue | undefined): string | null {
  let octets = octetsOf(value);
  if (octets !== null && octets.length > 6) {
    const digits = octets
      .toString('latin1')
      .trim()
      .replace(/[:\-. ]/g, '');
    if (/^[0-9a-f]{12}$/i.test(digits)) octets = octetsOf({ hex: digits });
  }
  if (octets === null || octets.length !== 6) return null;
  if (octets.every((octet) => octet === 0) || ((octets[0] ?? 0) & 1) === 1) return null;
  return [...octets].map((octet) => octet.toString(16).padStart(2, '0')).join(':');
}

/** Whether a row of ifTable is no network card, but a loopback, a tunnel or the like. */
export function isUnreal(row: Row): boolean {
  return UNREAL.has(label(row, 'ifType', ENUMS.IANAifType) ?? '');
}

/** Addresses in the order of ifIndex, each once. */
export function readHardwareAddresses(tables: SnmpTables): readonly string[] {
  const found = new Set<string>();
  for (const { row } of plainRows(tables, 'ifTable')) {
    if (isUnreal(row)) continue;
    const address = hardwareAddress(row.get('ifPhysAddress'));
    if (address !== null) found.add(address);
  }
  return [...found];
}

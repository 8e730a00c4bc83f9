/** Serial number, hardware address and UUID of a made-up device: its own, else made of its name, the same each time. */
import { createHash } from 'node:crypto';

interface Named {
  readonly name: string;
  readonly serial?: string | undefined;
  readonly mac?: string | undefined;
  readonly uuid?: string | undefined;
}

function digest(scenario: Named): Buffer {
  return createHash('sha256').update(scenario.name).digest();
}

export function serialOf(scenario: Named): string {
  return scenario.serial ?? `SN-${digest(scenario).toString('hex', 0, 4).toUpperCase()}`;
}

/** Lower case with colons. A made one is locally administered (IEEE 802: second lowest bit of the first octet). */
export function macOf(scenario: Named): string {
  return (
    scenario.mac?.toLowerCase() ?? ['02', ...(digest(scenario).toString('hex', 0, 5).match(/../g) ?? [])].join(':')
  );
}

/** Bare UUID. A made one carries version 8, a layout of the maker's own (RFC 9562 section 5.8). */
export function uuidOf(scenario: Named): string {
  const octets = Buffer.from(digest(scenario).subarray(0, 16));
  octets[6] = ((octets[6] ?? 0) & 0x0f) | 0x80;
  octets[8] = ((octets[8] ?? 0) & 0x3f) | 0x80;
  return scenario.uuid ?? octets.toString('hex').replace(/^(.{8})(.{4})(.{4})(.{4})/, '$1-$2-$3-$4-');
}

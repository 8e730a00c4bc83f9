import { isIP } from 'node:net';
import type { ServiceInstance } from '../../model/evidence.js';
import type { Target } from '../../model/target.js';
import type { Net } from '../../net/net.js';
import { type IppAddress, ippAddress } from '../../wire/ipp/uri.js';
import { belongsTo } from '../dns-sd/dns-sd.js';
import type { Budget } from './budget.js';

const TYPES = ['_ipps._tcp', '_ipp._tcp'] as const;
/** Responders answer a shared question within 120 ms (RFC 6762 6); the longer they are listened to the less is left for asking. */
const LISTEN_MS = 700;

/**
 * Where the target itself announces IPP by DNS-SD: port, and path under the key `rp` (common practice; registered in the
 * service name registry with RFC 6763 6), TLS first. Announcements stay on the link: nothing is heard of any other target.
 */
export async function announcedAddresses(target: Target, net: Net, budget: Budget): Promise<readonly IppAddress[]> {
  if (isIP(target.host) === 0 || (await net.route(target.host))?.reach !== 'onlink') return [];
  const heard = await net.browse(TYPES, Math.min(LISTEN_MS, budget.left() / 2));
  const own = heard.filter((instance) => belongsTo(instance, target));
  return TYPES.flatMap((type) => own.filter((instance) => instance.type === type)).flatMap((instance) =>
    addressOf(instance, target.host),
  );
}

function addressOf({ type, port, txt }: ServiceInstance, host: string): IppAddress[] {
  const rp = txt.rp ?? '';
  // A port of 0 means that the service is not there (RFC 6763 section 8).
  if (port === null || port === 0 || rp.length > 255) return [];
  return [ippAddress(host, port, type === '_ipps._tcp', rp)];
}

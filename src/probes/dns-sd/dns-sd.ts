import { isIP } from 'node:net';
import type { About, Observation, ServiceInstance } from '../../model/evidence.js';
import type { Target } from '../../model/target.js';
import type { Probe } from '../probe.js';

/** Service types under which printers announce themselves; registered in the service name registry (RFC 6335). */
export const PRINTER_SERVICE_TYPES = ['_ipp._tcp', '_ipps._tcp', '_printer._tcp', '_pdl-datastream._tcp'] as const;

/** Responders wait up to half a second before they answer a shared question (RFC 6762 section 6: 20–120 ms; 400–500 with TC). */
const LISTEN_MS = 1500;

/**
 * What the target says of itself by DNS-SD (RFC 6763). Announcements stay on the link, so a routed target is not asked for;
 * neither is this machine. One record for each service type that the target offers, and one without instances when it
 * was heard nowhere. The device that is expected here, heard from another address, is recorded as being elsewhere.
 */
export const dnsSdProbe: Probe = {
  id: 'dns-sd',
  run: async (target, net, limits) => {
    const isLocalName = [target.host, target.hostName ?? ''].some((name) => /\.local\.?$/i.test(name));
    const route = isIP(target.host) === 0 ? null : await net.route(target.host);
    if (route?.reach === 'loopback' || (route?.reach !== 'onlink' && !isLocalName)) return [];
    const at = net.now().toISOString();
    const start = net.monotonic();
    const listenMs = Math.min(LISTEN_MS, limits.timeoutMs, limits.deadlineMs);
    const heard = await net.browse(PRINTER_SERVICE_TYPES, listenMs);
    const tookMs = Math.round(net.monotonic() - start);
    const own = heard.filter((instance) => belongsTo(instance, target));
    const away = heard.filter((instance) => !belongsTo(instance, target) && isExpected(instance, target));
    const types = PRINTER_SERVICE_TYPES.filter((type) => own.some((instance) => instance.type === type));
    const record = (what: string, instances: readonly ServiceInstance[], about: About = 'target'): Observation => ({
      source: 'dns-sd',
      what,
      about,
      subject: about === 'target' ? target.host : (instances[0]?.addresses[0] ?? target.host),
      outcome: instances.length > 0 ? 'answered' : 'silent',
      value: { instances },
      at,
      tookMs,
    });
    const elsewhere = away.map((instance) => record(instance.type, [instance], 'elsewhere'));
    if (types.length === 0) return [record(PRINTER_SERVICE_TYPES[0], []), ...elsewhere];
    return [...types.map((type) => record(type, ofType(own, type))), ...elsewhere];
  },
};

const ofType = (instances: readonly ServiceInstance[], type: string): ServiceInstance[] =>
  instances.filter((instance) => instance.type === type);

/** True when the instance names the UUID that is expected at the target (RFC 6763 6, key `UUID` of printers). */
function isExpected(instance: ServiceInstance, { expected }: Target): boolean {
  const plain = (uuid: string | undefined): string => (uuid ?? '').toLowerCase().replace(/^urn:uuid:/, '');
  return plain(expected?.uuid) !== '' && plain(instance.txt.uuid) === plain(expected?.uuid);
}

/** True when the instance sits at the target's address or host name. */
export function belongsTo(instance: ServiceInstance, target: Target): boolean {
  // The root as a target says that there is no such service (RFC 2782): it is nobody's name.
  const names = [target.host, target.hostName].map((name) => bareName(name ?? '')).filter((name) => name !== '');
  if (instance.addresses.includes(target.host)) return true;
  return instance.host !== null && names.includes(bareName(instance.host));
}

function bareName(name: string): string {
  return name.toLowerCase().replace(/\.$/, '');
}

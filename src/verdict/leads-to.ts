import type { QueueFact } from '../facts/queues.js';

/** A printer by all that a queue's device URI may name it by. */
export interface KnownPrinter {
  /** Its name in the configuration, or what was typed as TARGET. */
  readonly label: string;
  readonly addresses: readonly string[];
  /** Host names, lower case. */
  readonly hostNames: readonly string[];
  /** Lower case, without `urn:uuid:`. */
  readonly uuids: readonly string[];
  /** Service instance names of DNS-SD. */
  readonly serviceNames: readonly string[];
}

/** The printer that a queue sends to: by address, by name (looked up or as it stands), by UUID or service name. */
export function leadsTo(queue: QueueFact, printers: readonly KnownPrinter[]): string | null {
  const device = queue.device;
  if (device === null) return null;
  if (device.scheme === 'dnssd') return byService(device.uri, printers);
  const host = device.host;
  if (host === null) return null;
  const bare = host.replace(/\.$/, '');
  const found = printers.find((printer) => {
    const addressed = [host, ...device.addresses].some((address) => printer.addresses.includes(address));
    return addressed || printer.hostNames.some((name) => name.toLowerCase().replace(/\.$/, '') === bare);
  });
  return found?.label ?? null;
}

/** `dnssd://Front%20desk._ipp._tcp.local/?uuid=…`: form of one spooler, common practice, no published source. */
function byService(uri: string, printers: readonly KnownPrinter[]): string | null {
  const uuid = /[?&]uuid=([0-9a-f-]{36})/i.exec(uri)?.[1]?.toLowerCase();
  const byUuid = uuid === undefined ? undefined : printers.find(({ uuids }) => uuids.includes(uuid));
  if (byUuid !== undefined) return byUuid.label;
  const name = decoded(/^dnssd:\/\/([^/]*?)\._[^/]*/i.exec(uri)?.[1] ?? '').toLowerCase();
  const byName = printers.find((printer) => printer.serviceNames.some((own) => own.toLowerCase() === name));
  return name === '' ? null : (byName?.label ?? null);
}

function decoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}

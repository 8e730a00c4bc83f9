import type { ServiceInstance } from '../model/evidence.js';
import type { Net } from '../net/net.js';
import { PRINTER_SERVICE_TYPES } from '../probes/dns-sd/dns-sd.js';

/** What was heard is forgotten after this long, so that a printer that left and came back is news again. */
const ROUND_MS = 10 * 60_000;

/**
 * Listens for printers that announce themselves (RFC 6763 over RFC 6762) until the signal aborts. `heard` is called for each
 * address of an instance that was not there before.
 */
export async function listenForAnnouncements(
  net: Net,
  signal: AbortSignal,
  heard: (address: string) => void,
): Promise<void> {
  let before = new Set<string>();
  while (!signal.aborted) {
    const now = new Set<string>();
    const take = (instances: readonly ServiceInstance[]): void => {
      for (const address of instances.flatMap(({ addresses }) => addresses)) {
        if (!before.has(address) && !now.has(address)) heard(address);
        now.add(address);
      }
    };
    const started = net.monotonic();
    take(await net.browse(PRINTER_SERVICE_TYPES, ROUND_MS, { signal, onHeard: take }));
    before = now;
    // Without an interface for it the listening ends at once: then it is tried again later.
    const left = ROUND_MS - (net.monotonic() - started);
    if (left > 0) await pause(left, signal);
  }
}

function pause(ms: number, signal: AbortSignal): Promise<void> {
  return new Promise((resolve) => {
    if (signal.aborted) return resolve();
    const done = (): void => {
      clearTimeout(timer);
      signal.removeEventListener('abort', done);
      resolve();
    };
    const timer = setTimeout(done, ms);
    signal.addEventListener('abort', done);
  });
}

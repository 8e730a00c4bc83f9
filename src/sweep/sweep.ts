import { SWEEP_SCHEMA, type SweepDocument } from '../model/sweep.js';
import type { NeighbourRow, Net } from '../net/net.js';
import { Link } from './link.js';
import type { SweepOptions } from './options.js';
import { SweepRun } from './run.js';

/**
 * Finds the printers of some ranges. What is known or likely is asked first, results are told as they come, and the kernel's
 * neighbour table is never asked for more than it holds. Ends within a second of the abort signal, with what was found.
 */
export async function sweep(options: SweepOptions, net: Net): Promise<SweepDocument> {
  const startedAt = net.now().toISOString();
  const start = net.monotonic();
  // Opened first: its sockets are ready by the time that the link is known.
  const rouser = net.rouser();
  const run = new SweepRun(options, net, new Link(await net.subnets()), rouser, await remembered(net));
  const stop = new Stop(options.signal);
  try {
    await Promise.race([run.all(), stop.asked]);
  } finally {
    stop.forget();
    run.close();
  }
  return {
    schema: SWEEP_SCHEMA,
    ranges: options.plan.names,
    startedAt,
    tookMs: Math.round(net.monotonic() - start),
    ...run.outcome(),
  };
}

/** What the table knows beforehand, read in the way that costs least: whether it still holds is found out anyway. */
async function remembered(net: Net): Promise<readonly NeighbourRow[]> {
  const rows = await net.resolved();
  return [...rows].map(([address, mac]) => ({ kind: 'entry', address, mac, state: 'stale', interface: null }));
}

/** One wait for the signal. The listener goes with the sweep: an agent's signal outlives hundreds of them. */
class Stop {
  readonly asked: Promise<void>;
  private readonly listener: () => void;

  constructor(private readonly signal: AbortSignal | undefined) {
    let listener = (): void => undefined;
    this.asked = new Promise((resolve) => {
      listener = resolve;
    });
    this.listener = listener;
    if (signal?.aborted === true) listener();
    else signal?.addEventListener('abort', listener, { once: true });
  }

  forget(): void {
    this.signal?.removeEventListener('abort', this.listener);
  }
}

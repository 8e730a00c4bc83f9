import { isIP } from 'node:net';
import { setTimeout as sleep } from 'node:timers/promises';
import type { Net } from '../../net/net.js';
import { type Asking, pull, renew, type Subscription, subscribe, unsubscribe } from '../../probes/ipp/subscription.js';
import { parseIppUri } from '../../wire/ipp/uri.js';
import type { Log } from '../world.js';

/** A queue whose people allowed a subscription, and the printer behind it. */
export interface HeardQueue {
  readonly uri: string;
  readonly printer: string;
  /** Names and addresses of the printer itself: nothing is subscribed there. */
  readonly printerHosts: readonly string[];
}

export interface QueueEventsOptions {
  readonly net: Net;
  readonly queues: readonly HeardQueue[];
  /** Something happened at a queue of this printer. */
  readonly heard: (printer: string) => void;
  readonly log: Log;
  readonly timeoutMs: number;
  /** Ends all of it; what was subscribed is given back. */
  readonly signal: AbortSignal;
  readonly pace?: QueueEventsPace;
}

export interface QueueEventsPace {
  readonly leaseSeconds: number;
  readonly pullMs: number;
  /** notify-get-interval is followed up to this. */
  readonly mostPullMs: number;
  readonly againMs: number;
  readonly refusedMs: number;
}

/** An hour's lease: what an agent leaves behind that loses its power is gone by then. */
const PACE: QueueEventsPace = {
  leaseSeconds: 3600,
  pullMs: 15_000,
  mostPullMs: 60_000,
  againMs: 60_000,
  refusedMs: 6 * 3_600_000,
};
const USER = 'outfeed';

/**
 * Listens to what queues tell by themselves: one pulled subscription at each (RFC 3995, RFC 3996), renewed while the agent runs. Resolves
 * when the signal ends it.
 */
export async function listenToQueues(options: QueueEventsOptions): Promise<void> {
  await Promise.all(options.queues.map((queue) => new QueueEvents(queue, options).run()));
}

class QueueEvents {
  private readonly pace: QueueEventsPace;

  constructor(
    private readonly queue: HeardQueue,
    private readonly options: QueueEventsOptions,
  ) {
    this.pace = options.pace ?? PACE;
  }

  async run(): Promise<void> {
    const { net, timeoutMs, signal, log } = this.options;
    const { uri, printer } = this.queue;
    const address = parseIppUri(uri);
    if (address === undefined) return;
    const elsewhere = await this.standsElsewhere(address.host);
    if (signal.aborted) return;
    if (!elsewhere) {
      log.warn({ printer, queue: uri }, 'a queue of the printer itself is not subscribed to: printers are only read');
      return;
    }
    const asking: Asking = { net, address, user: USER, timeoutMs };
    while (!signal.aborted) {
      const made = await subscribe(asking, this.pace.leaseSeconds);
      if ('id' in made) {
        log.info({ printer, queue: uri }, 'a queue tells by itself what happens to it');
        await this.follow(asking, made);
        // One that forgets what it has just agreed to is not asked without end.
        await this.rest(this.pace.pullMs);
        continue;
      }
      const words = made.offered ? 'a queue could not be asked to tell' : 'a queue takes no subscription';
      log.warn({ printer, queue: uri, why: made.why }, words);
      await this.rest(made.offered ? this.pace.againMs : this.pace.refusedMs);
    }
  }

  /**
   * A printer may be known by name and its queue by address, or the other way round. A name that does not resolve, as when this machine
   * has only just come up, is asked for again: until then nothing is written there.
   */
  private async standsElsewhere(host: string): Promise<boolean> {
    const { signal, log } = this.options;
    const { uri, printer, printerHosts } = this.queue;
    for (let tries = 0; !signal.aborted; tries++) {
      const [queue = [], ...own] = await Promise.all([host, ...printerHosts].map((name) => this.placesOf(name)));
      if (queue.some((place) => own.flat().includes(place))) return false;
      if (queue.length > 0 && own.every((places) => places.length > 0)) return true;
      if (tries === 0) log.warn({ printer, queue: uri }, 'a queue is not subscribed to before its name resolves');
      await this.rest(this.pace.againMs);
    }
    return false;
  }

  private async placesOf(name: string): Promise<readonly string[]> {
    const { net, timeoutMs } = this.options;
    const known = isIP(name) !== 0 ? [name] : (await net.resolve(name, timeoutMs)).addresses;
    return known.map((one) => one.toLowerCase());
  }

  /** Until the queue lets it go or the agent ends. */
  private async follow(asking: Asking, { id, leaseSeconds }: Subscription): Promise<void> {
    const { net, signal, heard } = this.options;
    let sequence = 1;
    let renewed = net.monotonic();
    while (!signal.aborted) {
      const told = await pull(asking, id, sequence);
      if (!told.known) return;
      const goesOn = 'events' in told;
      if (goesOn && told.events > 0) heard(this.queue.printer);
      if (goesOn) sequence = told.nextSequence;
      if (leaseSeconds > 0 && net.monotonic() - renewed > leaseSeconds * 500) {
        // A queue that is away for a moment may still know it; one that says no is asked anew.
        if (!(await renew(asking, id)) && goesOn) return;
        renewed = net.monotonic();
      }
      await this.rest(goesOn ? this.nextPull(told.intervalSeconds) : this.pace.againMs);
    }
    await unsubscribe({ ...asking, timeoutMs: Math.min(asking.timeoutMs, 1_000) }, id);
  }

  private nextPull(wishedSeconds: number): number {
    return Math.max(this.pace.pullMs, Math.min(wishedSeconds * 1000, this.pace.mostPullMs));
  }

  private async rest(ms: number): Promise<void> {
    await sleep(ms, undefined, { signal: this.options.signal }).catch(() => undefined);
  }
}

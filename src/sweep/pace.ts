import { setTimeout as sleep } from 'node:timers/promises';

/** How hard a sweep goes about it. Times in milliseconds. */
export interface Pace {
  /** New on-link addresses a second, once the first burst is out. */
  readonly perSecond: number;
  /** On-link addresses that may go out at once. */
  readonly burst: number;
  /** On-link addresses that may wait for a hardware address at the same time. */
  readonly unresolved: number;
  /** Addresses off the link that are asked over TCP and SNMP, at the same time. */
  readonly strangers: number;
  /** TCP connections under way, at the same time. */
  readonly connects: number;
  /** Hosts that are asked who they are, at the same time. */
  readonly inspections: number;
  /** For an on-link address to give its hardware address, before the sweep goes on without it. */
  readonly resolveMs: number;
  /** For one answer, repeats included. */
  readonly timeoutMs: number;
  /** How long announcements are listened for, and addresses that resolve late are still taken up. */
  readonly listenMs: number;
  /** For a second look at hosts that are there but said nothing: they may have slept. 0: none. */
  readonly patienceMs: number;
}

/**
 * The kernel keeps an unanswered on-link address for about three seconds and holds at most 1,024 rows; beyond that it
 * drops silently. So no preset lets more than a thousand wait for an answer at the same time.
 */
export const PACES: Readonly<Record<'gentle' | 'steady' | 'brisk', Pace>> = {
  gentle: {
    perSecond: 60,
    burst: 32,
    unresolved: 200,
    strangers: 24,
    connects: 64,
    inspections: 8,
    resolveMs: 1000,
    timeoutMs: 3000,
    listenMs: 6000,
    patienceMs: 6000,
  },
  steady: {
    perSecond: 1000,
    burst: 256,
    unresolved: 900,
    strangers: 256,
    connects: 600,
    inspections: 32,
    resolveMs: 400,
    timeoutMs: 1200,
    listenMs: 3200,
    patienceMs: 3000,
  },
  brisk: {
    perSecond: 4000,
    burst: 512,
    unresolved: 1000,
    strangers: 256,
    connects: 600,
    inspections: 64,
    // On a cable an answer takes a few milliseconds; whoever is later still counts while announcements are listened for.
    resolveMs: 150,
    timeoutMs: 700,
    listenMs: 1500,
    patienceMs: 0,
  },
};

/** A sentence for each, for people who choose. */
export const PACE_WORDS: Readonly<Record<keyof typeof PACES, string>> = {
  gentle: 'gentle spares old switches and printers: few questions at a time, long patience',
  steady: 'steady is for everyday: everything that fits the neighbour table, and a second look at who slept',
  brisk: 'brisk is for a look in passing: short waits, no second look',
};

/** A token bucket: `burst` at once, then `perSecond`. */
export class Bucket {
  private tokens: number;
  private filledAt: number;

  constructor(
    private readonly perSecond: number,
    private readonly burst: number,
    private readonly clock: () => number,
  ) {
    this.tokens = burst;
    this.filledAt = clock();
  }

  /** Takes a token; what it gives has to be waited for until there is one. */
  take(): Promise<void> | undefined {
    const now = this.clock();
    this.tokens = Math.min(this.burst, this.tokens + ((now - this.filledAt) / 1000) * this.perSecond);
    this.filledAt = now;
    this.tokens -= 1;
    return this.tokens < 0 ? sleep(Math.ceil((-this.tokens / this.perSecond) * 1000)) : undefined;
  }
}

/** A number of places. Whoever takes one gives it back; first come first served. */
export class Places {
  private readonly waiting: (() => void)[] = [];

  constructor(private free: number) {}

  /** Takes a place; what it gives has to be waited for until one is free. */
  take(): Promise<void> | undefined {
    if (this.free === 0) return new Promise<void>((resolve) => this.waiting.push(resolve));
    this.free -= 1;
    return undefined;
  }

  give(): void {
    const next = this.waiting.shift();
    if (next === undefined) this.free += 1;
    else next();
  }
}

/** At most `count` pieces of work at the same time, first come first served. */
export class Slots {
  private readonly places: Places;

  constructor(count: number) {
    this.places = new Places(count);
  }

  async run<T>(work: () => Promise<T>): Promise<T> {
    await this.places.take();
    try {
      return await work();
    } finally {
      this.places.give();
    }
  }
}

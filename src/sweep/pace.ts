import { setTimeout as sleep } from 'node:timers/promises';

/** How hard a sweep goes about it. */
export interface Pace {
  /** New on-link addresses a second, once the first burst is out. */
  readonly perSecond: number;
  /** On-link addresses that may go out at once. */
  readonly burst: number;
  /** Addresses that are knocked at, at the same time. */
  readonly knocks: number;
  /** Addresses off the link that are asked over TCP and SNMP, at the same time; each takes a socket for every TCP port. */
  readonly strangers: number;
  /** Hosts of the link that are asked who they are, at the same time. */
  readonly inspections: number;
  /** For one answer. */
  readonly timeoutMs: number;
}

/**
 * The kernel keeps an unanswered on-link address for about three seconds and holds at most 1,024 of them; beyond that it
 * drops silently. So no preset lets more than a thousand be open in any three seconds: burst + 3.1 × perSecond.
 */
export const PACES: Readonly<Record<'gentle' | 'steady' | 'brisk', Pace>> = {
  gentle: { perSecond: 60, burst: 32, knocks: 64, strangers: 24, inspections: 8, timeoutMs: 3000 },
  steady: { perSecond: 220, burst: 256, knocks: 512, strangers: 256, inspections: 32, timeoutMs: 1200 },
  brisk: { perSecond: 230, burst: 280, knocks: 600, strangers: 240, inspections: 64, timeoutMs: 700 },
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

  /** Waits until there is a token, and takes it. */
  async take(): Promise<void> {
    const now = this.clock();
    this.tokens = Math.min(this.burst, this.tokens + ((now - this.filledAt) / 1000) * this.perSecond);
    this.filledAt = now;
    this.tokens -= 1;
    if (this.tokens < 0) await sleep(Math.ceil((-this.tokens / this.perSecond) * 1000));
  }
}

/** At most `count` pieces of work at the same time, first come first served. */
export class Slots {
  private readonly waiting: (() => void)[] = [];

  constructor(private free: number) {}

  async run<T>(work: () => Promise<T>): Promise<T> {
    if (this.free > 0) this.free -= 1;
    else await new Promise<void>((resolve) => this.waiting.push(resolve));
    try {
      return await work();
    } finally {
      const next = this.waiting.shift();
      if (next === undefined) this.free += 1;
      else next();
    }
  }
}

import { setTimeout as sleep } from 'node:timers/promises';
import { RateLimiterMemory, type RateLimiterRes } from 'rate-limiter-flexible';
import type { TokenCheck } from './secret.js';

/** What came of a token: seconds to wait when so many were wrong that none is looked at. */
export type Tried = 'right' | 'wrong' | { readonly waitSeconds: number };

const QUARTER_HOUR = 15 * 60;
/** Wrong tokens of one client, and of all together, within a quarter of an hour. */
const MOST_WRONG = 10;
const MOST_WRONG_OF_ALL = 100;
/** A wrong answer takes longer with each. */
const FIRST_DELAY_MS = 100;
const MOST_DELAY_MS = 3_000;
/** Tokens looked at in one moment, and those that wait for it: each may cost memory and a tenth of a second. */
const MOST_WAITING = 20;
const MOST_KNOWN = 1_000;
const EVERYBODY = 'all';

/**
 * Guessing tokens is slow and soon ends. One client's guesses stop that client; guesses from everywhere stop those who have not
 * given the right token before, so that nobody can lock out who is already there.
 */
export class Tries {
  private readonly byClient = new RateLimiterMemory({ points: MOST_WRONG, duration: QUARTER_HOUR });
  private readonly byAll = new RateLimiterMemory({ points: MOST_WRONG_OF_ALL, duration: QUARTER_HOUR });
  private readonly known = new Set<string>();
  private turn: Promise<unknown> = Promise.resolve();
  private waiting = 0;

  constructor(
    private readonly check: TokenCheck,
    private readonly rest: (ms: number) => Promise<unknown> = sleep,
  ) {}

  async give(token: string, client: string): Promise<Tried> {
    const closed = await this.closedFor(client);
    if (closed !== undefined) return { waitSeconds: closed };
    if (this.waiting >= MOST_WAITING) return { waitSeconds: 5 };
    if (await this.inTurn(() => this.check(token))) {
      this.remember(client);
      return 'right';
    }
    const { consumedPoints } = await this.byClient.penalty(client);
    await this.byAll.penalty(EVERYBODY);
    await this.rest(Math.min(MOST_DELAY_MS, FIRST_DELAY_MS * 2 ** (consumedPoints - 1)));
    return 'wrong';
  }

  /** Seconds; undefined when it is not. */
  private async closedFor(client: string): Promise<number | undefined> {
    const own = await this.byClient.get(client);
    if (isFull(own, MOST_WRONG)) return seconds(own);
    const all = await this.byAll.get(EVERYBODY);
    return isFull(all, MOST_WRONG_OF_ALL) && !this.known.has(client) ? seconds(all) : undefined;
  }

  private async inTurn<T>(work: () => Promise<T>): Promise<T> {
    this.waiting++;
    const mine = this.turn.then(work);
    this.turn = mine.catch(() => undefined);
    return mine.finally(() => {
      this.waiting--;
    });
  }

  private remember(client: string): void {
    this.known.delete(client);
    this.known.add(client);
    for (const oldest of this.known) {
      if (this.known.size <= MOST_KNOWN) break;
      this.known.delete(oldest);
    }
  }
}

function isFull(count: RateLimiterRes | null, most: number): count is RateLimiterRes {
  return count !== null && count.consumedPoints >= most;
}

function seconds({ msBeforeNext }: RateLimiterRes): number {
  return Math.max(1, Math.ceil(msBeforeNext / 1_000));
}

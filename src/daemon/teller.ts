import type { EventDocument } from '../model/event.js';
import type { Telling } from '../store/outbox.js';
import type { Store } from '../store/store.js';
import { digest } from './digest.js';
import type { TellerSetting } from './tell-whom.js';
import type { Log, World } from './world.js';

/** What is sent at once: one event, or several where a limit asks for it. `key` is the same for every repeat. */
export interface Message {
  readonly key: string;
  readonly events: readonly EventDocument[];
}

/** Sends one message; rejects when it was not taken. */
export type Send = (message: Message) => Promise<void>;

/** The other side took the message and will never like it: a repeat is of no use. */
export class Refused extends Error {
  override readonly name = 'Refused';
}

type Outbox = Pick<Store, 'dueTellings' | 'messagesSince' | 'gathered' | 'sent' | 'failed'>;

const HOUR = 3_600_000;
const FIRST_RETRY_MS = 10_000;
const LAST_RETRY_MS = HOUR;
/** So many refusals in one go, and the other side refuses everything just now. */
const MOST_REFUSALS = 3;
/** A refusal may be a mistake of the other side that somebody mends: for so long it is tried all the same. */
const REFUSED_MS = 3 * 24 * HOUR;
/** What could not be told for so long is no news any more. */
const GIVE_UP_MS = 14 * 24 * HOUR;
/** Looked at in one go. */
const MOST_DUE = 500;
/** An event that waited for the end of quiet hours at least so long. */
const HELD_BACK_MS = 60_000;

/** Tells what one teller has to tell: in order, at least once, no more messages an hour than allowed. */
export class Teller {
  private failures = 0;
  private retryAt = Number.NEGATIVE_INFINITY;
  private work: Promise<void> | null = null;
  /** Events that were refused for what they are: how often, and from when on each is tried again. */
  private readonly resting = new Map<string, { readonly times: number; readonly until: number }>();
  /** Since the start. */
  sentMessages = 0;
  failedTries = 0;

  constructor(
    public setting: TellerSetting,
    private readonly outbox: Outbox,
    private send: Send,
    private readonly world: World,
    private readonly log: Log,
  ) {}

  /** Goes on with other limits, or with a secret that was exchanged. */
  follow(setting: TellerSetting, send: Send): void {
    this.setting = setting;
    this.send = send;
  }

  get busy(): boolean {
    return this.work !== null;
  }

  /** Tells what is due, if it is time. Never throws; one at a time. */
  async run(force = false): Promise<void> {
    if (this.work !== null) return this.work;
    if (!force && this.world.monotonic() < this.retryAt) return;
    this.work = this.tellAll()
      .catch((error: unknown) => this.postpone(error))
      .finally(() => {
        this.work = null;
      });
    return this.work;
  }

  private async tellAll(): Promise<void> {
    const { id } = this.setting;
    for (let refusals = 0; refusals < MOST_REFUSALS; ) {
      const all = await this.outbox.dueTellings(id, this.world.now(), MOST_DUE);
      const message = await this.next(all.filter(({ event }) => !this.rests(event.id)));
      if (message === null) return;
      try {
        await this.deliver(message, all);
      } catch (error) {
        if (!(error instanceof Refused)) throw error;
        refusals++;
        // The next one may be to its liking, and so may one that comes later: it does not wait for this one.
        for (const event of message.events) this.rest(event.id);
        if (refusals === MOST_REFUSALS) throw error;
        this.failedTries++;
        this.log.warn({ teller: id, err: wordsOf(error) }, 'telling was refused');
      }
    }
  }

  private rests(event: string): boolean {
    return this.world.monotonic() < (this.resting.get(event)?.until ?? Number.NEGATIVE_INFINITY);
  }

  private rest(event: string): void {
    const times = (this.resting.get(event)?.times ?? 0) + 1;
    this.resting.set(event, { times, until: this.world.monotonic() + pauseAfter(times) });
  }

  /** The next message, or null when there is nothing to send or the hour's limit is met. */
  private async next(due: readonly Telling[]): Promise<Message | null> {
    const [first] = due;
    if (first === undefined) return null;
    const left = await this.left();
    if (left <= 0) return null;
    if (first.message !== null) {
      const together = due.filter(({ message }) => message === first.message);
      return { key: first.message, events: together.map(({ event }) => event) };
    }
    const fresh = due.filter(({ message }) => message === null);
    const together = this.together(fresh, left);
    if (together.length === 1) return { key: first.event.id, events: [first.event] };
    const key = digest(...together.map(({ event }) => event.id));
    // Put down first: should the power go now, the repeat is the same message.
    await this.outbox.gathered({ teller: this.setting.id, events: together.map(({ event }) => event.id) }, key);
    return { key, events: together.map(({ event }) => event) };
  }

  /** What goes into the next message: all that was held back by quiet hours, all that is left for the hour's last one. */
  private together(fresh: readonly Telling[], left: number): readonly Telling[] {
    if (this.setting.quiet !== undefined) {
      const heldBack = fresh.findIndex(({ dueAt, event }) => dueAt - Date.parse(event.at) < HELD_BACK_MS);
      const count = heldBack === -1 ? fresh.length : heldBack;
      if (count > 1) return fresh.slice(0, count);
    }
    return left === 1 && Number.isFinite(left) ? fresh : fresh.slice(0, 1);
  }

  private async left(): Promise<number> {
    const { id, perHour } = this.setting;
    if (perHour === undefined) return Number.POSITIVE_INFINITY;
    const now = this.world.now();
    return perHour - (await this.outbox.messagesSince(id, now - HOUR, now));
  }

  private async deliver(message: Message, due: readonly Telling[]): Promise<void> {
    const told = { teller: this.setting.id, events: message.events.map(({ id }) => id) };
    try {
      await this.send(message);
    } catch (error) {
      const attempts = Math.max(0, ...due.filter(({ event }) => told.events.includes(event.id)).map((t) => t.attempts));
      const waited = this.waited(due.find(({ event }) => event.id === message.events[0]?.id));
      const hopeless = attempts > 1 && waited > (error instanceof Refused ? REFUSED_MS : GIVE_UP_MS);
      await this.outbox.failed(told, wordsOf(error), hopeless ? this.world.now() : null);
      if (!hopeless) throw error;
      this.forget(told.events);
      this.log.error({ teller: this.setting.id, events: told.events, err: wordsOf(error) }, 'telling was given up');
      return;
    }
    await this.outbox.sent(told, this.world.now(), message.key);
    this.forget(told.events);
    if (this.failures > 0) this.log.info({ teller: this.setting.id }, 'telling works again');
    this.failures = 0;
    this.retryAt = Number.NEGATIVE_INFINITY;
    this.sentMessages++;
    this.log.info({ teller: this.setting.id, events: told.events }, 'told');
  }

  /** Since it was to be told: what happened long before may be news only now, after planned work or a long week-end. */
  private waited(telling: Telling | undefined): number {
    if (telling === undefined) return 0;
    const now = this.world.now();
    // A time ahead of now was written by a clock that was wrong.
    return now - (telling.dueAt <= now ? telling.dueAt : Date.parse(telling.event.at));
  }

  private forget(events: readonly string[]): void {
    for (const event of events) this.resting.delete(event);
  }

  private postpone(error: unknown): void {
    this.failures++;
    this.failedTries++;
    this.retryAt = this.world.monotonic() + pauseAfter(this.failures);
    this.log.warn({ teller: this.setting.id, err: wordsOf(error), failures: this.failures }, 'telling failed');
  }
}

function pauseAfter(failures: number): number {
  return Math.min(FIRST_RETRY_MS * 2 ** (failures - 1), LAST_RETRY_MS);
}

function wordsOf(error: unknown): string {
  return (error instanceof Error ? error.message : String(error)).slice(0, 300);
}

import { setTimeout as sleep } from 'node:timers/promises';
import type { Net, Rouser } from '../net/net.js';
import { Bucket, type Pace, Places } from './pace.js';

/** An on-link address that the kernel has a hardware address for. */
export interface Seen {
  readonly mac: string;
  /** The table knew it before anybody asked: no proof that it is there now. */
  readonly remembered: boolean;
}

/** `blind`: the system shows no table, so nothing can be told from it. */
export type Presence = Seen | 'absent' | 'blind';

/** The kernel asks three times, a second apart, and forgets the address after that. */
const HELD_MS = 3200;
/** An address without any row was dropped by the kernel: it is sent to again this often. */
const MOST_SENT = 4;
/** Addresses that must have left no trace in the table before it is taken for unreadable. */
const TELLING = 4;
const SOON_MS = 15;
const LATER_MS = 60;

interface Waiting {
  readonly address: string;
  readonly resolveMs: number;
  askedAt: number;
  sent: number;
  /** The table had a row for it at some time. */
  row: boolean;
  holds: boolean;
  /** Absent once the sweep went on without it. */
  settle: ((presence: Presence) => void) | undefined;
}

/**
 * Who of the link is there, by the kernel's own address resolution: an empty datagram makes it ask, its table tells who answered.
 * Paced by how many addresses wait for an answer, because the kernel drops silently what its table can't hold.
 */
export class PresenceFinder {
  private readonly bucket: Bucket;
  private readonly places: Places;
  private readonly waiting = new Map<string, Waiting>();
  private readonly gaveUp = new Set<string>();
  private readonly asked = new Map<string, number>();
  private watching = false;
  private closed = false;
  private anyRow = false;
  private traceless = 0;
  private resolvedLate = 0;

  constructor(
    private readonly net: Net,
    private readonly rouser: Rouser,
    private readonly pace: Pace,
    /** Hardware addresses that the table knew beforehand. */
    private readonly remembered: ReadonlyMap<string, string>,
    /** Addresses that answered after the sweep had gone on. */
    private readonly onLate: (address: string, seen: Seen) => void,
  ) {
    this.bucket = new Bucket(pace.perSecond, pace.burst, () => net.monotonic());
    this.places = new Places(pace.unresolved);
  }

  /** True once it has shown that there is no table to read. */
  get blind(): boolean {
    return !this.anyRow && this.traceless >= TELLING;
  }

  /** True when an address answered only to the kernel's second or third question: something gets lost on this link. */
  get sawLoss(): boolean {
    return this.resolvedLate > 0;
  }

  /** Datagrams sent. */
  get sent(): number {
    return [...this.asked.values()].reduce((sum, count) => sum + count, 0);
  }

  /** Addresses that nobody has answered for yet. */
  unanswered(): readonly string[] {
    return [...this.gaveUp, ...this.waiting.keys()];
  }

  /** Takes its turn, asks, and waits `resolveMs` for an answer. A later answer is told by `onLate`. */
  async ask(address: string, resolveMs = this.pace.resolveMs): Promise<Presence> {
    // Nobody waits for what is there: the first burst goes out in one go.
    const token = this.bucket.take();
    if (token !== undefined) await token;
    const place = this.places.take();
    if (place !== undefined) await place;
    if (this.closed) return 'absent';
    if (this.blind) {
      this.places.give();
      return 'blind';
    }
    this.gaveUp.delete(address);
    const before = this.waiting.get(address);
    if (before?.holds === true) this.places.give();
    return new Promise((settle) => {
      const now = this.net.monotonic();
      this.waiting.set(address, { address, resolveMs, askedAt: now, sent: 1, row: false, holds: true, settle });
      this.send(address);
      void this.watch();
    });
  }

  /** Waits until the kernel has given up on everybody who was asked, at most as long as that takes. */
  async settle(signal: AbortSignal | undefined): Promise<void> {
    while (this.waiting.size > 0 && signal?.aborted !== true && !this.closed) await sleep(LATER_MS);
  }

  close(): void {
    this.closed = true;
    this.rouser.close();
    for (const one of this.waiting.values()) one.settle?.('absent');
    this.waiting.clear();
  }

  private send(address: string): void {
    this.asked.set(address, (this.asked.get(address) ?? 0) + 1);
    this.rouser.rouse(address);
  }

  private async watch(): Promise<void> {
    if (this.watching) return;
    this.watching = true;
    while (this.waiting.size > 0 && !this.closed) {
      await sleep(this.untilNextLook());
      const rows = await this.net.resolved();
      const now = this.net.monotonic();
      for (const one of [...this.waiting.values()]) this.look(one, rows, now);
    }
    this.watching = false;
  }

  /** Somebody who is waited for is looked for often, and at the very moment at which the wait is over. */
  private untilNextLook(): number {
    const now = this.net.monotonic();
    let next = LATER_MS;
    for (const { settle, askedAt, resolveMs } of this.waiting.values()) {
      if (settle !== undefined) next = Math.min(next, SOON_MS, Math.max(1, askedAt + resolveMs - now));
    }
    return next;
  }

  private look(one: Waiting, rows: ReadonlyMap<string, string | null>, now: number): void {
    const mac = rows.get(one.address);
    if (mac !== undefined) {
      one.row = true;
      this.anyRow = true;
    }
    const past = now - one.askedAt;
    if (typeof mac === 'string') this.answered(one, mac, past);
    else if (one.settle !== undefined && past >= one.resolveMs) this.undecided(one, now);
    else if (one.settle === undefined && past >= HELD_MS) this.giveUp(one);
  }

  private answered(one: Waiting, mac: string, past: number): void {
    this.waiting.delete(one.address);
    if (one.holds) this.places.give();
    const seen: Seen = { mac, remembered: this.remembered.get(one.address) === mac };
    // The kernel's second question goes out after a second.
    if (past > 950) this.resolvedLate += 1;
    if (one.settle === undefined) this.onLate(one.address, seen);
    else one.settle(seen);
  }

  private undecided(one: Waiting, now: number): void {
    if (!one.row) {
      this.traceless += 1;
      if (this.blind) {
        this.waiting.delete(one.address);
        if (one.holds) this.places.give();
        one.settle?.('blind');
        return;
      }
      if (one.sent < MOST_SENT) {
        one.sent += 1;
        one.askedAt = now;
        this.send(one.address);
        return;
      }
    }
    one.settle?.('absent');
    one.settle = undefined;
  }

  private giveUp(one: Waiting): void {
    this.waiting.delete(one.address);
    if (one.holds) this.places.give();
    this.gaveUp.add(one.address);
    one.settle?.('absent');
  }
}

import { PRINTERS_SCHEMA, type PrintersDocument } from '../model/agent.js';
import type { EventDocument } from '../model/event.js';
import { ProgramProblem } from '../model/problem.js';
import type { SweepDocument } from '../model/sweep.js';
import type { Lock } from '../store/database.js';
import type { RememberedPrinter } from '../store/remember.js';
import type { Store } from '../store/store.js';
import { ClockWatch } from './clock-watch.js';
import { Keeper } from './keeper.js';
import { comingOrGoing, groupOf, type Known, newcomersOf } from './newcomers.js';
import type { Reading, ReadPrinter } from './reading.js';
import { type Shelf, Shelving } from './shelf.js';
import type { TellerSetting } from './tell-whom.js';
import { type Send, Teller } from './teller.js';
import { type Rules, Watch, type Watched } from './watch.js';
import type { Log, World } from './world.js';

/** What the configuration comes to. May be exchanged while the agent runs. */
export interface Settings {
  readonly rules: Rules;
  /** The printers of the configuration. */
  readonly printers: readonly Watched[];
  readonly tellers: readonly { readonly setting: TellerSetting; readonly send: Send }[];
  readonly sweepEveryMs: number;
  readonly keepMs: number;
}

export interface Around {
  readonly world: World;
  readonly store: Store;
  readonly read: ReadPrinter;
  /** Looks for printers; rejects when it can't. */
  readonly sweep: () => Promise<SweepDocument>;
  readonly log: Log;
  /** Where what can't be written outlasts the agent. */
  readonly shelf: Shelf;
  readonly onEvent?: (event: EventDocument) => void;
  readonly onReading?: (name: string, reading: Reading) => void;
}

const HOUR = 3_600_000;
const DAY = 24 * HOUR;
const PLANS_MS = 30_000;
const LOCK_MS = 5_000;
/** A printer that only a sweep found and that has been silent for so long is gone. */
const GONE_MS = 7 * DAY;
/** Something unknown was heard of, or a known printer is not where it was: a sweep is made sooner, but not more often than this. */
const SWEEP_SOON_MS = 10 * 60_000;
/** Rounds of `once`: the first, the confirming one, and one for what it made look again. */
const ROUNDS = 3;

/** The agent of one site: reads, remembers, tells. Sockets, signals and files are left to who makes it. */
export class Agent {
  readonly watch: Watch;
  readonly keeper: Keeper;
  private readonly shelving: Shelving;
  private tellers: readonly Teller[] = [];
  private past: ReadonlyMap<string, RememberedPrinter> = new Map();
  private found: readonly Watched[] = [];
  private clock: ClockWatch;
  private lock: Lock | null = null;
  private plansAt = Number.NEGATIVE_INFINITY;
  private lockAt = Number.NEGATIVE_INFINITY;
  private tidyAt = Number.NEGATIVE_INFINITY;
  private sweepAt = Number.POSITIVE_INFINITY;
  private sweptAt = Number.NEGATIVE_INFINITY;
  /** Milliseconds since 1970, of the last sweep that was made. */
  private lastSweep: number | null = null;
  private sweeping: Promise<void> | null = null;
  private chores: Promise<void> | null = null;
  private readonly telling = new Set<Promise<void>>();
  private steppedAt: number;

  constructor(
    private readonly around: Around,
    private settings: Settings,
  ) {
    const { world, store, log } = around;
    this.steppedAt = world.monotonic();
    this.clock = new ClockWatch(world, null);
    this.keeper = new Keeper(store, world, log);
    this.shelving = new Shelving(around.shelf, this.keeper, world, log);
    this.watch = new Watch(settings.rules, {
      world,
      log,
      read: around.read,
      keep: (changes) => this.keeper.put(changes),
      onLost: () => this.sweepSooner(),
      ...(around.onEvent === undefined ? {} : { onEvent: around.onEvent }),
      ...(around.onReading === undefined ? {} : { onReading: around.onReading }),
    });
  }

  /** Takes the site's lock and goes on from what is remembered. Throws ProgramProblem when another agent has the site. */
  async start(): Promise<void> {
    const { store, world, log } = this.around;
    this.lock = await store.lock();
    if (this.lock === null) throw alreadyThere(store.shown);
    await this.shelving.hand(store);
    const memory = await store.remembered();
    this.clock = new ClockWatch(world, memory.newest);
    this.past = new Map(memory.printers.map((printer) => [printer.name, printer]));
    this.found = memory.printers.filter(({ configured, goneAt }) => !configured && goneAt === null).map(rediscovered);
    this.watch.resume(memory);
    this.apply();
    const last = await store.marked('sweep');
    this.lastSweep = last;
    const since = last === null ? Number.POSITIVE_INFINITY : Math.max(0, world.now() - last);
    this.sweepAt = world.monotonic() + Math.max(0, this.settings.sweepEveryMs - since);
    log.info({ store: store.shown, printers: this.watch.printers().length }, 'the agent watches');
  }

  /** Goes on with another configuration. */
  follow(settings: Settings): void {
    this.settings = settings;
    this.watch.follow(settings.rules);
    this.apply();
    const soonest = this.around.world.monotonic() + settings.sweepEveryMs;
    this.sweepAt = Math.min(this.sweepAt, soonest);
  }

  private apply(): void {
    const { printers, tellers } = this.settings;
    const { store, world, log } = this.around;
    const taken = new Set(printers.map(({ name }) => name));
    const hosts = new Set(printers.map(({ target }) => target.host));
    this.found = this.found.filter(({ name, target }) => !taken.has(name) && !hosts.has(target.host));
    this.watch.setPrinters([...printers, ...this.found], this.past);
    this.tellers = tellers.map(({ setting, send }) => {
      const known = this.tellers.find((teller) => teller.setting.id === setting.id);
      // The same setting may lead to another sender: a secret lies in a file, which was exchanged.
      known?.follow(setting, send);
      return known ?? new Teller(setting, store, send, world, log);
    });
  }

  /** Does what is due. Gives milliseconds until there is more to do. Never throws for what the database or the network did. */
  async step(): Promise<number> {
    const { world, log } = this.around;
    this.steppedAt = world.monotonic();
    const jump = this.clock.look();
    if (jump !== 0) log.warn({ ms: jump }, 'the clock of this machine was set');
    const wait = this.watch.tick();
    const flushed = this.keeper.flush();
    this.shelving.look();
    this.chores ??= this.doChores(flushed).finally(() => {
      this.chores = null;
    });
    return wait;
  }

  /** True while the loop turns. */
  get alive(): boolean {
    return this.around.world.monotonic() - this.steppedAt < 60_000;
  }

  /** What each way of telling people came to since the start. */
  told(): readonly { readonly id: string; readonly sent: number; readonly failed: number }[] {
    return this.tellers.map(({ setting, sentMessages, failedTries }) => ({
      id: setting.id,
      sent: sentMessages,
      failed: failedTries,
    }));
  }

  /** Why it is not ready to be relied on; empty when it is. */
  troubles(): readonly string[] {
    return [
      ...(this.lock?.held() === true ? [] : ['another agent may be watching, or the database is gone']),
      ...(this.keeper.well ? [] : [`the store can not be written; ${this.keeper.backlog} changes wait`]),
    ];
  }

  /** Reads everything once, confirms what changed, tells, and ends: for cron and task schedulers. */
  async once(sleep: (ms: number) => Promise<void>): Promise<void> {
    const { world } = this.around;
    for (let round = 0; round < ROUNDS; round++) {
      for (const { watched, track } of this.watch.printers()) {
        if (round === 0 || track.pending !== null) this.watch.wake(watched.name);
      }
      const until = world.monotonic() + 2_000;
      while (world.monotonic() < until || this.watch.nextDue() <= world.monotonic()) {
        const wait = this.watch.tick();
        await sleep(Math.min(200, Math.max(20, wait)));
      }
      await this.watch.idle();
      if (!this.watch.unsure()) break;
    }
    this.watch.settleNow(false);
    await this.keeper.flush(true);
    await this.doChores(Promise.resolve());
    await this.sweeping;
    await this.keeper.flush(true);
    await Promise.all(this.telling);
    await Promise.all(this.tellers.map((teller) => teller.run(true)));
  }

  /** Something was heard from an address: look there. Unknown ones make the next sweep come sooner. */
  heardFrom(address: string): void {
    if (!this.watch.wakeAddress(address)) this.sweepSooner();
  }

  private sweepSooner(): void {
    const { world } = this.around;
    this.sweepAt = Math.min(this.sweepAt, Math.max(world.monotonic(), this.sweptAt + SWEEP_SOON_MS));
  }

  /** Looks for printers at once. A sweep that is under way is not begun anew. */
  sweepSoon(): void {
    this.sweepAt = this.around.world.monotonic();
  }

  sweepState(): { readonly running: boolean; readonly lastAt: number | null } {
    return { running: this.sweeping !== null, lastAt: this.lastSweep };
  }

  /** Until nothing is being read, written or told. For tests and for ending. */
  async idle(): Promise<void> {
    await this.watch.idle();
    await this.chores;
    await Promise.all(this.telling);
    await this.sweeping;
    await this.shelving.idle();
  }

  /** Writes what is left and lets go. Readings under way are not waited for. */
  async stop(): Promise<void> {
    this.watch.settleNow();
    // First where it surely lies: a database that has just gone may be waited for longer than whoever stops us waits.
    await this.shelving.put();
    await this.keeper.flush(true);
    await this.chores;
    await Promise.all(this.telling);
    await this.keeper.flush(true);
    await this.shelving.put();
    await this.lock?.release().catch(() => undefined);
  }

  printersDocument(): PrintersDocument {
    const iso = (time: number | null): string | null =>
      time === null || time === 0 ? null : new Date(time).toISOString();
    return {
      schema: PRINTERS_SCHEMA,
      printers: this.watch
        .printers()
        .map(({ watched, track, lastAnswerAt }) => ({
          name: watched.name,
          address: watched.target.host,
          silent: track.confirmed?.silent ?? null,
          layer: track.confirmed?.layer ?? null,
          cause: track.confirmed?.cause ?? null,
          since: iso(track.since),
          lastAnswerAt: iso(lastAnswerAt),
        }))
        .sort((a, b) => (a.name < b.name ? -1 : 1)),
    };
  }

  private async doChores(flushed: Promise<void>): Promise<void> {
    await flushed;
    const { log } = this.around;
    try {
      await this.keepLock();
      await this.readPlans();
      if (this.lock?.held() === true) this.tell();
      await this.tidy();
    } catch (error) {
      // Whatever the database says, in a sentence for people too: it may say otherwise in a minute, and reading goes on.
      log.debug({ err: String(error) }, 'something has to wait for the store');
    }
    this.sweepIfDue();
  }

  /** Each by itself: a mail server that is slow to answer keeps nobody else from being told. */
  private tell(): void {
    for (const teller of this.tellers) {
      if (teller.busy) continue;
      const work = teller.run().finally(() => this.telling.delete(work));
      this.telling.add(work);
    }
  }

  private async keepLock(): Promise<void> {
    const { store, world, log } = this.around;
    if (this.lock?.held() === true || world.monotonic() < this.lockAt) return;
    this.lockAt = world.monotonic() + LOCK_MS;
    const lock = await store.lock();
    // The server may not yet have noticed that our own old connection is gone.
    if (lock === null) log.warn({ store: store.shown }, 'the lock of this site is held by another connection');
    this.lock = lock;
  }

  private async readPlans(): Promise<void> {
    const { store, world } = this.around;
    if (world.monotonic() < this.plansAt) return;
    this.watch.plans = await store.plans(world.now());
    this.plansAt = world.monotonic() + PLANS_MS;
  }

  private async tidy(): Promise<void> {
    const { store, world, log } = this.around;
    if (world.monotonic() < this.tidyAt) return;
    this.tidyAt = world.monotonic() + HOUR;
    this.letGoOfGone();
    const now = world.now();
    const last = await store.marked('retain');
    if (!this.clock.trusted() || (last !== null && Math.abs(now - last) < DAY)) return;
    try {
      await store.retain(now, this.settings.keepMs);
    } catch (error) {
      // It is tried again within the hour; while it fails the store grows, and nobody else would say so.
      log.warn({ err: String(error) }, 'what is too old can not be let go');
      return;
    }
    await store.mark('retain', now);
    log.info({ bytes: await store.size() }, 'what is too old was let go');
  }

  private letGoOfGone(): void {
    if (!this.clock.trusted()) return;
    const now = this.around.world.now();
    for (const { watched, track, lastAnswerAt } of this.watch.printers()) {
      if (watched.configured || track.lifeless === 0 || now - (lastAnswerAt ?? now) < GONE_MS) continue;
      const { name, target } = watched;
      this.found = this.found.filter((one) => one.name !== name);
      this.watch.announce(comingOrGoing('printer-gone', this.settings.rules.site, watched, now), [
        { kind: 'printer', printer: name, address: target.host, configured: false, at: now, lastAnswerAt, goneAt: now },
      ]);
      this.apply();
    }
  }

  private sweepIfDue(): void {
    const { world } = this.around;
    if (this.sweeping !== null || world.monotonic() < this.sweepAt) return;
    this.sweepAt = world.monotonic() + this.settings.sweepEveryMs;
    this.sweptAt = world.monotonic();
    this.sweeping = this.sweepNow().finally(() => {
      this.sweeping = null;
    });
  }

  private async sweepNow(): Promise<void> {
    const { sweep, store, world, log } = this.around;
    try {
      const { found, addressesTried } = await sweep();
      const at = world.now();
      const { appeared, moved, changes } = newcomersOf(found, this.known(), at);
      log.info({ addressesTried, found: found.length, appeared: appeared.length }, 'a sweep was made');
      // Without a list of printers everything is new the first time, and no news.
      const first = (await store.marked('sweep')) === null && this.settings.printers.length === 0;
      this.found = [...this.found.filter((one) => !moved.some(({ name }) => name === one.name)), ...moved, ...appeared];
      for (const watched of moved) this.keeper.put(changes.get(watched.name) ?? []);
      for (const watched of appeared) {
        const known = changes.get(watched.name) ?? [];
        if (first) this.keeper.put(known);
        else this.watch.announce(comingOrGoing('printer-new', this.settings.rules.site, watched, at), known);
      }
      this.apply();
      this.lastSweep = at;
      await store.mark('sweep', at);
    } catch (error) {
      log.warn({ err: error instanceof Error ? error.message : String(error) }, 'a sweep failed');
    }
  }

  private known(): readonly Known[] {
    return this.watch.printers().map(({ watched }) => ({
      watched,
      identities: new Set(this.watch.identitiesOf(watched.name)),
    }));
  }
}

function rediscovered({ name, address }: RememberedPrinter): Watched {
  const target = { label: name, host: address, snmpPort: 161, printPorts: [631, 9100, 515], queues: [] };
  return { name, target, group: groupOf(address), configured: false };
}

function alreadyThere(shown: string): ProgramProblem {
  return new ProgramProblem(
    'agent-running',
    `Another agent already watches this site with the store ${shown}; end that one first, or name another store.`,
  );
}

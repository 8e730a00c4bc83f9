import type { EventDocument } from '../model/event.js';
import type { Target } from '../model/target.js';
import type { Change, IncidentRecord } from '../store/change.js';
import type { Remembered, RememberedPrinter } from '../store/remember.js';
import type { Plan } from '../store/store.js';
import { officeIsOpen, type WallClock } from './hours.js';
import { type Begun, settle } from './incidents.js';
import { type Noted, notedFrom, nothingNoted, notice } from './notice.js';
import type { Reading, ReadPrinter } from './reading.js';
import { firstAt, nextAt, type Pace, turnOf } from './schedule.js';
import type { Addressed } from './tell-whom.js';
import { conditionOf, newTrack, observe, type Track } from './track.js';
import type { Log, World } from './world.js';

/** A printer to be read. */
export interface Watched {
  readonly name: string;
  readonly target: Target;
  /** Printers that one dead switch would silence together share it. */
  readonly group: string;
  /** False: found by a sweep, not named by the configuration. */
  readonly configured: boolean;
}

export interface Rules {
  readonly site: string;
  readonly pace: Pace;
  readonly clock: WallClock;
  readonly officeHours: string | undefined;
  /** Whom to tell of an event, and from when on. */
  readonly addressed: Addressed;
  /** Printers read at the same time. */
  readonly atOnce: number;
}

export interface Outside {
  readonly world: World;
  readonly read: ReadPrinter;
  /** Takes changes that stand or fall together. */
  readonly keep: (changes: readonly Change[]) => void;
  readonly log: Log;
  /** Each reading, once it was taken into account. */
  readonly onReading?: (name: string, reading: Reading) => void;
  /** A printer that can be told by more than its address gave no sign of life for the first time: it may be elsewhere. */
  readonly onLost?: () => void;
  /** Incidents and events as they come. */
  readonly onEvent?: (event: EventDocument) => void;
}

interface Entry {
  watched: Watched;
  track: Track;
  noted: Noted;
  /** On the clock that never jumps. Infinity while it is being read. */
  dueAt: number;
  reading: boolean;
  /** Asked for while it was being read. */
  again: boolean;
  count: number;
  known: boolean;
}

/** The last answer is put down this often: a start must know roughly, not exactly. */
const ANSWER_KEPT_MS = 15 * 60_000;
/** Neighbours of a printer that falls silent are asked at once, unless there are more than these. */
const MOST_NEIGHBOURS = 64;
/** Two reasons to look at once come together within this time. */
const WAKE_MS = 1_500;
/** Who reports by himself is looked at before anybody has asked; a burst of reports is one look. */
const HEARD_MS = 300;

/** Watches the printers of one site. */
export class Watch {
  private readonly entries = new Map<string, Entry>();
  private open: ReadonlyMap<string, IncidentRecord> = new Map();
  private begun: readonly Begun[] = [];
  private inFlight = 0;
  private readonly running = new Set<Promise<void>>();
  private dirty = true;
  private lastSettled = Number.NEGATIVE_INFINITY;
  plans: readonly Plan[] = [];
  /** How late each reading began, in milliseconds; the newest. */
  readonly lags: number[] = [];
  readings = 0;

  constructor(
    private rules: Rules,
    private readonly outside: Outside,
  ) {}

  /** Goes on from what was remembered. To be called before the first printers are given. */
  resume({ incidents }: Remembered): void {
    this.open = new Map(incidents.map((incident) => [incident.id, incident]));
    this.begun = incidents.map(({ printer, layer, cause, component, startedAt }) => ({
      key: `${printer} ${layer}/${cause}/${component ?? ''}`,
      at: startedAt,
    }));
  }

  follow(rules: Rules): void {
    this.rules = rules;
    this.dirty = true;
  }

  /** The printers to be read from now on. Those that were known keep what is known of them. */
  setPrinters(printers: readonly Watched[], past: ReadonlyMap<string, RememberedPrinter> = new Map()): void {
    const now = this.outside.world.monotonic();
    const wanted = new Set(printers.map(({ name }) => name));
    for (const name of this.entries.keys()) if (!wanted.has(name)) this.entries.delete(name);
    for (const watched of printers) {
      const entry = this.entries.get(watched.name);
      if (entry !== undefined) {
        const moved = JSON.stringify(entry.watched) !== JSON.stringify(watched);
        entry.watched = watched;
        entry.track = { ...entry.track, group: watched.group };
        if (moved) this.wake(watched.name);
      } else {
        this.entries.set(
          watched.name,
          this.entryFor(watched, past.get(watched.name), firstAt(watched.name, now, this.rules.pace)),
        );
      }
    }
    this.dirty = true;
  }

  printers(): readonly { readonly watched: Watched; readonly track: Track; readonly lastAnswerAt: number | null }[] {
    return [...this.entries.values()].map(({ watched, track, noted }) => ({
      watched,
      track,
      lastAnswerAt: noted.lastAnswerAt,
    }));
  }

  /** `uuid …`, `serial …` and so on: what a printer has been known by. */
  identitiesOf(name: string): readonly string[] {
    return [...(this.entries.get(name)?.noted.identities.keys() ?? [])];
  }

  incidents(): readonly IncidentRecord[] {
    return [...this.open.values()];
  }

  /** Looks at a printer soon: something was heard of it. False when no printer is called so. */
  wake(name: string): boolean {
    const entry = this.entries.get(name);
    if (entry === undefined) return false;
    if (entry.reading) entry.again = true;
    else entry.dueAt = Math.min(entry.dueAt, this.outside.world.monotonic() + HEARD_MS);
    return true;
  }

  /** Looks soon at whoever has this address. */
  wakeAddress(address: string): boolean {
    const found = [...this.entries.values()].filter(({ watched, noted }) => {
      return watched.target.host === address || noted.identities.has(`address ${address}`);
    });
    for (const { watched } of found) this.wake(watched.name);
    return found.length > 0;
  }

  /** Begins the readings that are due and brings incidents up to date. Gives milliseconds until there is more to do. */
  tick(): number {
    const now = this.outside.world.monotonic();
    let next = now + 1_000;
    for (const entry of this.entries.values()) {
      if (entry.reading) continue;
      if (entry.dueAt > now) next = Math.min(next, entry.dueAt);
      else if (this.inFlight < this.rules.atOnce) this.begin(entry, now);
    }
    if (this.dirty || now - this.lastSettled >= 5_000) this.settleNow();
    return Math.max(0, next - this.outside.world.monotonic());
  }

  /** Until no reading is going on. */
  async idle(): Promise<void> {
    while (this.running.size > 0) await Promise.all([...this.running]);
  }

  /** Time of the next reading, on the clock that never jumps. */
  nextDue(): number {
    let next = Number.POSITIVE_INFINITY;
    for (const { dueAt, reading } of this.entries.values()) if (!reading) next = Math.min(next, dueAt);
    return next;
  }

  /** True when a change was seen that is not confirmed yet, or a printer that was never read. */
  unsure(): boolean {
    return [...this.entries.values()].some(({ track, count }) => track.pending !== null || count === 0);
  }

  settleNow(waitForNeighbours = true): void {
    this.dirty = false;
    this.lastSettled = this.outside.world.monotonic();
    const { site, clock, officeHours, addressed } = this.rules;
    const now = this.outside.world.now();
    const tracks = new Map([...this.entries].map(([name, { track }]) => [name, track]));
    const ears = {
      officeOpen: officeIsOpen(clock, officeHours, now),
      planned: (printer: string) =>
        this.plans.some((plan) => (plan.printer ?? printer) === printer && plan.from <= now && now < plan.to),
    };
    const ahead = waitForNeighbours ? 0 : 3_600_000;
    const settled = settle({ name: site, tracks, open: this.open, begun: this.begun }, now + ahead, ears);
    this.open = settled.open;
    this.begun = settled.begun;
    const changes: Change[] = [
      ...settled.incidents.map((incident) => ({ kind: 'incident' as const, incident })),
      ...settled.events.map(({ event, incident }) => ({
        kind: 'event' as const,
        event,
        incident,
        tell: addressed(event, now),
      })),
    ];
    this.outside.keep(changes);
    for (const { event } of settled.events) this.outside.onEvent?.(event);
  }

  /** Puts down something that happened beside the readings: a printer came or went. */
  announce(event: EventDocument, changes: readonly Change[] = []): void {
    const tell = this.rules.addressed(event, this.outside.world.now());
    this.outside.keep([...changes, { kind: 'event', event, incident: null, tell }]);
    this.outside.onEvent?.(event);
  }

  private begin(entry: Entry, now: number): void {
    this.lags.push(now - entry.dueAt);
    if (this.lags.length > 10_000) this.lags.splice(0, 5_000);
    entry.reading = true;
    this.inFlight++;
    const { depth } = turnOf(entry.track, this.rules.pace);
    const work = this.outside
      .read(entry.watched.target, depth)
      .then((reading) => this.take(entry, reading))
      .catch((error: unknown) => {
        const err = error instanceof Error ? (error.stack ?? error.message) : String(error);
        this.outside.log.error({ printer: entry.watched.name, err }, 'a reading failed by itself');
      })
      .finally(() => {
        this.inFlight--;
        this.running.delete(work);
        this.plan(entry);
      });
    this.running.add(work);
  }

  private plan(entry: Entry): void {
    const now = this.outside.world.monotonic();
    entry.reading = false;
    entry.count++;
    entry.dueAt = nextAt(entry.watched.name, now, turnOf(entry.track, this.rules.pace), entry.count);
    if (entry.again) entry.dueAt = now + WAKE_MS;
    entry.again = false;
  }

  private take(entry: Entry, reading: Reading): void {
    this.readings++;
    // A printer that was taken off the list while it was being read is no longer spoken of.
    if (this.entries.get(entry.watched.name) !== entry) return;
    const at = this.outside.world.now();
    const changes = [...this.seen(entry, reading, at), ...this.heard(entry, reading, at)];
    const present = this.present(entry, reading, at);
    this.outside.keep([...present, ...changes]);
    this.outside.onReading?.(entry.watched.name, reading);
  }

  /** How it is. */
  private seen(entry: Entry, reading: Reading, at: number): Change[] {
    if (reading.unchanged) {
      entry.track = { ...entry.track, asleep: true };
      return [];
    }
    const condition = conditionOf(reading.why);
    const before = entry.track;
    const { track, changed } = observe(before, condition, at, reading.asleep);
    entry.track = track;
    if (track.pending !== before.pending || changed !== undefined) this.dirty = true;
    if (track.lifeless === 1) {
      this.wakeNeighbours(entry);
      if (isTold(entry)) this.outside.onLost?.();
    }
    if (changed === undefined) return [];
    const { silent, layer, cause, component, certainty, summary } = changed.to;
    const { name } = entry.watched;
    this.outside.log.info({ printer: name, silent, layer, cause, component }, 'a printer changed');
    const evidence = reading.bundle;
    return [
      { kind: 'verdict', printer: name, at: changed.at, silent, layer, cause, component, certainty, summary, evidence },
    ];
  }

  /** What it said. */
  private heard(entry: Entry, { document, why }: Reading, at: number): Change[] {
    if (document === null) return [];
    const { site, addressed } = this.rules;
    const { name } = entry.watched;
    const address = why.printer.address;
    const seen = { site, printer: name, at, document, warnings: why.warnings, address };
    const { noted, changes, events } = notice(entry.noted, seen);
    entry.noted = noted;
    for (const event of events) this.outside.onEvent?.(event);
    return [
      ...changes,
      ...events.map((event) => ({ kind: 'event' as const, event, incident: null, tell: addressed(event, at) })),
    ];
  }

  /** That it is there. */
  private present(entry: Entry, { alive }: Reading, at: number): Change[] {
    const { watched, noted } = entry;
    if (alive) entry.noted = { ...noted, lastAnswerAt: at };
    const kept = noted.lastAnswerKept;
    const due = alive && (kept === null || Math.abs(at - kept) >= ANSWER_KEPT_MS);
    if (entry.known && !due) return [];
    entry.known = true;
    if (alive) entry.noted = { ...entry.noted, lastAnswerKept: at };
    const { name, configured, target } = watched;
    const lastAnswerAt = alive ? at : null;
    return [{ kind: 'printer', printer: name, address: target.host, configured, at, lastAnswerAt, goneAt: null }];
  }

  private wakeNeighbours({ watched }: Entry): void {
    const others = [...this.entries.values()].filter(
      (other) =>
        other.watched.group === watched.group && other.watched.name !== watched.name && other.track.lifeless === 0,
    );
    if (others.length > MOST_NEIGHBOURS) return;
    for (const other of others) this.wake(other.watched.name);
  }

  private entryFor(watched: Watched, past: RememberedPrinter | undefined, dueAt: number): Entry {
    const fresh = newTrack(watched.name, watched.group);
    return {
      watched,
      track: { ...fresh, ...this.rememberedState(watched.name, past) },
      noted: past === undefined ? nothingNoted() : notedFrom(past),
      dueAt,
      reading: false,
      again: false,
      count: 0,
      known: past?.address === watched.target.host && past.configured === watched.configured && past.goneAt === null,
    };
  }

  /**
   * How a printer was when the last agent ended. The open incidents decide: the newest verdict by its time may not be the
   * last one where a clock was put back, and a fault whose incident was not written any more is better found anew.
   */
  private rememberedState(name: string, past: RememberedPrinter | undefined): Partial<Track> {
    const incident = [...this.open.values()].find(({ affects }) => affects.includes(name));
    if (incident !== undefined) {
      const { layer, cause, component, startedAt } = incident;
      const shared = incident.affects.length > 1;
      const condition = shared
        ? { layer: 'power' as const, cause: 'no-sign-of-life', component: null }
        : { layer, cause, component };
      const summary = past?.verdict?.summary ?? cause;
      return { confirmed: { ...condition, silent: true, certainty: 'likely', summary }, since: startedAt };
    }
    if (past?.verdict?.silent !== false) return {};
    const { at, ...condition } = past.verdict;
    return { confirmed: condition, since: at };
  }
}

/** Whether its own serial number, UUID or hardware address is known. */
function isTold({ noted }: Entry): boolean {
  return [...noted.identities.keys()].some((identity) => /^(serial|uuid|mac) /.test(identity));
}

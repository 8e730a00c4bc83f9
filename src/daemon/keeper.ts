import type { Change } from '../store/change.js';
import type { Store } from '../store/store.js';
import type { Log, World } from './world.js';

/** Changes of one transaction at most, so that nobody else waits long for the database. */
const MOST_AT_ONCE = 500;
/** Changes that wait in memory while the database is gone. */
const MOST_WAITING = 20_000;
const FIRST_RETRY_MS = 500;
const LAST_RETRY_MS = 30_000;
/** A batch that the database refuses for what is in it is given up after so many tries. */
const MOST_REFUSALS = 3;

interface Batch {
  readonly changes: readonly Change[];
  refusals: number;
}

/**
 * Writes what is to be remembered, in order. What can't be written now waits and is written later; nothing is given up while
 * the database is away, except single measurements when there are too many.
 */
export class Keeper {
  private waiting: Batch[] = [];
  private count = 0;
  private writing: Promise<void> | null = null;
  private failures = 0;
  private retryAt = 0;
  /** Beyond so many something is let go. */
  private most = MOST_WAITING;
  /** Changes written since the start. */
  written = 0;
  dropped = 0;

  constructor(
    private readonly store: Pick<Store, 'apply'>,
    private readonly world: World,
    private readonly log: Log,
  ) {}

  /** Changes that stand or fall together. */
  put(changes: readonly Change[]): void {
    if (changes.length === 0) return;
    this.waiting.push({ changes, refusals: 0 });
    this.count += changes.length;
    if (this.count > this.most) this.thinOut();
  }

  /** What waits, in order. */
  unwritten(): readonly (readonly Change[])[] {
    return this.waiting.map(({ changes }) => changes);
  }

  get backlog(): number {
    return this.count;
  }

  /** False while the database can't be written. */
  get well(): boolean {
    return this.failures === 0;
  }

  /** Writes what waits, if it is time. Never throws. */
  async flush(force = false): Promise<void> {
    if (this.writing !== null) return this.writing;
    if (this.count === 0 || (!force && this.world.monotonic() < this.retryAt)) return;
    this.writing = this.writeAll().finally(() => {
      this.writing = null;
    });
    return this.writing;
  }

  private async writeAll(): Promise<void> {
    while (this.waiting.length > 0) {
      const batches = this.take();
      try {
        await this.store.apply(batches.flatMap(({ changes }) => changes));
        this.done(batches);
      } catch (error) {
        if (!(await this.afterFailure(batches, error))) return;
      }
    }
  }

  private take(): readonly Batch[] {
    // After a refusal one at a time, so that the guilty one is found.
    const single = this.waiting[0]?.refusals !== 0;
    const batches: Batch[] = [];
    let size = 0;
    for (const batch of this.waiting) {
      if (batches.length > 0 && (single || size + batch.changes.length > MOST_AT_ONCE)) break;
      batches.push(batch);
      size += batch.changes.length;
    }
    return batches;
  }

  private done(batches: readonly Batch[]): void {
    // Thinning out while they were written may have put others in their place: by identity, not by count.
    const gone = new Set(batches);
    this.waiting = this.waiting.filter((batch) => !gone.has(batch));
    this.written += batches.reduce((sum, { changes }) => sum + changes.length, 0);
    this.recount();
    this.most = Math.max(MOST_WAITING, Math.min(this.most, this.count * 2));
    if (this.failures > 0) this.log.info({ backlog: this.count }, 'the store can be written again');
    this.failures = 0;
  }

  /** True when it is worth going on at once. */
  private async afterFailure(batches: readonly Batch[], error: unknown): Promise<boolean> {
    if (!isRefusal(error)) {
      this.failures++;
      this.retryAt = this.world.monotonic() + Math.min(FIRST_RETRY_MS * 2 ** (this.failures - 1), LAST_RETRY_MS);
      if (this.failures === 1)
        this.log.error({ err: wordsOf(error), backlog: this.count }, 'the store can not be written');
      return false;
    }
    for (const batch of batches) batch.refusals++;
    const [only] = batches;
    if (batches.length === 1 && only !== undefined && only.refusals >= MOST_REFUSALS) {
      this.log.error({ err: wordsOf(error), kinds: only.changes.map(({ kind }) => kind) }, 'the store refuses this');
      this.dropped += only.changes.length;
      this.waiting = this.waiting.filter((batch) => batch !== only);
      this.recount();
    }
    return true;
  }

  /** Single measurements go first, then evidence; incidents and what people are to be told stay. */
  private thinOut(): void {
    const before = this.count;
    const outdated = outdatedIn(this.waiting.flatMap(({ changes }) => changes));
    this.waiting = this.waiting.map((batch, at) =>
      at >= this.waiting.length - 10
        ? batch
        : {
            refusals: batch.refusals,
            changes: batch.changes
              .filter((change) => change.kind !== 'sample' && change.kind !== 'identity' && !outdated.has(change))
              .map((change) => (change.kind === 'verdict' ? { ...change, evidence: null } : change)),
          },
    );
    this.waiting = this.waiting.filter(({ changes }) => changes.length > 0);
    this.recount();
    // Where nothing more can be let go, it is not looked for at every change, nor told.
    this.most = Math.max(MOST_WAITING, Math.ceil(this.count * 1.1));
    this.dropped += before - this.count;
    this.log.warn({ dropped: before - this.count }, 'too much waits for the store: measurements were let go');
  }

  private recount(): void {
    this.count = this.waiting.reduce((sum, { changes }) => sum + changes.length, 0);
  }
}

/** That a printer answered, where it is known that it answered later too. The first of each says since when it is watched. */
function outdatedIn(changes: readonly Change[]): ReadonlySet<Change> {
  const first = new Set<string>();
  const newest = new Map<string, Change>();
  const outdated = new Set<Change>();
  for (const change of changes) {
    if (change.kind !== 'printer') continue;
    const { printer, lastAnswerAt, goneAt } = change;
    if (first.has(printer) && lastAnswerAt !== null && goneAt === null) {
      const before = newest.get(printer);
      if (before !== undefined) outdated.add(before);
      newest.set(printer, change);
    }
    first.add(printer);
  }
  return outdated;
}

/**
 * Codes by which a database says that what it was given is at fault: SQLite's, and the SQLSTATE classes 22 (data) and 23
 * (constraints) of PostgreSQL. Whatever else goes wrong may be over when it is tried again.
 */
const REFUSED = /^(SQLITE_(CONSTRAINT|MISMATCH|TOOBIG|RANGE)|2[23][0-9A-Z]{3}$)/;

/** True where trying again would not help. */
export function isRefusal(error: unknown): boolean {
  const code = String((error as { code?: unknown }).code ?? '');
  return REFUSED.test(code);
}

function wordsOf(error: unknown): string {
  return error instanceof Error ? error.message.slice(0, 300) : String(error);
}

import { ProgramProblem } from '../model/problem.js';
import type { Change } from '../store/change.js';
import type { Store } from '../store/store.js';
import { isRefusal, type Keeper } from './keeper.js';
import type { Log, World } from './world.js';

/** Changes that stand or fall together, one batch after the other. */
export type Batches = readonly (readonly Change[])[];

/** Where changes lie that the store has not taken, so that they outlast the agent. */
export interface Shelf {
  /** ProgramProblem in one sentence when what lies there is no such thing. */
  take(): Promise<Batches>;
  /** In place of what lies there. No batches: nothing is left there. */
  put(batches: Batches): Promise<void>;
}

/** How often what waits is put there anew while the store can't be written: no more than this is lost with the power. */
const AGAIN_MS = 60_000;

/** Carries what the keeper could not write over the end of one agent and the start of the next. */
export class Shelving {
  private lies = false;
  private putAt = Number.NEGATIVE_INFINITY;
  private putting: Promise<void> = Promise.resolve();

  constructor(
    private readonly shelf: Shelf,
    private readonly keeper: Keeper,
    private readonly world: World,
    private readonly log: Log,
  ) {}

  /** Puts there what waits, now and then, while the store can't be written; takes it away once it can. */
  look(): void {
    const due = this.keeper.well
      ? this.lies && this.keeper.backlog === 0
      : this.world.monotonic() >= this.putAt + AGAIN_MS;
    if (!due) return;
    this.putAt = this.world.monotonic();
    void this.put();
  }

  /** What waits lies there afterwards, and nothing else. Never throws. */
  put(): Promise<void> {
    this.putting = this.putting.then(() => this.putNow());
    return this.putting;
  }

  /** Until nothing is being put there. */
  idle(): Promise<void> {
    return this.putting;
  }

  private async putNow(): Promise<void> {
    const batches = this.keeper.unwritten();
    if (batches.length === 0 && !this.lies) return;
    try {
      await this.shelf.put(batches);
      this.lies = batches.length > 0;
    } catch (error) {
      this.log.error(
        { err: String(error), backlog: this.keeper.backlog },
        'what waits for the store can not be put aside',
      );
    }
  }

  /** Gives the store what an earlier agent left, before anything is gone on from. Rejects when the store can't be written. */
  async hand(store: Pick<Store, 'apply'>): Promise<void> {
    const batches = await this.shelf.take().catch((error: unknown): Batches => {
      if (!(error instanceof ProgramProblem)) throw error;
      this.log.error({ err: error.message }, 'what an earlier agent left can not be read');
      return [];
    });
    if (batches.length === 0) return;
    let refused = 0;
    for (const batch of batches) if (!(await taken(store, batch))) refused += 1;
    await this.shelf.put([]);
    this.log.info({ batches: batches.length, refused }, 'what an earlier agent could not write is written');
  }
}

/** False where the store refuses a batch for what is in it: the others are not held up by it. */
async function taken(store: Pick<Store, 'apply'>, batch: readonly Change[]): Promise<boolean> {
  try {
    await store.apply(batch);
    return true;
  } catch (error) {
    if (isRefusal(error) || error instanceof TypeError) return false;
    throw error;
  }
}

import type { TellSetting } from '../../src/config/config.js';
import type { Batches, Shelf } from '../../src/daemon/shelf.js';
import { tellersOf } from '../../src/daemon/tell-whom.js';
import type { Log, World } from '../../src/daemon/world.js';
import { EVENT_KINDS } from '../../src/model/event.js';
import { T0 } from './conditions.js';

/** Clocks that go only when told to. */
export class FakeWorld implements World {
  private wall = T0;
  private steady = 0;
  readonly now = (): number => this.wall;
  readonly monotonic = (): number => this.steady;

  advance(ms: number): void {
    this.wall += ms;
    this.steady += ms;
  }

  /** Somebody sets the clock of the machine. */
  set(by: number): void {
    this.wall += by;
  }
}

export const realWorld: World = { now: () => Date.now(), monotonic: () => performance.now() };

export interface KeptLog extends Log {
  readonly lines: string[];
}

export function keptLog(): KeptLog {
  const lines: string[] = [];
  const line = (level: string) => (fields: object, words: string) => {
    lines.push(`${level} ${words} ${JSON.stringify(fields)}`);
  };
  return { lines, debug: () => undefined, info: line('info'), warn: line('warn'), error: line('error') };
}

/** A shelf in memory. */
export class MemoryShelf implements Shelf {
  lying: Batches = [];
  async take(): Promise<Batches> {
    return this.lying;
  }
  async put(batches: Batches): Promise<void> {
    this.lying = batches;
  }
}

/** One teller of a configuration. */
export function tellerOf(more: Partial<TellSetting> & Pick<TellSetting, 'to'>) {
  const [made] = tellersOf([{ when: EVENT_KINDS, ...more }]);
  if (made === undefined) throw new Error('no teller');
  return made;
}

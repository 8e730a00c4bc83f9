import type { World } from './world.js';

/** A wall clock that moves so far against the other was set, by a person or by the network. */
const JUMP_MS = 60_000;
/** For so long after a jump nothing is thrown away by age: the clock may be set right again. */
const DISTRUST_MS = 24 * 3_600_000;

/** Notices that the wall clock was put forward or back. */
export class ClockWatch {
  private wall: number;
  private steady: number;
  private trustedFrom: number;

  /** `newest`: the latest time that is written down. One far from now is a reason for distrust. */
  constructor(
    private readonly world: World,
    newest: number | null,
  ) {
    this.wall = world.now();
    this.steady = world.monotonic();
    const strange = newest !== null && (newest > this.wall + JUMP_MS || this.wall - newest > 30 * DISTRUST_MS);
    this.trustedFrom = strange ? this.steady + DISTRUST_MS : this.steady;
  }

  /** To be called now and then. Gives the size of a jump since the last call, 0 for none. */
  look(): number {
    const wall = this.world.now();
    const steady = this.world.monotonic();
    const jump = wall - this.wall - (steady - this.steady);
    this.wall = wall;
    this.steady = steady;
    if (Math.abs(jump) < JUMP_MS) return 0;
    this.trustedFrom = steady + DISTRUST_MS;
    return Math.round(jump);
  }

  /** Whether "older than" may be believed. */
  trusted(): boolean {
    return this.world.monotonic() >= this.trustedFrom;
  }
}

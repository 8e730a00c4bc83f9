/** Before this share is done no rate can be told. */
const LEAST_DONE = 0.02;

/** How long a sweep of `total` addresses still takes, by how fast it has gone so far. Milliseconds; null while that can't be told. */
export class Remaining {
  private readonly start: number;

  constructor(
    private readonly total: number,
    private readonly clock: () => number,
  ) {
    this.start = clock();
  }

  leftMs(done: number): number | null {
    if (done <= 0 || done / this.total < LEAST_DONE) return null;
    return Math.round(((this.clock() - this.start) / done) * (this.total - done));
  }
}

/** Drawn numbers that come again with the same seed. */
export interface Draw {
  /** Position in a list of weights, by its weight. */
  readonly index: (weights: readonly number[]) => number;
}

/** mulberry32, a public domain generator of 32 bits: enough for drawing faults, useless for secrets. */
export function generator(seed: number): Draw {
  let state = seed >>> 0;
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
  return {
    index: (weights) => {
      let left = next() * weights.reduce((sum, weight) => sum + weight, 0);
      for (const [i, weight] of weights.entries()) {
        left -= weight;
        if (left < 0) return i;
      }
      return weights.length - 1;
    },
  };
}

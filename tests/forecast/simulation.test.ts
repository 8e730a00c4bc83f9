import { describe, expect, test } from 'vitest';
import { middle, refillsFound, trial } from './trial.js';

/**
 * A short run of what `npm run bench -- forecast` does with 500 lives. With 120 lives the share inside the interval has a
 * standard deviation of 2.7 %, so the bounds are wider here than what is stated for the long run.
 */
const seeds = Array.from({ length: 120 }, (_, i) => 4001 + i);

describe('made-up cartridge lives', () => {
  const { horizons, ones } = trial(seeds);

  test.each(horizons)(
    '$ahead days ahead: nine truths in ten lie inside, errors stay below the naive ways',
    (horizon) => {
      expect(horizon.asked).toBeGreaterThan(100);
      expect(horizon.refused).toBeLessThan(6);
      expect(horizon.covered).toBeGreaterThan(0.82);
      expect(horizon.covered).toBeLessThan(0.98);
      expect(horizon.error).toBeLessThan(0.95 * Math.min(horizon.lastTwo, horizon.leastSquares));
    },
  );

  test('over all horizons the middle error is at least 30 % below the better naive way', () => {
    const error = (of: (one: (typeof ones)[number]) => number): number =>
      middle(ones.map((one) => Math.abs(of(one) - one.ahead)));
    const better = Math.min(
      error(({ lastTwo }) => lastTwo),
      error(({ leastSquares }) => leastSquares),
    );
    expect(error(({ median }) => median)).toBeLessThan(0.7 * better);
  });

  test('refills: precision and recall', () => {
    const { precision, recall, real } = refillsFound(seeds);
    expect(real).toBeGreaterThan(100);
    expect(precision).toBeGreaterThan(0.97);
    expect(recall).toBeGreaterThan(0.97);
  });
});

import { describe, expect, test } from 'vitest';
import { numbers } from './mutate.js';
import { TARGETS } from './targets.js';

/** `npm run lab -- fuzz` runs a million and more; this is the short form. */
const CASES = 400;
const SEED = 20_260_131;

describe(`mutated replies, seed ${SEED}`, () => {
  test.each(TARGETS)('$name', async ({ run }) => {
    for (let at = 0; at < CASES; at++) {
      const served: Buffer[] = [];
      try {
        await run({ draw: numbers(SEED + at), served });
      } catch (error) {
        const replies = served.map((octets) => octets.toString('hex'));
        expect({ seed: SEED + at, error: String(error), replies }).toBe('sound');
      }
    }
  });
});

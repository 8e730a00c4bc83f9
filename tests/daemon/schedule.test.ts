import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { fractionOf } from '../../src/daemon/chance.js';
import { firstAt, nextAt, turnOf } from '../../src/daemon/schedule.js';
import { dead, empty, MINUTE, readings, T0, well, wellTrack } from './conditions.js';

const pace = { everyMs: 5 * MINUTE, inFaultMs: MINUTE };

describe('how soon and how deep', () => {
  test.each([
    ['well', wellTrack('a'), 5 * MINUTE, 'usual'],
    ['a first sign of change', readings(wellTrack('a'), [empty]), 20_000, 'usual'],
    ['in fault', readings(wellTrack('a'), [empty, empty]), MINUTE, 'usual'],
    ['dead, just now', readings(wellTrack('a'), [dead, dead]), 2 * MINUTE, 'usual'],
    ['dead for long', readings(wellTrack('a'), Array<typeof dead>(30).fill(dead)), 15 * MINUTE, 'usual'],
    ['asleep', { ...wellTrack('a'), asleep: true }, 10 * MINUTE, 'card'],
  ] as const)('%s', (_name, track, waitMs, depth) => {
    expect(turnOf(track, pace)).toMatchObject({ waitMs, depth });
  });
});

describe('places within the interval', () => {
  test('a thousand printers are spread evenly over it', () => {
    const slots = Array<number>(10).fill(0);
    for (let at = 0; at < 1000; at++) {
      const slot = Math.floor(fractionOf(`printer-${at}`) * 10);
      slots[slot] = (slots[slot] ?? 0) + 1;
    }
    expect(Math.min(...slots)).toBeGreaterThan(70);
    expect(Math.max(...slots)).toBeLessThan(130);
  });

  test('each printer keeps its own, however long a reading took', () => {
    const turn = { waitMs: 1000, spread: true, depth: 'usual' } as const;
    fc.assert(
      fc.property(fc.string(), fc.integer({ min: 0, max: 1e9 }), (name, last) => {
        const next = nextAt(name, last, turn);
        expect(next - last).toBeGreaterThanOrEqual(499.999);
        expect(next - last).toBeLessThanOrEqual(1500.001);
        expect(nextAt(name, next + 300, turn) - next).toBeCloseTo(1000, 3);
      }),
    );
  });

  test('the others differ a little from printer to printer and from time to time', () => {
    const turn = { waitMs: 1000, spread: false, depth: 'usual' } as const;
    const waits = ['a', 'b', 'c'].flatMap((name) => [1, 2].map((count) => nextAt(name, 0, turn, count)));
    expect(new Set(waits).size).toBe(6);
    expect(Math.min(...waits)).toBeGreaterThanOrEqual(900);
    expect(Math.max(...waits)).toBeLessThanOrEqual(1100);
  });

  test('after a start the first round takes 20 s at most', () => {
    expect(firstAt('a', T0, pace) - T0).toBeLessThan(20_000);
    expect(firstAt('a', T0, { ...pace, everyMs: 1000 }) - T0).toBeLessThan(1000);
  });

  test('a printer that is well again goes back to its own place', () => {
    const back = readings(wellTrack('a'), [empty, empty, well, well]);
    expect(turnOf(back, pace).spread).toBe(true);
  });
});

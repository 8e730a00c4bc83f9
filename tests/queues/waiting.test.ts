import { describe, expect, test } from 'vitest';
import { unusuallyLong, waitingOf } from '../../src/queues/waiting.js';
import { chances } from './chances.js';

const EMPTY = { serviceSeconds: [], arrivedSecondsAgo: [], pending: 0, inProgressSeconds: null };

describe('by hand', () => {
  test('nothing known: an empty queue keeps nobody waiting, a full one for who knows how long', () => {
    expect(waitingOf(EMPTY)).toMatchObject({ expectedSeconds: 0, usualSeconds: null, clearsInSeconds: 0 });
    expect(waitingOf({ ...EMPTY, pending: 2 })).toMatchObject({ expectedSeconds: null, clearsInSeconds: null });
  });

  test('jobs of 10 s each, one in progress, two behind it: 5 + 20 s', () => {
    const waiting = waitingOf({ ...EMPTY, serviceSeconds: [10, 10, 10], pending: 2, inProgressSeconds: 4 });
    expect(waiting).toMatchObject({ expectedSeconds: 25, clearsInSeconds: 25, load: null });
  });

  test('behind a job that takes longer than any before it nobody knows', () => {
    const record = { ...EMPTY, serviceSeconds: [8, 10, 12], pending: 2 };
    expect(waitingOf({ ...record, inProgressSeconds: 12 })).toMatchObject({ expectedSeconds: 25 });
    expect(waitingOf({ ...record, inProgressSeconds: 13 })).toMatchObject({
      expectedSeconds: null,
      clearsInSeconds: null,
      usualServiceSeconds: 10,
    });
  });

  test('M/D/1: λ = 1/20, S = 10, so ρ = 0.5 and the wait is 0.05·100/(2·0.5) = 5 s', () => {
    const ago = Array.from({ length: 51 }, (_, i) => i * 20);
    const waiting = waitingOf({ ...EMPTY, serviceSeconds: [10, 10, 10], arrivedSecondsAgo: ago });
    expect(waiting).toMatchObject({ usualSeconds: 5, load: 0.5 });
  });

  test('more arrives than is printed: it does not clear by itself', () => {
    const ago = Array.from({ length: 11 }, (_, i) => i * 5);
    const waiting = waitingOf({
      serviceSeconds: [10, 10, 10],
      arrivedSecondsAgo: ago,
      pending: 3,
      inProgressSeconds: 1,
    });
    expect(waiting).toMatchObject({ load: 2, clearsInSeconds: null, usualSeconds: null, expectedSeconds: 35 });
  });

  test('out of the ordinary: four times the longest, and never under a minute', () => {
    expect([unusuallyLong([5, 5]), unusuallyLong([5, 5, 9]), unusuallyLong([5, 60, 40])]).toEqual([null, 60, 240]);
  });
});

describe('by simulation', () => {
  test.each([
    ['even', () => 12],
    ['exponential', (u: () => number) => -12 * Math.log(1 - u())],
    ['short and long', (u: () => number) => (u() < 0.9 ? 5 : 75)],
  ])('the mean wait of a queue with %s service times', (_name, service) => {
    const u = chances(11);
    const rate = 1 / 20;
    const services: number[] = [];
    let [clock, free, waited] = [0, 0, 0];
    const jobs = 200_000;
    for (let i = 0; i < jobs; i += 1) {
      clock += -Math.log(1 - u()) / rate;
      const s = service(u);
      waited += Math.max(0, free - clock);
      free = Math.max(free, clock) + s;
      services.push(s);
    }
    const ago = Array.from({ length: 1001 }, (_, i) => i * 20);
    const usual = waitingOf({ ...EMPTY, serviceSeconds: services, arrivedSecondsAgo: ago }).usualSeconds ?? 0;
    // Waits that follow each other are much alike, so the mean of 200,000 still strays by a few percent.
    expect(Math.abs(usual - waited / jobs) / (waited / jobs)).toBeLessThan(0.1);
  });

  test('the time until nothing waits any more', () => {
    const u = chances(12);
    const rate = 1 / 25;
    let total = 0;
    const runs = 20_000;
    for (let run = 0; run < runs; run += 1) {
      let [work, clock] = [50, 0];
      while (work > 0) {
        const next = -Math.log(1 - u()) / rate;
        const spent = Math.min(work, next);
        clock += spent;
        work -= spent;
        if (work > 0) work += 10;
      }
      total += clock;
    }
    // Five jobs of 10 s wait, ρ = 0.4: 50/(1 − 0.4) = 83 s.
    const ago = Array.from({ length: 41 }, (_, i) => i * 25);
    const record = { serviceSeconds: [10, 10, 10], arrivedSecondsAgo: ago, pending: 5, inProgressSeconds: null };
    expect(waitingOf(record).clearsInSeconds).toBe(83);
    expect(Math.abs(total / runs - 83) / 83).toBeLessThan(0.05);
  });
});

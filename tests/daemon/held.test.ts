import { expect, test } from 'vitest';
import { held } from '../../src/daemon/held.js';

const SECOND = 1_000;

function work() {
  const begun: { readonly end: (outcome: number) => void; readonly fail: (error: Error) => void }[] = [];
  const make = () => new Promise<number>((end, fail) => begun.push({ end, fail }));
  return { begun, make };
}

test('work that takes longer than its outcome is held is not begun beside itself', async () => {
  let now = 0;
  const { begun, make } = work();
  const ask = held(make, 15 * SECOND, () => now);
  const first = ask();
  now = 60 * SECOND;
  const second = ask();
  expect(begun).toHaveLength(1);
  begun[0]?.end(1);
  expect(await Promise.all([first, second])).toEqual([1, 1]);
  now += 15 * SECOND;
  expect(await ask()).toBe(1);
  now += 1;
  void ask();
  expect(begun).toHaveLength(2);
});

test('work that failed is told to who waited, and begun anew for the next', async () => {
  const { begun, make } = work();
  const ask = held(make, 15 * SECOND, () => 0);
  const waiting = [ask(), ask()];
  begun[0]?.fail(new Error('away'));
  for (const one of waiting) await expect(one).rejects.toThrow('away');
  const again = ask();
  begun[1]?.end(2);
  expect(await again).toBe(2);
});

import { expect, test } from 'vitest';
import { Bucket, PACE_WORDS, PACES, Slots } from '../../src/sweep/pace.js';

test('no preset asks the neighbour table for more than it holds', () => {
  // Measured on Linux: 1,024 rows (gc_thresh3), an unanswered one stays 3.1 s.
  for (const pace of Object.values(PACES)) expect(pace.unresolved).toBeLessThanOrEqual(1000);
});

test('each pace has a sentence', () => {
  for (const name of Object.keys(PACES))
    expect(PACE_WORDS[name as keyof typeof PACES]).toMatch(new RegExp(`^${name} `));
});

test('slots: never more at once than there are, everybody gets a turn, a failure frees its slot', async () => {
  const slots = new Slots(3);
  let now = 0;
  let most = 0;
  const work = async (index: number): Promise<number> => {
    now += 1;
    most = Math.max(most, now);
    await new Promise((resolve) => setTimeout(resolve, 1));
    now -= 1;
    if (index % 5 === 0) throw new Error('it went wrong');
    return index;
  };
  const all = await Promise.allSettled(Array.from({ length: 40 }, (_, index) => slots.run(() => work(index))));
  expect(most).toBe(3);
  expect(all.filter((one) => one.status === 'fulfilled').length).toBe(32);
});

test('the bucket lets a burst through and then counts time', async () => {
  let now = 0;
  const bucket = new Bucket(1000, 5, () => now);
  expect(Array.from({ length: 5 }, () => bucket.take())).toEqual(Array(5).fill(undefined));
  const wait = bucket.take();
  expect(wait).toBeInstanceOf(Promise);
  await wait;
  now += 10;
  expect(bucket.take()).toBeUndefined();
});

import { calendarOf } from '../../src/forecast/calendar.js';
import { foresee } from '../../src/forecast/forecast.js';
import type { SupplyHistory } from '../../src/model/history.js';
import type { Climate } from '../forecast/lives.js';
import { simulateLife } from '../forecast/lives.js';
import { horizonOf, middle, type One, refillsFound, trial } from '../forecast/trial.js';

const LIVES = 500;
const DAY = 86_400_000;
const FIRST_SEED = 1;
/** Lives that nothing was tried out on. */
const UNSEEN_SEED = 700_001;

function seeds(from: number): readonly number[] {
  return Array.from({ length: LIVES }, (_, i) => from + i);
}

function percent(share: number): string {
  return `${(share * 100).toFixed(1)} %`.padStart(7);
}

function row(name: string, ahead: number, ones: readonly One[], refused: number): void {
  const { asked, covered, before, after, error, lastTwo, leastSquares, informed } = horizonOf(ahead, ones, refused);
  const share = error / Math.min(lastTwo, leastSquares);
  const cells = [error, lastTwo, leastSquares, informed].map((days) => days.toFixed(2).padStart(7)).join('');
  console.log(
    `  ${name.padEnd(14)}${String(ahead).padStart(3)}${String(asked).padStart(6)}${String(refused).padStart(4)} ${percent(covered)}${percent(before)}${percent(after)} ${cells}   ${share.toFixed(2)}`,
  );
}

function table(climate: Climate, from: number): void {
  const { horizons, ones } = trial(seeds(from), [30, 14, 7], climate);
  console.log(`${LIVES} lives, ${climate}, from seed ${from}`);
  console.log(
    '                 days asked  no  inside earlier  later    ours last two squares informed  ours of the better naive',
  );
  pooled(ones);
  for (const { ahead, refused } of horizons) {
    const here = ones.filter((one) => one.ahead === ahead);
    row('all', ahead, here, refused);
    row(
      '  by pages',
      ahead,
      here.filter(({ counted }) => counted),
      0,
    );
    row(
      '  by days',
      ahead,
      here.filter(({ counted }) => !counted),
      0,
    );
    row(
      '  steps 1-5',
      ahead,
      here.filter(({ step }) => step <= 5),
      0,
    );
    row(
      '  steps 10-25',
      ahead,
      here.filter(({ step }) => step >= 10),
      0,
    );
  }
}

/** Middle errors over all horizons together. */
function pooled(ones: readonly One[]): void {
  const error = (of: (one: One) => number): number => middle(ones.map((one) => Math.abs(of(one) - one.ahead)));
  const ours = error(({ median }) => median);
  const naive = [error(({ lastTwo }) => lastTwo), error(({ leastSquares }) => leastSquares)];
  const words = naive.map((days) => days.toFixed(2)).join(' and ');
  console.log(
    `  all horizons: ours ${ours.toFixed(2)} days, naive ${words}, share ${(ours / Math.min(...naive)).toFixed(2)}`,
  );
}

function speed(supplies: number, days: number): void {
  const lives = Array.from({ length: 40 }, (_, i) => simulateLife(FIRST_SEED + i).history);
  const histories = Array.from({ length: supplies }, (_, i) => yearOf(lives[i % lives.length], days));
  const readings = histories.reduce((sum, history) => sum + history.readings.length, 0);
  const calendar = calendarOf('Europe/Lisbon');
  const started = performance.now();
  let enough = 0;
  for (const history of histories) {
    const asOf = history.readings.at(-1)?.at ?? 0;
    if (foresee(history, { asOf, interval: 0.9, calendar }).forecast.enough) enough += 1;
  }
  const ms = performance.now() - started;
  console.log(
    `  ${String(supplies).padStart(5)} supplies x ${days} days, ${String(readings).padStart(8)} readings: ${(ms / 1000).toFixed(2).padStart(6)} s, ${(ms / supplies).toFixed(2)} ms each, ${enough} with enough history`,
  );
}

/** A year of daily readings: a simulated past, repeated until it is long enough. */
function yearOf(history: SupplyHistory | undefined, days: number): SupplyHistory {
  if (history === undefined) throw new Error('no life to copy');
  const daily = history.readings.filter(
    ({ at }, i, all) => i === 0 || Math.floor(at / DAY) > Math.floor((all[i - 1]?.at ?? 0) / DAY),
  );
  const length = daily.length;
  const readings = Array.from({ length: days }, (_, i) => {
    const reading = daily[i % length];
    if (reading === undefined) throw new Error('an empty life');
    return { ...reading, at: (daily[0]?.at ?? 0) + i * DAY };
  });
  return { ...history, readings };
}

/** Simulated lives whose truth is known, then the time that a large site takes. */
export async function run(): Promise<void> {
  table('mixed', FIRST_SEED);
  table('mixed', UNSEEN_SEED);
  table('calm', UNSEEN_SEED);
  table('wild', UNSEEN_SEED);
  for (const from of [FIRST_SEED, UNSEEN_SEED]) {
    const { precision, recall, found, real } = refillsFound(seeds(from));
    console.log(
      `refills from seed ${from}: precision ${precision.toFixed(3)}, recall ${recall.toFixed(3)} (${found} found, ${real} real)`,
    );
  }
  console.log('time, in one process');
  for (const [supplies, days] of [
    [1250, 365],
    [2500, 365],
    [5000, 365],
    [5000, 730],
  ] as const)
    speed(supplies, days);
}

/** Made-up cartridge lives whose truth is known: what the forecast is held against. */
import type { SupplyHistory, SupplyReading } from '../../src/model/history.js';

const DAY = 86_400_000;
const HOUR = 3_600_000;
const WRAP = 2 ** 32;

/** A small generator of even numbers in 0..1 (mulberry32), so that every run sees the same lives. */
export function numbers(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}

export interface Life {
  /** All readings, the last cartridge's end included: cut it at the moment that is asked about. */
  readonly history: SupplyHistory;
  /** When the last cartridge came, and when it was truly empty. */
  readonly startedAt: number;
  readonly emptyAt: number;
  /** When each new cartridge came. */
  readonly refills: readonly number[];
  readonly step: number;
  readonly counted: boolean;
  /** What was truly left, each time somebody looked. */
  readonly truth: readonly Moment[];
}

interface World {
  readonly random: () => number;
  readonly between: (low: number, high: number) => number;
  readonly pick: <T>(...of: readonly T[]) => T;
  readonly chance: (share: number) => boolean;
  readonly normal: () => number;
}

function worldOf(seed: number): World {
  const random = numbers(seed);
  return {
    random,
    between: (low, high) => low + (high - low) * random(),
    pick: (...of) => of[Math.floor(random() * of.length)] as (typeof of)[number],
    chance: (share) => random() < share,
    normal: () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random()),
  };
}

/** How unsteady a site is: `mixed` is what the figures are stated for, the others show that they don't hang on it. */
export type Climate = 'mixed' | 'calm' | 'wild';

interface Weather {
  readonly spread: number;
  readonly burstShare: number;
  readonly drift: number;
  readonly closedWeeks: number;
}

function weatherOf({ between, pick }: World, climate: Climate): Weather {
  if (climate === 'calm') return { spread: between(0.05, 0.25), burstShare: 0, drift: 0, closedWeeks: 0 };
  if (climate === 'wild') return { spread: between(0.6, 1.1), burstShare: 0.05, drift: 0.02, closedWeeks: 2 };
  return {
    spread: between(0.15, 0.7),
    burstShare: pick(0, 0.01, 0.03),
    drift: pick(0, 0, 0.01, 0.02),
    closedWeeks: pick(0, 1, 2),
  };
}

/** How a site prints: pages of each day, one after the other. */
function pagesByDay(world: World, pagesADay: number, climate: Climate): (day: number) => number {
  const { between, pick, chance, normal } = world;
  const week = pick(
    [1, 1, 1, 1, 1, 0, 0],
    [1, 1, 1, 1, 0.8, 0.1, 0.05],
    [0.9, 1.1, 1, 1, 0.7, 0.4, 0],
    [1, 1, 1, 1, 1, 0.8, 0.7],
  );
  const scale = 7 / week.reduce((sum, weight) => sum + weight, 0);
  const { spread, burstShare, drift, closedWeeks } = weatherOf(world, climate);
  const holidays = new Set<number>();
  for (let year = 0; year < 3; year++) {
    for (let i = 0; i < 9; i++) holidays.add(Math.floor(between(0, 365)) + year * 365);
    for (let i = 0; i < closedWeeks; i++) {
      const from = Math.floor(between(0, 365)) + year * 365;
      const days = Math.floor(between(4, 15));
      for (let day = from; day < from + days; day++) holidays.add(day);
    }
  }
  let burst = 0;
  let burstFactor = 1;
  let level = 0;
  return (day) => {
    level = level * 0.99 + drift * normal();
    if (burst > 0) burst -= 1;
    else if (chance(burstShare)) {
      burst = Math.floor(between(1, 5));
      burstFactor = between(1.5, 4);
    }
    const quiet = holidays.has(day % 1095) ? 0.03 : 1;
    const noise = Math.exp(spread * normal() - (spread * spread) / 2);
    const weight = (week[(day + 3) % 7] ?? 1) * scale;
    return Math.round(pagesADay * weight * quiet * (burst > 0 ? burstFactor : 1) * Math.exp(level) * noise);
  };
}

/** Percent left → what the printer says. */
function scaleOf(world: World, step: number): (percent: number) => number {
  const round = world.pick(Math.floor, Math.round, Math.ceil);
  const shake = world.chance(0.12) ? world.pick(0.3, 0.8) : 0;
  return (percent) => {
    const shaken = shake === 0 ? percent : percent + shake * world.normal();
    return Math.min(100, Math.max(0, round(shaken / step) * step));
  };
}

export interface Moment {
  readonly at: number;
  readonly percent: number;
  readonly capacity: number;
  readonly pages: number;
}

interface Site {
  readonly nextPages: (day: number) => number;
  readonly yieldPages: number;
  /** Hours of the day at which the printer is read. */
  readonly hours: readonly number[];
}

interface Run {
  readonly moments: Moment[];
  day: number;
  printed: number;
}

/** Uses up one cartridge and reads it; gives the moment at which it was at its end. */
function useUp(world: World, site: Site, run: Run, factor: number, takenOutAt: number): number {
  const capacity = Math.round(6000 * factor);
  const perPage = (100 / (site.yieldPages * factor)) * Math.exp(0.08 * world.normal());
  let percent = 100;
  for (;;) {
    const { day, printed } = run;
    const pages = site.nextPages(day);
    const use = pages * perPage * Math.exp(0.2 * world.normal());
    const runsOut = percent - use <= takenOutAt;
    for (const hour of site.hours) {
      const share = Math.min(1, Math.max(0, (hour - 8) / 10));
      const left = percent - use * share;
      if (runsOut && left <= takenOutAt) break;
      run.moments.push({ at: day * DAY + hour * HOUR, percent: left, capacity, pages: printed + pages * share });
    }
    run.printed += pages;
    run.day += 1;
    if (runsOut) return day * DAY + (8 + (10 * (percent - takenOutAt)) / use) * HOUR;
    percent -= use;
  }
}

/** One supply's past: a few cartridges used up or taken out early, then a last one that runs empty. */
export function simulateLife(seed: number, climate: Climate = 'mixed'): Life {
  const world = worldOf(seed);
  const { between, pick, chance } = world;
  const step = pick(1, 1, 2, 5, 10, 20, 25);
  const yieldPages = between(1500, 12_000);
  const nextPages = pagesByDay(world, yieldPages / between(25, 150), climate);
  const counted = chance(0.6);
  const hours = pick([8], [0], [23], [2, 8, 14, 20], [0, 4, 8, 12, 16, 20]);
  const site: Site = { nextPages, yieldPages, hours };
  const cartridges = pick(0, 1, 1, 2, 3, 5);
  const big = chance(0.2);
  const changes: number[] = [];
  const run: Run = { moments: [], day: 18_262 + Math.floor(between(0, 700)), printed: 0 };
  let emptyAt = 0;
  for (let number = 0; number <= cartridges; number++) {
    const last = number === cartridges;
    const takenOutAt = last || chance(0.5) ? 0 : between(2, 30);
    const factor = big && number % 2 === 1 ? 1.6 : 1;
    changes.push(run.day * DAY);
    emptyAt = useUp(world, site, run, factor, takenOutAt);
    if (last || takenOutAt > 0 || chance(0.5)) continue;
    run.moments.push({ at: run.day * DAY, percent: 0, capacity: Math.round(6000 * factor), pages: run.printed });
    run.day += 1;
  }
  return {
    history: historyOf(world, seed, run.moments, step, counted),
    startedAt: changes.at(-1) ?? 0,
    emptyAt,
    refills: changes.slice(1),
    step,
    counted,
    truth: run.moments,
  };
}

function historyOf(
  world: World,
  seed: number,
  moments: readonly Moment[],
  step: number,
  counted: boolean,
): SupplyHistory {
  const { chance, pick, between } = world;
  const scale = scaleOf(world, step);
  const resets = chance(0.15);
  const weekendsOff = chance(0.1);
  const counter = counterOf(world, moments);
  const readings: SupplyReading[] = [];
  let strange = 0;
  let strangeLevel = 0;
  for (const { at, percent, capacity, pages } of moments) {
    const weekend = (Math.floor(at / DAY) + 3) % 7 >= 5;
    if (chance(0.03) || (weekendsOff && weekend)) continue;
    if (strange === 0 && resets && chance(0.01)) {
      strange = pick(1, 1, 2);
      strangeLevel = pick(-2, -3, 0, 0, Math.floor(between(0, capacity)));
    }
    const level = strange > 0 ? strangeLevel : Math.round((scale(percent) * capacity) / 100);
    strange = Math.max(0, strange - 1);
    readings.push({ at, level, capacity, unit: 'impressions', pages: counted ? counter(at, Math.floor(pages)) : null });
  }
  return {
    printer: `printer-${seed}`,
    model: null,
    supply: { index: 1, name: 'Black toner', type: 'toner', class: 'supplyThatIsConsumed', colour: 'black' },
    readings,
  };
}

/** A page counter that starts anywhere, wraps at 2^32, or goes back to nothing when a board is changed. */
function counterOf(
  { chance, between, pick }: World,
  moments: readonly Moment[],
): (at: number, pages: number) => number {
  const start = chance(0.1) ? WRAP - Math.floor(between(0, 9000)) : Math.floor(between(0, 200_000));
  const middle = moments[Math.floor(moments.length * between(0.2, 0.8))];
  const resetAt = chance(0.1) ? (middle?.at ?? 0) : Number.POSITIVE_INFINITY;
  const lost = pick(0, 120);
  return (at, pages) => {
    if (at < resetAt) return (start + pages) % WRAP;
    return Math.max(0, pages - (Math.floor(middle?.pages ?? 0) - lost));
  };
}

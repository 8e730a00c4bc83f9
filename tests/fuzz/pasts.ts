/** Pasts of supplies that nobody planned for, through the forecast and into every form of its document. */
import { Buffer } from 'node:buffer';
import { suppliesDocument } from '../../src/forecast/site.js';
import type { SupplyHistory, SupplyReading } from '../../src/model/history.js';
import type { Estimate, SuppliesDocument } from '../../src/model/supplies.js';
import { renderJson } from '../../src/render/json.js';
import { suppliesCsv } from '../../src/render/supplies-csv.js';
import { renderSupplies } from '../../src/render/supplies-text.js';
import type { Draw } from './mutate.js';
import { type Case, type FuzzTarget, mustBePlain } from './target.js';

const DAY = 86_400_000;
const START = Date.parse('2026-01-05T06:00:00Z');
/** Special levels, ends of ranges of Integer32 (RFC 2578 7.1.1), and what a counter that overflows leaves. */
const ODD = [-3, -2, -1, 0, 0.000_001, 1, 255, 65_535, 2_147_483_647, -2_147_483_648, 4_294_967_295, 9_999_999_999];
const STEPS = [0, 1, 1000, 60_000, 3_600_000, DAY, DAY, DAY, 7 * DAY, 400 * DAY, 4000 * DAY];
const UNITS = ['percent', 'impressions', 'tenThousandthsOfInches', 'items', 'unknown', null];
const TYPES = ['toner', 'opc', 'wasteToner', 'staples', 'unknown'] as const;
const ZONES = ['UTC', 'Europe/Berlin', 'Pacific/Apia', 'America/St_Johns', undefined];

const one = <T>(list: readonly T[], draw: Draw): T => list[draw(list.length)] as T;
const rarely = (draw: Draw): boolean => draw(12) === 0;

/** A supply that is used, refilled and misread; in step with a counter that sometimes stands, jumps or starts again. */
function past(draw: Draw, index: number): SupplyHistory {
  const capacity = rarely(draw) ? one(ODD, draw) : 100 + draw(8) * 1000;
  const usual = one(STEPS, draw);
  const use = draw(40) / 10;
  const counts = draw(3) > 0;
  let [at, left, pages] = [START, draw(101), draw(50_000)];
  const readings = Array.from({ length: draw(80) }, (): SupplyReading => {
    at += rarely(draw) ? one(STEPS, draw) : usual;
    left = left - (draw(100) / 50) * use;
    if (left < 0 || rarely(draw)) left = draw(4) === 0 ? 0 : 100;
    pages = rarely(draw) ? draw(50_000) : pages + draw(400);
    const level = rarely(draw) ? one(ODD, draw) : Math.round((left / 100) * capacity);
    return {
      at,
      level,
      capacity: rarely(draw) ? null : capacity,
      unit: one(UNITS, draw),
      pages: counts ? pages : null,
    };
  });
  const type = one(TYPES, draw);
  const supply = { index, name: `\u001b[31m=${type} ${index}`, type, class: classOf(type), colour: null };
  return { printer: `desk-${draw(3)}`, model: rarely(draw) ? '\u202eM' : null, supply, readings };
}

const classOf = (type: string): string => (type === 'wasteToner' ? 'receptacleThatIsFilled' : 'supplyThatIsConsumed');

function mustBeEstimate<T>(name: string, estimate: Estimate<T> | null, known: (value: T) => boolean): void {
  if (estimate === null) return;
  const { low, median, high } = estimate;
  if ([low, median, high].every(known) && low <= median && median <= high) return;
  throw new Error(`${name} ${JSON.stringify(estimate)}`);
}

const amount = (value: number): boolean => Number.isFinite(value) && value >= 0;
const date = (value: string): boolean => /^\d{4}-\d{2}-\d{2}$/.test(value) && !Number.isNaN(Date.parse(value));

function mustHold({ forecasts, orders }: SuppliesDocument): void {
  for (const { perDay, daysLeft, pagesLeft, emptyAt, enough, because, percent, refills } of forecasts) {
    mustBeEstimate('perDay', perDay, amount);
    mustBeEstimate('daysLeft', daysLeft, amount);
    mustBeEstimate('pagesLeft', pagesLeft, amount);
    mustBeEstimate('emptyAt', emptyAt, date);
    if (because === '' || enough !== (daysLeft !== null)) throw new Error(`enough ${enough}, because "${because}"`);
    if (percent !== null && !(percent >= 0 && percent <= 100)) throw new Error(`${percent} percent`);
    if (!refills.every(date)) throw new Error(`refills ${refills.join(' ')}`);
  }
  for (const { quantity, orderBy } of orders)
    if (!Number.isInteger(quantity) || quantity < 1 || !date(orderBy)) throw new Error(`order ${quantity} ${orderBy}`);
}

function foresee({ draw, served }: Case): void {
  const histories = Array.from({ length: 1 + draw(3) }, (_, i) => past(draw, i + 1));
  const newest = histories.reduce((latest, { readings }) => Math.max(latest, readings.at(-1)?.at ?? START), START);
  const asOf = newest + (rarely(draw) ? one(STEPS, draw) : draw(2 * DAY));
  const timezone = one(ZONES, draw);
  const options = {
    asOf,
    interval: one([0.01, 0.5, 0.8, 0.9, 0.99, 0.9999], draw),
    leadDays: one([0, 5, 14, 3650], draw),
    risk: one([0.0001, 0.01, 0.05, 0.5, 0.9999], draw),
    models: new Map(),
    ...(timezone === undefined ? {} : { timezone }),
  };
  served.push(Buffer.from(JSON.stringify({ histories, ...options })));
  const document = suppliesDocument(histories, options);
  mustHold(document);
  mustBePlain(renderSupplies(document, { color: false, columns: 80, today: '2026-01-31' }));
  mustBePlain(suppliesCsv(document).replaceAll('\r\n', '\n'));
  if (/NaN|Infinity/.test(renderJson(document))) throw new Error('a figure that is none');
}

export const pastsTarget: FuzzTarget = { name: 'pasts', share: 0.02, run: foresee };

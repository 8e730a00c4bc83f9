/** What to order, and by when. */

import { RECEPTACLE } from '../facts/printer/supply-state.js';
import type { Cartridge } from '../model/cartridge.js';
import type { SupplyHistory } from '../model/history.js';
import type { Order } from '../model/supplies.js';
import { type Calendar, DAY } from './calendar.js';
import type { Foreseen } from './forecast.js';

export interface OrderOptions {
  readonly asOf: number;
  /** Days from ordering to having it in hand. */
  readonly leadDays: number;
  /** Probability of running out before the delivery that is accepted. */
  readonly risk: number;
  readonly calendar: Calendar;
}

export interface Orderable extends Foreseen {
  readonly history: SupplyHistory;
  readonly cartridge: Cartridge | undefined;
}

/** What becomes due later than this is left for another day. */
export const LOOK_AHEAD_DAYS = 30;

/** Before all that lasts for some days yet, or for none that are known. */
const USED_UP = -1;

interface Need {
  readonly key: string;
  readonly what: string;
  readonly printer: string;
  readonly inDays: number;
  /** Days until the accepted risk is reached. */
  readonly safe: number;
  readonly because: string;
  /** The same in a word or two, behind others. */
  readonly briefly: string;
}

/**
 * The order list: each supply that may run out, with the accepted risk, before it could be delivered when ordered within
 * the next 30 days, bundled over the printers that take the same; soonest first.
 */
export function ordersOf(supplies: readonly Orderable[], options: OrderOptions): readonly Order[] {
  const bundles = new Map<string, Need[]>();
  for (const supply of supplies) {
    const need = needOf(supply, options);
    if (need === undefined) continue;
    const bundle = bundles.get(need.key);
    if (bundle === undefined) bundles.set(need.key, [need]);
    else bundle.push(need);
  }
  return [...bundles.values()]
    .map((needs) => needs.sort((a, b) => a.safe - b.safe))
    .sort((a, b) => (a[0]?.inDays ?? 0) - (b[0]?.inDays ?? 0) || compare(a[0]?.what, b[0]?.what))
    .map((needs) => orderOf(needs, options));
}

function compare(a = '', b = ''): number {
  if (a === b) return 0;
  return a < b ? -1 : 1;
}

function orderOf(needs: readonly Need[], { asOf, calendar }: OrderOptions): Order {
  const first = needs[0];
  const fits = [...new Set(needs.map(({ printer }) => printer))];
  return {
    what: first?.what ?? '',
    fits,
    quantity: needs.length,
    orderBy: calendar.dateOf(asOf + (first?.inDays ?? 0) * DAY),
    because: reasonOf(needs),
  };
}

/** The most urgent in full, the others by name and date. */
function reasonOf(needs: readonly Need[]): string {
  const [first, ...others] = needs;
  if (first === undefined) return '';
  const sentence = `${first.printer} ${first.because}`;
  if (others.length === 0) return sentence;
  return `${sentence}; then ${others.map(({ printer, briefly }) => `${printer} ${briefly}`).join(', ')}`;
}

function needOf({ forecast, daysUntil, history, cartridge }: Orderable, options: OrderOptions): Need | undefined {
  const { printer, supply, state, percent } = forecast;
  const need = { ...identityOf(history, cartridge), printer };
  const full = history.supply.class === RECEPTACLE;
  if (state === 'empty' || state === 'full')
    return { ...need, inDays: 0, safe: USED_UP, because: `is ${state}`, briefly: `(${state})` };
  if (daysUntil === undefined) {
    if (state !== 'low') return undefined;
    const left = percent === null ? 'is low' : `has ${percent} % ${full ? 'room ' : ''}left`;
    return {
      ...need,
      inDays: 0,
      safe: 0,
      because: `${left}, and there is no history to tell how long that lasts`,
      briefly: '(low)',
    };
  }
  const { risk, leadDays, asOf, calendar } = options;
  const safe = daysUntil(risk);
  const inDays = Math.max(0, Math.floor(safe) - leadDays);
  if (inDays > LOOK_AHEAD_DAYS || supply.name === '') return undefined;
  const by = calendar.dateOf(asOf + safe * DAY);
  const chance = Number((risk * 100).toPrecision(2));
  const likely = calendar.dateOf(asOf + daysUntil(0.5) * DAY);
  const because = `may be ${full ? 'full' : 'empty'} by ${by} (${chance} % chance), and likely is by ${likely}`;
  return { ...need, inDays, because, safe, briefly: by };
}

/** Printers share what has the same order name; else what one model calls alike; without models, what is called alike. */
function identityOf({ model, supply }: SupplyHistory, cartridge: Cartridge | undefined): Pick<Need, 'key' | 'what'> {
  if (cartridge !== undefined) return { key: `order ${cartridge.order.toLowerCase()}`, what: cartridge.order };
  const what = supply.name;
  return { key: `name ${what.toLowerCase()} ${model?.toLowerCase() ?? ''}`, what };
}

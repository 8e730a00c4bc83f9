/** `outfeed.supplies/1` of a whole site. */
import type { ModelSupplies } from '../model/cartridge.js';
import type { SupplyHistory } from '../model/history.js';
import type { FeedingFaults, Forecast, Maintenance, Order } from '../model/supplies.js';
import { SUPPLIES_SCHEMA, type SuppliesDocument } from '../model/supplies.js';
import { calendarOf, DAY } from './calendar.js';
import { pagesSince } from './counter.js';
import { type Foreseen, foresee } from './forecast.js';
import { maintenanceOf } from './maintenance.js';
import { type Orderable, ordersOf } from './order.js';
import { cartridgeOf } from './yield.js';

export interface SiteOptions {
  readonly asOf: number;
  readonly interval: number;
  readonly leadDays: number;
  readonly risk: number;
  readonly timezone?: string;
  /** Printer's name, in lower case → its model's supplies. */
  readonly models: ReadonlyMap<string, ModelSupplies>;
}

/** How each supply stands now where somebody has just looked: level and state of the look, with alerts taken into account. */
export type Present = (history: SupplyHistory) => Pick<Forecast, 'percent' | 'state'> | undefined;

/** Forecasts in the order of the histories, the order list, and what is due for care. Pure. */
export function suppliesDocument(
  histories: readonly SupplyHistory[],
  options: SiteOptions,
  present: Present = () => undefined,
  problems: readonly string[] = [],
  feeding?: readonly FeedingFaults[],
): SuppliesDocument {
  const calendar = calendarOf(options.timezone);
  const { asOf, interval, leadDays, risk, models } = options;
  const orderables = histories.map((given): Orderable => {
    const model = models.get(given.printer.toLowerCase());
    const history = { ...given, model: given.model ?? model?.model ?? null };
    const cartridge = cartridgeOf(given.supply, model?.supplies ?? []);
    const foreseen = foresee(history, {
      asOf,
      interval,
      calendar,
      ...(cartridge === undefined ? {} : { cartridge }),
      ...(model?.currency === undefined ? {} : { currency: model.currency }),
    });
    return { ...asSeen(foreseen, present(given)), history, cartridge };
  });
  return {
    schema: SUPPLIES_SCHEMA,
    asOf: new Date(asOf).toISOString(),
    interval,
    forecasts: orderables.map(({ forecast }) => forecast),
    orders: ordersOf(orderables, { asOf, leadDays, risk, calendar }),
    maintenance: careOf(histories, options),
    ...(feeding === undefined ? {} : { feeding }),
    problems,
  };
}

function asSeen(foreseen: Foreseen, now: Pick<Forecast, 'percent' | 'state'> | undefined): Foreseen {
  return now === undefined ? foreseen : { ...foreseen, forecast: { ...foreseen.forecast, ...now } };
}

function careOf(histories: readonly SupplyHistory[], { asOf, timezone, models }: SiteOptions): readonly Maintenance[] {
  const calendar = calendarOf(timezone);
  const names = [...new Set(histories.map(({ printer }) => printer))];
  return names.flatMap((printer) => {
    const plans = models.get(printer.toLowerCase())?.maintenance ?? [];
    if (plans.length === 0) return [];
    const worked = { printer, asOf, ...countedBy(histories, printer, asOf) };
    return plans.map((plan) => maintenanceOf(plan, worked, calendar));
  });
}

/** The printer's page counter and its pace, from whichever of its supplies was read with a counter longest. */
function countedBy(
  histories: readonly SupplyHistory[],
  printer: string,
  asOf: number,
): { readonly pages: number | null; readonly pagesPerDay: number | null } {
  const looks = histories
    .filter((history) => history.printer === printer)
    .map(({ readings }) => readings.filter(({ at, pages }) => at <= asOf && pages !== null))
    .sort((a, b) => b.length - a.length)[0];
  const first = looks?.[0];
  const last = looks?.at(-1);
  if (looks === undefined || first === undefined || last === undefined) return { pages: null, pagesPerDay: null };
  const days = (last.at - first.at) / DAY;
  const printed = pagesSince(looks)?.at(-1);
  return { pages: last.pages, pagesPerDay: printed === undefined || days < 1 ? null : printed / days };
}

/** What is to be done today: orders that can't wait, and supplies that are used up. */
export function isUrgent({ asOf, forecasts, orders }: SuppliesDocument, timezone?: string): boolean {
  const today = calendarOf(timezone).dateOf(Date.parse(asOf));
  return forecasts.some(({ state }) => state === 'empty' || state === 'full') || ordersToday(orders, today).length > 0;
}

/** Orders that have to be placed on this date at the latest. */
export function ordersToday(orders: readonly Order[], today: string): readonly Order[] {
  return orders.filter(({ orderBy }) => orderBy <= today);
}

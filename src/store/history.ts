import type { History, SupplyHistory, SupplyReading } from '../model/history.js';
import { type KeptCount, withHeld } from './held.js';
import type { KeptLevel } from './past.js';
import type { Store } from './store.js';

/**
 * What a store remembers of supplies, as forecasts take it: every change where it is still kept, one reading a day further
 * back, and where it is known that a level held. A supply keeps the capacity and the names it has now.
 */
export function storeHistory(store: Pick<Store, 'levels' | 'models' | 'counts' | 'answers'>): History {
  return {
    supplies: async (until, printers) => {
      const levels = await store.levels(0);
      const [models, answers] = [await store.models(), await store.answers()];
      const counts = countsBy(await store.counts(0));
      const wanted = printers?.map((name) => name.toLowerCase());
      const kept = levels.filter(
        ({ at, printer }) => at <= until && (wanted === undefined || wanted.includes(printer.toLowerCase())),
      );
      return [...bySupply(kept).values()].map((group) => {
        const { readings, ...history } = historyOf(group, models);
        const of = (counts.get(history.printer) ?? []).filter(({ at }) => at <= until);
        const answeredAt = answers.get(history.printer) ?? null;
        const held = withHeld(readings, of, answeredAt === null ? null : Math.min(answeredAt, until));
        return { ...history, readings: held };
      });
    },
  };
}

function countsBy(counts: readonly KeptCount[]): ReadonlyMap<string, readonly KeptCount[]> {
  const groups = new Map<string, KeptCount[]>();
  for (const count of counts) {
    const group = groups.get(count.printer);
    if (group === undefined) groups.set(count.printer, [count]);
    else group.push(count);
  }
  return groups;
}

function bySupply(levels: readonly KeptLevel[]): Map<string, KeptLevel[]> {
  const groups = new Map<string, KeptLevel[]>();
  for (const level of levels) {
    const key = `${level.printer} ${level.series.place}`;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [level]);
    else group.push(level);
  }
  return groups;
}

function historyOf(levels: readonly KeptLevel[], models: ReadonlyMap<string, string>): SupplyHistory {
  const [first] = levels;
  if (first === undefined) throw new Error('a supply without readings');
  const { printer, series } = first;
  const { place, name, type, colour, unit, capacity } = series;
  return {
    printer,
    model: models.get(printer) ?? null,
    supply: { index: Number(place), name, type, class: series.class, colour },
    readings: levels.map(({ at, level, pages }): SupplyReading => ({ at, level, capacity, unit, pages })),
  };
}

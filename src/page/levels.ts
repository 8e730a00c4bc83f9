import type { Alert, Cover, Output, PrinterDocument, Supply, Tray } from '../model/printer.js';
import { type Forecast, isFar } from '../model/supplies.js';
import { type Markup, markup } from '../render/markup.js';
import { fills, named, placeState } from '../render/site-words.js';
import { levelBar } from '../render/svg.js';
import type { Frame } from './frame.js';
import { shape } from './shapes.js';
import type { Words } from './words.js';

type Level = Pick<Supply, 'level' | 'capacity' | 'percent' | 'meaning'>;

/** A level in words, for who reads and for who can't see the bar. */
export function levelWords(
  { level, capacity, percent, meaning }: Level,
  unit: string | null,
  { levels }: Words,
): string {
  if (meaning === 'some-left') return levels.someLeft;
  if (meaning === 'no-limit') return levels.noLimit;
  if (meaning === 'unknown' || percent === null) return levels.notTold;
  const told = level !== null && capacity !== null && unit !== null && unit !== 'percent';
  return told ? `${percent} %, ${levels.of(level, capacity, named(unit, 30))}` : `${percent} %`;
}

/** Supplies as bars with words, each with how long it lasts where the past tells. */
export function suppliesPart(supplies: readonly Supply[], forecasts: readonly Forecast[], frame: Frame): Markup | null {
  const { words } = frame;
  const rows = supplies.map((supply) => {
    const level = levelWords(supply, supply.unit, words);
    const room = fills(supply) && supply.percent !== null ? `${level} ${words.printer.roomLeft}` : level;
    const forecast = forecasts.find((one) => one.supply.index === supply.index);
    return levelRow(
      supply.name,
      supply.state,
      [words.levels[supply.state], room, lastsWords(forecast, frame)],
      supply.percent,
    );
  });
  return levelList(words.printer.supplies, 'supplies', rows);
}

/** Until when it lasts, as a span: one day would claim more than is known. */
export function lastsWords(forecast: Forecast | undefined, { words, clock }: Frame): string {
  if (forecast === undefined || forecast.emptyAt === null) return '';
  if (isFar(forecast)) return words.printer.lastsLong;
  const { emptyAt } = forecast;
  return words.printer.lasts(clock.date(emptyAt.median), clock.date(emptyAt.low), clock.date(emptyAt.high));
}

/** Trays with what lies in them, output bins with the room that is left. */
export function traysPart({ trays, outputs }: PrinterDocument, { words }: Frame): Markup | null {
  return levelList(words.printer.trays, 'trays', [
    ...trays.map((tray) => trayRow(tray, words)),
    ...outputs.map((output) => outputRow(output, words)),
  ]);
}

function trayRow(tray: Tray, words: Words): Markup {
  const level = tray.percent === 0 ? words.levels.empty : levelWords(tray, tray.unit, words);
  return levelRow(tray.name, placeState(tray), [level, tray.media === null ? '' : named(tray.media, 60)], tray.percent);
}

function outputRow(output: Output, words: Words): Markup {
  if (output.percent === 0) return levelRow(output.name, 'full', [words.levels.full], 0);
  const level = levelWords(output, null, words);
  return levelRow(
    output.name,
    'ok',
    [output.percent === null ? level : `${level} ${words.printer.roomLeft}`],
    output.percent,
  );
}

const SHAPES = { low: 'warning', empty: 'fault', full: 'fault', ok: null, unknown: null } as const;

function levelRow(name: string, state: keyof typeof SHAPES, said: readonly string[], percent: number | null): Markup {
  const bar = percent === null ? null : levelBar(percent, state);
  const mark = SHAPES[state];
  const words = said.filter((part) => part !== '').join(', ');
  return markup`<li><span class="name">${mark === null ? null : shape(mark)}<bdi>${named(name)}</bdi></span><span class="amount">${named(words, 200)}</span>${bar}</li>`;
}

function levelList(title: string, id: string, rows: readonly Markup[]): Markup | null {
  if (rows.length === 0) return null;
  return markup`<section class="part" id="${id}" data-live><h2>${title}</h2><ul class="levels">${rows}</ul></section>`;
}

export function coversPart(covers: readonly Cover[], { words }: Frame): Markup | null {
  if (covers.length === 0) return null;
  const items = covers.map(({ name, state }) => {
    const open = /Open$/.test(state);
    const word = words.covers[state] ?? named(state, 40);
    return markup`<li>${shape(open ? 'fault' : 'clear')} <bdi>${named(name)}</bdi>: ${word}</li>`;
  });
  return markup`<section class="part" id="covers" data-live><h2>${words.printer.covers}</h2><ul class="plain">${items}</ul></section>`;
}

/** Alerts that are shown in full; a printer may keep thirty old ones. */
const MOST_ALERTS = 12;

export function alertsPart(alerts: readonly Alert[], { words }: Frame): Markup | null {
  if (alerts.length === 0) return null;
  const items = alerts.slice(0, MOST_ALERTS).map((alert) => markup`<li>${alertWords(alert)}</li>`);
  const more = alerts.length - items.length;
  const rest = more > 0 ? markup`<li class="soft">${words.printer.more(more)}</li>` : null;
  return markup`<section class="part" id="alerts" data-live><h2>${words.printer.alerts}</h2><ul class="plain">${items}${rest}</ul></section>`;
}

function alertWords({ description, component, code, severity }: Alert): Markup {
  const said = description ?? component ?? code;
  const tags = [severity, component === said ? '' : component, code === said ? '' : code];
  const tag = tags.flatMap((part) => (part === null || part === '' ? [] : [named(part, 60)])).join(', ');
  return markup`${named(said, 200)} <span class="tag">${tag}</span>`;
}

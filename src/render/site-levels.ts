import type { Alert, Output, PrinterDocument, Supply, Tray } from '../model/printer.js';
import type { SnapshotPrinter } from '../model/snapshot.js';
import { type Forecast, isFar } from '../model/supplies.js';
import { type Markup, markup } from './markup.js';
import { fills, levelWords, named, placeState } from './site-words.js';
import { levelBar } from './svg.js';

/** Supplies as bars with words; null when the printer told of none. */
export function suppliesPart({ printer, supplies }: SnapshotPrinter): Markup | null {
  if (printer === null || printer.supplies.length === 0) return null;
  const rows = printer.supplies.map((supply) => {
    const forecast = supplies.find((one) => one.supply.index === supply.index);
    const words = `${levelOfSupply(supply)}${lastsWords(forecast)}`;
    return levelRow(supply.name, words, supply.percent, supply.state);
  });
  return levelList('Supplies', rows);
}

/** Until when it lasts, as a span: one day would claim more than is known. */
function lastsWords(forecast: Forecast | undefined): string {
  if (forecast === undefined || forecast.emptyAt === null) return '';
  const { emptyAt } = forecast;
  return isFar(forecast)
    ? '; lasts longer than three years'
    : `; lasts until about ${emptyAt.median} (${emptyAt.low} to ${emptyAt.high})`;
}

function levelOfSupply(supply: Supply): string {
  const level = levelWords(supply, supply.unit);
  const room = fills(supply) && supply.percent !== null ? `${level} room left` : level;
  return supply.state === 'ok' || supply.state === 'unknown' ? room : `${supply.state}, ${room}`;
}

/** Trays with what lies in them, and output bins with the room that is left. */
export function placesPart(printer: PrinterDocument | null): Markup | null {
  if (printer === null || printer.trays.length + printer.outputs.length === 0) return null;
  const rows = [...printer.trays.map(trayRow), ...printer.outputs.map(outputRow)];
  return levelList('Trays and output', rows);
}

function trayRow(tray: Tray): Markup {
  const level = tray.percent === 0 ? 'empty' : levelWords(tray, tray.unit);
  const media = tray.media === null || tray.media === '' ? '' : `, ${named(tray.media, 60)}`;
  return levelRow(tray.name, `${level}${media}`, tray.percent, placeState(tray));
}

function outputRow(output: Output): Markup {
  const level = output.percent === 0 ? 'full' : levelWords(output, null);
  const room = output.percent === null || output.percent === 0 ? level : `${level} room left`;
  return levelRow(output.name, room, output.percent, placeState(output));
}

function levelRow(name: string, words: string, percent: number | null, state: string): Markup {
  const bar = percent === null ? null : levelBar(percent, state);
  return markup`<li><span class="name"><bdi>${named(name)}</bdi></span><span class="amount">${named(words, 160)}</span>${bar}</li>`;
}

function levelList(title: string, rows: readonly Markup[]): Markup {
  return markup`<div class="part"><h4>${title}</h4><ul class="levels">${rows}</ul></div>`;
}

/** Alerts that are shown in full; a printer may keep thirty old ones. */
const ALERTS_SHOWN = 12;

/** The printer's own list of alerts. */
export function alertsPart(printer: PrinterDocument | null): Markup | null {
  if (printer === null || printer.alerts.length === 0) return null;
  const items = printer.alerts.slice(0, ALERTS_SHOWN).map((alert) => markup`<li>${alertWords(alert)}</li>`);
  const more = printer.alerts.length - items.length;
  const rest = more > 0 ? markup`<li class="tag">and ${more} more, in alerts.csv</li>` : null;
  return markup`<div class="part"><h4>Its own alerts</h4><ul class="plain">${items}${rest}</ul></div>`;
}

function alertWords(alert: Alert): Markup {
  const said = alert.description ?? alert.component ?? alert.code;
  const tag = [
    alert.severity,
    alert.component === said ? null : alert.component,
    alert.code === said ? null : alert.code,
  ];
  const words = tag.filter((part): part is string => part !== null && part !== '').map((part) => named(part, 60));
  return markup`${named(said, 200)} <span class="tag">${words.join(', ')}</span>`;
}

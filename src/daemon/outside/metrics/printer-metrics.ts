import { Counter, Gauge, type Registry } from 'prom-client';
import type { LayerState } from '../../../model/layers.js';
import type { PrinterDocument } from '../../../model/printer.js';
import type { Latest } from '../../latest.js';
import { labelOf } from './labels.js';

/** One printer, as the metrics need it. */
export interface MeteredPrinter {
  readonly name: string;
  readonly address: string;
  /** Null: not known. */
  readonly silent: boolean | null;
  /** Milliseconds since 1970; null: never. */
  readonly lastAnswerAt: number | null;
  readonly latest: Latest | undefined;
}

/** How many time series one agent may make: a site's printers, and of each its supplies and trays. */
export const MOST_PRINTERS = 1_000;
const MOST_PARTS = 32;

/** A layer's state as a number: what is worse is higher, so that `max` and `>=` mean something. */
const STATE_NUMBERS: Readonly<Record<LayerState, number>> = {
  'not-reached': -2,
  unknown: -1,
  clear: 0,
  warning: 1,
  fault: 2,
};

/** What is told of each printer. Filled anew for each scrape, so that one that is gone leaves nothing behind. */
export class PrinterMetrics {
  private readonly info: Gauge;
  private readonly silent: Gauge;
  private readonly layer: Gauge;
  private readonly answered: Gauge;
  private readonly pages: Counter;
  private readonly supply: Gauge;
  private readonly tray: Gauge;
  private readonly watched: Gauge;
  private readonly leftOut: Gauge;

  constructor(registry: Registry) {
    const gauge = (name: string, help: string, labelNames: readonly string[]) =>
      new Gauge({ name: `outfeed_${name}`, help, labelNames: [...labelNames], registers: [registry] });
    this.watched = gauge('printers', 'Printers that the agent watches.', []);
    this.leftOut = gauge(
      'metrics_left_out',
      'Printers, supplies and trays that are not told, because there are too many.',
      ['what'],
    );
    this.info = gauge('printer_info', 'What a printer says it is; always 1.', [
      'printer',
      'address',
      'model',
      'serial',
    ]);
    this.silent = gauge(
      'printer_silent',
      '1 while it gives no output, 0 while it can print; absent while that is not known.',
      ['printer'],
    );
    this.layer = gauge(
      'printer_layer_state',
      'State of each layer: -2 not reached, -1 unknown, 0 clear, 1 warning, 2 fault.',
      ['printer', 'layer'],
    );
    this.answered = gauge(
      'printer_last_answer_timestamp_seconds',
      'When anything at its address last answered, seconds since 1970.',
      ['printer'],
    );
    this.pages = new Counter({
      name: 'outfeed_printer_pages_total',
      help: 'Pages in its life, by its own counter (prtMarkerLifeCount).',
      labelNames: ['printer'],
      registers: [registry],
    });
    this.supply = gauge(
      'printer_supply_level_ratio',
      'What remains of a supply, 0 to 1; of a waste container the space that remains. Absent where it is not measured.',
      ['printer', 'index', 'supply', 'type', 'colour'],
    );
    this.tray = gauge('printer_tray_level_ratio', 'What remains in a tray, 0 to 1. Absent where it is not measured.', [
      'printer',
      'index',
      'tray',
    ]);
  }

  fill(printers: readonly MeteredPrinter[]): void {
    const perPrinter = [
      this.info,
      this.silent,
      this.layer,
      this.answered,
      this.pages,
      this.supply,
      this.tray,
      this.leftOut,
    ];
    for (const metric of perPrinter) metric.reset();
    this.watched.set(printers.length);
    this.leftOut.set({ what: 'printers' }, Math.max(0, printers.length - MOST_PRINTERS));
    for (const what of ['supplies', 'trays']) this.leftOut.set({ what }, 0);
    for (const printer of printers.slice(0, MOST_PRINTERS)) this.fillOne(printer);
  }

  private fillOne({ name, address, silent, lastAnswerAt, latest }: MeteredPrinter): void {
    const printer = labelOf(name);
    const identity = latest?.document?.identity;
    this.info.set(
      { printer, address: labelOf(address), model: labelOf(identity?.model), serial: labelOf(identity?.serial) },
      1,
    );
    if (silent !== null) this.silent.set({ printer }, silent ? 1 : 0);
    if (lastAnswerAt !== null) this.answered.set({ printer }, lastAnswerAt / 1_000);
    for (const { layer, state } of latest?.why.layers ?? []) this.layer.set({ printer, layer }, STATE_NUMBERS[state]);
    if (latest?.document != null) this.fillParts(printer, latest.document);
  }

  private fillParts(printer: string, { counters, supplies, trays }: PrinterDocument): void {
    if (isCount(counters.lifePages)) this.pages.inc({ printer }, counters.lifePages);
    for (const { index, name, type, colour, percent } of supplies.slice(0, MOST_PARTS)) {
      if (percent === null) continue;
      const labels = {
        printer,
        index: String(index),
        supply: labelOf(name),
        type: labelOf(type),
        colour: labelOf(colour),
      };
      this.supply.set(labels, percent / 100);
    }
    for (const { index, name, percent } of trays.slice(0, MOST_PARTS)) {
      if (percent !== null) this.tray.set({ printer, index: String(index), tray: labelOf(name) }, percent / 100);
    }
    this.leftOut.inc({ what: 'supplies' }, Math.max(0, supplies.length - MOST_PARTS));
    this.leftOut.inc({ what: 'trays' }, Math.max(0, trays.length - MOST_PARTS));
  }
}

function isCount(value: number | null): value is number {
  return value !== null && Number.isFinite(value) && value >= 0;
}

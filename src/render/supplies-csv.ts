import type { SuppliesDocument } from '../model/supplies.js';
import { forCsv } from './escape.js';

type Cell = string | number | boolean | null;

const COLUMNS = [
  'kind',
  'printer',
  'index',
  'supply',
  'type',
  'colour',
  'percent',
  'state',
  'enough',
  'per_day',
  'days_left',
  'days_left_low',
  'days_left_high',
  'empty_at',
  'empty_at_low',
  'empty_at_high',
  'pages_left',
  'cost_per_page',
  'quantity',
  'order_by',
  'because',
];

/**
 * Forecasts and orders in one table: `kind` is `forecast` or `order`; an order's printers stand in one cell with spaces
 * between. One header line, then one line each. CSV as in RFC 4180, CRLF line ends.
 */
export function suppliesCsv({ forecasts, orders }: SuppliesDocument): string {
  const rows: Cell[][] = [
    COLUMNS,
    ...forecasts.map((forecast) => {
      const { supply, daysLeft, emptyAt, pagesLeft } = forecast;
      return [
        'forecast',
        forecast.printer,
        supply.index,
        supply.name,
        supply.type,
        supply.colour,
        forecast.percent,
        forecast.state,
        forecast.enough,
        forecast.perDay?.median ?? null,
        daysLeft?.median ?? null,
        daysLeft?.low ?? null,
        daysLeft?.high ?? null,
        emptyAt?.median ?? null,
        emptyAt?.low ?? null,
        emptyAt?.high ?? null,
        pagesLeft?.median ?? null,
        forecast.yield?.costPerPage ?? null,
        null,
        null,
        forecast.because,
      ];
    }),
    ...orders.map(({ what, fits, quantity, orderBy, because }) => {
      const between: Cell[] = Array.from({ length: 14 }, () => null);
      return ['order', fits.join(' '), null, what, ...between, quantity, orderBy, because];
    }),
  ];
  return rows.map((row) => `${row.map((cell) => forCsv(cell)).join(',')}\r\n`).join('');
}

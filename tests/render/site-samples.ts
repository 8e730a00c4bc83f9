import type { Alert, PrinterDocument, Supply, Tray } from '../../src/model/printer.js';
import type { Incident, PrinterPast, SinceVisit, SnapshotDocument } from '../../src/model/snapshot.js';
import type { Forecast } from '../../src/model/supplies.js';
import { buildSnapshot, type SnapshotInput } from '../../src/snapshot/snapshot.js';
import { HOSTILE, hostileWhy, sampleWhy, unsureWhy, wellWhy } from './why-samples.js';

const AT = '2026-01-31T09:00:00.000Z';

function supply(index: number, name: string, percent: number | null, over: Partial<Supply> = {}): Supply {
  return {
    index,
    name,
    type: 'toner',
    class: 'supplyThatIsConsumed',
    colour: 'black',
    unit: 'impressions',
    level: percent === null ? -3 : percent * 60,
    capacity: percent === null ? -2 : 6000,
    percent,
    meaning: percent === null ? 'some-left' : 'measured',
    state: 'ok',
    ...over,
  };
}

function tray(index: number, level: number): Tray {
  return {
    index,
    name: `Tray ${index}`,
    type: 'sheetFeedAutoRemovableTray',
    level,
    capacity: 250,
    unit: 'sheets',
    percent: Math.round(level / 2.5),
    meaning: 'measured',
    media: 'iso_a4_210x297mm',
  };
}

export const EMPTY_ALERT: Alert = {
  source: 'snmp',
  index: 3,
  severity: 'critical',
  group: 'input',
  groupIndex: 2,
  component: 'Tray 2',
  code: 'subunitEmpty',
  codeNumber: 13,
  trainingLevel: 'untrained',
  location: 5,
  description: 'Tray 2 is empty',
  reason: 'media-empty-error',
  raisedAtTicks: 123_456,
};

/** A colour printer with everything a printer may tell. */
export function samplePrinter(over: Partial<PrinterDocument> = {}): PrinterDocument {
  return {
    schema: 'outfeed.printer/1',
    address: '192.0.2.21',
    readAt: AT,
    isPrinter: true,
    isPrinterBecause: 'it has a printer table',
    deviceIndex: 1,
    alsoHere: [],
    identity: {
      name: 'front-desk',
      model: 'Model 21',
      serial: 'SN-0021',
      uuid: null,
      macs: ['02:00:00:00:00:21'],
      location: 'Ground floor, beside the lift',
      contact: 'desk@harbour.example',
      firmware: '4.12.0',
      adminUrl: 'http://192.0.2.21/',
    },
    state: {
      device: 'down',
      printer: 'other',
      errorBits: ['noPaper'],
      ipp: 'stopped',
      reasons: ['media-empty-error'],
      accepting: true,
    },
    alerts: [EMPTY_ALERT],
    supplies: [
      supply(1, 'Black toner cartridge', 70),
      supply(2, 'Cyan toner cartridge', 9, { colour: 'cyan', state: 'low' }),
      supply(3, 'Magenta toner cartridge', 0, { colour: 'magenta', state: 'empty' }),
      supply(4, 'Yellow toner cartridge', null, { colour: 'yellow' }),
      supply(5, 'Waste toner container', 35, { type: 'wasteToner', class: 'receptacleThatIsFilled', colour: null }),
    ],
    trays: [tray(1, 180), tray(2, 0)],
    outputs: [{ index: 1, name: 'Top bin', level: 100, capacity: 150, percent: 67, meaning: 'measured' }],
    covers: [{ index: 1, name: 'Front cover', state: 'coverClosed' }],
    counters: { lifePages: 123_456, powerOnPages: 17 },
    console: ['Load paper', 'Tray 2'],
    languages: ['langPCL', 'langPS'],
    formats: ['application/pdf'],
    memoryBytes: 268_435_456,
    upTimeTicks: 8_640_000,
    from: { supplies: 'snmp' },
    problems: [],
    ...over,
  };
}

/** The same printer, every text in it meant to do harm. */
export function hostilePrinter(): PrinterDocument {
  const base = samplePrinter();
  return {
    ...base,
    identity: {
      ...base.identity,
      serial: HOSTILE,
      name: HOSTILE,
      model: HOSTILE,
      location: HOSTILE,
      firmware: HOSTILE,
      contact: HOSTILE,
    },
    state: { ...base.state, reasons: [HOSTILE, HOSTILE] },
    alerts: [{ ...EMPTY_ALERT, description: HOSTILE, component: HOSTILE, severity: HOSTILE }],
    supplies: base.supplies.map((item) => ({ ...item, name: HOSTILE, unit: HOSTILE })),
    trays: base.trays.map((item) => ({ ...item, name: HOSTILE, media: HOSTILE })),
    outputs: base.outputs.map((item) => ({ ...item, name: HOSTILE })),
    console: [HOSTILE, HOSTILE],
  };
}

const BLACK_LASTS: Forecast = {
  printer: 'front-desk',
  supply: { index: 1, name: 'Black toner cartridge', type: 'toner', colour: 'black' },
  percent: 70,
  state: 'ok',
  enough: true,
  because: 'from 60 days',
  perDay: { median: 0.8, low: 0.6, high: 1.1 },
  daysLeft: { median: 87, low: 63, high: 116 },
  emptyAt: { median: '2026-04-28', low: '2026-04-04', high: '2026-05-27' },
  pagesLeft: { median: 2100, low: 1500, high: 2800 },
  refills: [],
};

/** The newest first: one that goes on, one of hours, one of minutes, one that began before the time that is shown. */
const INCIDENTS: readonly Incident[] = [
  ['2026-01-31T08:10:00.000Z', null],
  ['2026-01-12T08:00:00.000Z', '2026-01-12T13:00:00.000Z'],
  ['2025-12-03T10:00:00.000Z', '2025-12-03T10:20:00.000Z'],
  ['2025-10-30T10:00:00.000Z', '2025-11-05T10:00:00.000Z'],
].map(([startedAt, endedAt], i) => ({
  id: `i${i}`,
  printer: 'front-desk',
  layer: 'media',
  cause: 'media-empty',
  component: i === 0 ? 'Tray 2' : null,
  startedAt: startedAt ?? '',
  endedAt: endedAt ?? null,
  acknowledgedAt: null,
}));

/** A printer that was watched for 60 of 90 days: well but for the times of INCIDENTS, one day not known, 80 pages a working day. */
const PAST: PrinterPast = {
  states: [
    { from: '2025-11-03T00:00:00.000Z', to: '2025-12-01T00:00:00.000Z', state: 'unwatched', cause: null },
    { from: '2025-12-01T00:00:00.000Z', to: '2025-12-03T10:00:00.000Z', state: 'well', cause: null },
    { from: '2025-12-03T10:00:00.000Z', to: '2025-12-03T10:20:00.000Z', state: 'silent', cause: 'media-empty' },
    { from: '2025-12-03T10:20:00.000Z', to: '2025-12-24T10:00:00.000Z', state: 'well', cause: null },
    { from: '2025-12-24T10:00:00.000Z', to: '2025-12-25T10:00:00.000Z', state: 'unclear', cause: 'no-sign-of-life' },
    { from: '2025-12-25T10:00:00.000Z', to: '2026-01-12T08:00:00.000Z', state: 'well', cause: null },
    { from: '2026-01-12T08:00:00.000Z', to: '2026-01-12T13:00:00.000Z', state: 'silent', cause: 'media-empty' },
    { from: '2026-01-12T13:00:00.000Z', to: '2026-01-31T08:10:00.000Z', state: 'well', cause: null },
    { from: '2026-01-31T08:10:00.000Z', to: AT, state: 'silent', cause: 'media-empty' },
  ],
  firstDay: '2025-11-03',
  pages: Array.from({ length: 90 }, (_, day) => (day < 28 ? null : day % 7 > 4 ? 0 : 60 + ((day * 17) % 41))),
};
const SINCE: SinceVisit = { pages: 1640, lifePagesThen: 121_816, faults: 3 };

export const OFFICE: readonly SnapshotInput[] = [
  { why: { ...wellWhy(), target: 'archive' }, printer: samplePrinter({ alerts: [] }) },
  {
    why: sampleWhy(),
    printer: samplePrinter(),
    supplies: [BLACK_LASTS],
    incidents: INCIDENTS,
    past: PAST,
    sinceVisit: SINCE,
  },
  { why: unsureWhy(), printer: null },
  {
    why: { ...wellWhy(), target: 'studio', warnings: [] },
    printer: samplePrinter({ alerts: [], supplies: [], trays: [] }),
  },
  { why: sampleWhy({ target: 'post-room', silent: null }), printer: samplePrinter() },
];

export function sampleSite(inputs: readonly SnapshotInput[] = OFFICE): SnapshotDocument {
  return buildSnapshot(inputs, {
    site: 'Harbour annex',
    madeAt: AT,
    people: { 'front-desk': 12 },
    lastVisit: '2026-01-02T10:00:00.000Z',
  });
}

export function hostileSite(): SnapshotDocument {
  const incidents = INCIDENTS.map((incident) => ({ ...incident, cause: HOSTILE, component: HOSTILE }));
  const hostile: SnapshotInput = {
    why: hostileWhy(),
    printer: hostilePrinter(),
    incidents,
    supplies: [{ ...BLACK_LASTS, printer: HOSTILE, supply: { ...BLACK_LASTS.supply, name: HOSTILE, colour: HOSTILE } }],
    past: { ...PAST, states: PAST.states.map((one) => ({ ...one, cause: HOSTILE })) },
    orderNames: new Map([[1, HOSTILE]]),
  };
  const gone: SnapshotInput = {
    why: { ...hostileWhy(), silent: null },
    printer: null,
    remembered: { model: HOSTILE, serial: HOSTILE, location: HOSTILE },
  };
  return buildSnapshot([...OFFICE, hostile, gone], { site: HOSTILE, madeAt: AT, nextVisit: '2026-06-30' });
}

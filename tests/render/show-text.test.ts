import stringWidth from 'string-width';
import { describe, expect, test } from 'vitest';
import { PRINTER_SCHEMA, type PrinterDocument } from '../../src/model/printer.js';
import { renderShow } from '../../src/render/show-text.js';
import { upTimeWords } from '../../src/render/show-words.js';

const BARE: PrinterDocument = {
  schema: PRINTER_SCHEMA,
  address: '192.0.2.21',
  readAt: '2026-01-31T09:00:00.000Z',
  isPrinter: true,
  isPrinterBecause: 'it has a printer table',
  deviceIndex: 1,
  alsoHere: [],
  identity: {
    name: 'front-desk',
    model: 'Sandpiper 300 mono',
    serial: null,
    uuid: null,
    macs: [],
    location: null,
    contact: null,
    firmware: null,
    adminUrl: null,
  },
  state: { device: null, printer: null, errorBits: [], ipp: null, reasons: [], accepting: null },
  alerts: [],
  supplies: [],
  trays: [],
  outputs: [],
  covers: [],
  counters: { lifePages: null, powerOnPages: null },
  console: [],
  languages: [],
  formats: [],
  memoryBytes: null,
  upTimeTicks: null,
  from: {},
  problems: [],
};

const TONER = {
  index: 1,
  name: 'Black toner',
  type: 'toner',
  class: 'supplyThatIsConsumed',
  colour: 'black',
  unit: 'impressions',
  level: 600,
  capacity: 6000,
  percent: 10,
  meaning: 'measured',
  state: 'low',
} as const;

const ALERT = {
  source: 'snmp',
  index: 1,
  severity: 'warning',
  group: 'marker',
  groupIndex: 1,
  component: 'Black toner',
  code: 'markerTonerAlmostEmpty',
  codeNumber: 1103,
  trainingLevel: 'untrained',
  location: null,
  description: 'Toner is low',
  reason: 'toner-low-warning',
  raisedAtTicks: 1,
} as const;

const plain = (document: Partial<PrinterDocument>, columns = 80): string =>
  renderShow({ ...BARE, ...document }, { color: false, columns });

describe('show as text', () => {
  test('what nobody told is left out', () => {
    expect(plain({})).toBe('front-desk, Sandpiper 300 mono, 192.0.2.21\n');
  });

  test('critical alerts first, each with its part and the standard’s word', () => {
    const jam = {
      ...ALERT,
      severity: 'critical',
      component: 'Tray 2',
      code: 'jam',
      description: 'Paper jam',
      reason: 'media-jam-error',
    };
    const lines = plain({ alerts: [ALERT, jam] }).split('\n');
    expect(lines[1]).toBe('Alerts   X Tray 2: Paper jam (jam, media-jam-error, snmp)');
    expect(lines[2]).toMatch(/^ {9}! Black toner: Toner is low/);
  });

  test('levels: bar, percent and amount; special levels in words; a receptacle by the room in it', () => {
    const waste = {
      ...TONER,
      name: 'Waste box',
      class: 'receptacleThatIsFilled',
      level: 0,
      percent: 0,
      state: 'full',
    } as const;
    const some = { ...TONER, name: 'Drum', level: -3, percent: null, meaning: 'some-left', state: 'ok' } as const;
    const text = plain({ supplies: [TONER, waste, some] });
    expect(text).toContain('Supplies Black toner [#.......] LOW, 10 %, 600/6000 impressions\n');
    expect(text).toContain('         Waste box   [........] FULL, 0 % free\n');
    expect(text).toMatch(/ {9}Drum +some left\n/);
  });

  test('open covers by name, closed ones by number', () => {
    const covers = [
      { index: 1, name: 'Front cover', state: 'coverOpen' },
      { index: 2, name: 'Rear door', state: 'interlockClosed' },
    ];
    expect(plain({ covers })).toContain('Covers   Front cover: coverOpen\n         1 closed\n');
    expect(plain({ covers: covers.slice(1) })).toContain('Covers   closed\n');
  });

  test('a thing that is no printer is said to be none', () => {
    expect(plain({ isPrinter: false, isPrinterBecause: 'no printer table' })).toContain(
      'not a printer: no printer table',
    );
  });

  test('the second printer behind one address says so', () => {
    const text = plain({ deviceIndex: 2, alsoHere: [{ deviceIndex: 1, model: 'Sandpiper C520' }] });
    expect(text).toContain('192.0.2.21#2');
    expect(text).toContain('Beside   #1 Sandpiper C520');
  });

  test('endless lists are cut', () => {
    const text = plain({ alerts: Array.from({ length: 500 }, (_, index) => ({ ...ALERT, index })) });
    expect(text.split('\n').length).toBeLessThan(60);
    expect(text).toContain('and 484 more, see --json');
  });

  test.each([40, 80, 100, 500, 0, Number.NaN])('at %s columns no line is wider than the terminal', (columns) => {
    const long = '漢字の長い名前 with words '.repeat(20);
    const text = plain(
      {
        identity: { ...BARE.identity, name: long, location: long },
        supplies: [{ ...TONER, name: long }],
        alerts: [{ ...ALERT, description: long }],
        console: [long],
        problems: [long],
      },
      columns,
    );
    const widest = Number.isNaN(columns) || columns === 0 ? 80 : Math.min(100, columns);
    for (const line of text.split('\n')) expect(stringWidth(line)).toBeLessThanOrEqual(widest);
  });

  test('no text of a printer acts on the terminal', () => {
    const evil = 'x\u001b[31m\u009b2J\u202e\n\u0007';
    const text = plain({
      identity: {
        ...BARE.identity,
        name: evil,
        model: evil,
        serial: evil,
        location: evil,
        firmware: evil,
        adminUrl: evil,
        macs: [evil],
      },
      state: { ...BARE.state, message: evil, reasons: [evil], errorBits: [evil] },
      alerts: [{ ...ALERT, component: evil, description: evil, code: evil, reason: evil }],
      supplies: [{ ...TONER, name: evil, unit: evil }],
      trays: [{ ...TONER, name: evil, media: evil, unit: evil }],
      outputs: [{ ...TONER, name: evil }],
      covers: [{ index: 1, name: evil, state: evil }],
      alsoHere: [{ deviceIndex: 2, model: evil }],
      console: [evil],
      languages: [evil],
      formats: [evil],
      problems: [evil],
      isPrinter: false,
      isPrinterBecause: evil,
    });
    expect(text).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202e]/);
  });

  test('colour adds nothing but colour', () => {
    const document = { ...BARE, supplies: [TONER], alerts: [ALERT] };
    const coloured = renderShow(document, { color: true, columns: 80 });
    expect(coloured).toContain('\u001b[');
    expect(coloured.replace(/\u001b\[\d+m/g, '')).toBe(plain(document));
  });

  // TimeTicks are hundredths of a second (RFC 2578 section 7.1.8).
  test.each([
    [0, '0 min'],
    [24_000, '4 min'],
    [1_110_000, '3 h 5 min'],
    [87_120_000, '10 d 2 h'],
  ])('%s ticks are %s', (ticks, words) => {
    expect(upTimeWords(ticks)).toBe(words);
  });
});

import { describe, expect, test } from 'vitest';
import { readPrinter } from '../../../src/facts/printer/printer.js';
import type { Evidence } from '../../../src/model/evidence.js';
import {
  ADDRESS,
  ippAnswer,
  printerOid,
  READ_AT,
  read,
  readIpp,
  readTables,
  table,
  tables,
  value,
} from './evidence-samples.js';

const options = { address: ADDRESS, readAt: READ_AT };
const general = { 1: { prtGeneralPrinterName: 'front-desk' } };

describe('what counts as an answer', () => {
  const session: Evidence = {
    ...table('session', {}),
    value: { kind: 'session', port: 161, version: null, label: null, attempts: [], requests: 3, problems: [] },
  };
  const silent: Evidence = { ...table('prtAlertTable', {}), outcome: 'silent', value: null };
  const denied: Evidence = { ...ippAnswer({}), outcome: 'denied' };
  const notFound: Evidence = ippAnswer({ 'attributes-charset': 'utf-8' });
  const spooler: Evidence = { ...ippAnswer({ 'printer-state': 3 }), source: 'spooler' };
  const fellow: Evidence = { ...table('system', { 0: { sysName: 'other' } }), about: 'fellow' };

  test.each<[string, Evidence[]]>([
    ['nothing', []],
    ['a session that found no agent', [session]],
    ['silence and a refusal', [silent, denied]],
    ['an IPP answer without a printer attribute', [notFound]],
    ['a queue', [spooler]],
    ['somebody else’s agent', [fellow]],
  ])('%s: undefined', (_, evidence) => {
    expect(readPrinter(evidence, options)).toBeUndefined();
  });

  test('one table, or one IPP answer, is enough', () => {
    expect(readPrinter([table('prtAlertTable', {})], options)?.document.isPrinter).toBe(false);
    expect(readPrinter([ippAnswer({ 'printer-state': value('enum', 3) })], options)?.document.isPrinter).toBe(true);
  });

  test('the head of the document, and problems of the codecs passed on once', () => {
    const ipp = ippAnswer({ 'printer-state': value('enum', 3) });
    const bad = { ...ipp, value: { ...ipp.value, problems: ['an attribute came twice'] } } as Evidence;
    const cut = {
      ...table('prtAlertTable', {}),
      value: { kind: 'table', rows: {}, cut: true, problems: ['x', 'x'] },
    } as Evidence;
    const { document } = read([bad, cut]);
    expect(document).toMatchObject({ schema: 'outfeed.printer/1', address: ADDRESS, readAt: READ_AT });
    expect(document.problems).toEqual([
      'an attribute came twice',
      'x',
      'prtAlertTable was not read to its end; what came is used.',
    ]);
  });
});

describe('is it a printer', () => {
  test.each<[string, Parameters<typeof readTables>[0], boolean, RegExp]>([
    [
      'both MIBs',
      { hrDeviceTable: { 1: { hrDeviceType: printerOid } }, prtGeneralTable: general },
      true,
      /lists device 1/,
    ],
    ['no host-resources rows', { prtGeneralTable: general }, true, /Printer-MIB rows for device 1/],
    ['no general row, but marker rows', { prtMarkerTable: { '2.1': { prtMarkerLifeCount: 5 } } }, true, /device 2/],
    [
      'hrDeviceType missing',
      { hrDeviceTable: { 1: { hrDeviceStatus: 2 } }, prtGeneralTable: general },
      true,
      /device 1/,
    ],
    [
      'a file server with an imagined printer row',
      {
        system: { 0: { sysDescr: 'File server' } },
        hrDeviceTable: { 1536: { hrDeviceType: printerOid, hrDeviceDescr: 'lp0' } },
      },
      false,
      /attached or only set up/,
    ],
    ['a computer with an hrPrinterTable row', { hrPrinterTable: { 5: { hrPrinterStatus: 3 } } }, false, /attached/],
    ['a switch', { system: { 0: { sysDescr: 'Switch' } }, ifTable: { 1: { ifType: 6 } } }, false, /lists no printer/],
  ])('%s', (_, all, isPrinter, because) => {
    const document = readTables(all);
    expect(document.isPrinter).toBe(isPrinter);
    expect(document.isPrinterBecause).toMatch(because);
  });

  test('a computer that answers IPP as a printer is one', () => {
    const { document } = read([...tables({ system: { 0: { sysName: 'pc' } } }), ippAnswer({ 'printer-name': 'q' })]);
    expect(document).toMatchObject({
      isPrinter: true,
      isPrinterBecause: 'It answers IPP Get-Printer-Attributes as a printer.',
    });
  });
});

describe('several printers behind one agent', () => {
  const three = {
    hrDeviceTable: {
      2: { hrDeviceType: printerOid, hrDeviceDescr: 'Left', hrDeviceStatus: 2 },
      3: { hrDeviceType: printerOid, hrDeviceDescr: 'Right', hrDeviceStatus: 5 },
      257: { hrDeviceType: printerOid, hrDeviceDescr: 'Label' },
      4: { hrDeviceType: { oid: '1.3.6.1.2.1.25.3.1.4' }, hrDeviceDescr: 'Network card' },
    },
    hrPrinterTable: { 2: { hrPrinterStatus: 3 }, 3: { hrPrinterStatus: 1 } },
    prtGeneralTable: { 2: { prtGeneralSerialNumber: 'L' }, 3: { prtGeneralSerialNumber: 'R' }, 257: {} },
    prtInputTable: {
      '2.1': { prtInputName: 'left tray' },
      '3.1': { prtInputName: 'right tray' },
      '257.1': { prtInputName: 'roll' },
    },
  };

  test('the first is taken, the others are named', () => {
    const document = readTables(three);
    expect(document.deviceIndex).toBe(2);
    expect(document.trays[0]?.name).toBe('left tray');
    expect(document.alsoHere).toEqual([
      { deviceIndex: 3, model: 'Right' },
      { deviceIndex: 257, model: 'Label' },
    ]);
  });

  test('another one by its index', () => {
    const document = readTables(three, 3);
    expect(document).toMatchObject({ deviceIndex: 3, state: { device: 'down', printer: 'other' } });
    expect(document.identity).toMatchObject({ model: 'Right', serial: 'R' });
    expect(document.alsoHere.map(({ deviceIndex }) => deviceIndex)).toEqual([2, 257]);
  });

  test('one that is not there', () => {
    const document = readTables(three, 9);
    expect(document).toMatchObject({ deviceIndex: 9, isPrinter: false, trays: [] });
    expect(document.problems).toContain(
      'Device 9 was asked for, but has no Printer-MIB rows; devices that have: 2, 3, 257.',
    );
  });

  test('an IPP answer is joined with the device that it agrees with', () => {
    const answer = ippAnswer({ 'printer-state': value('enum', 5), 'printer-serial-number': 'R' });
    expect(read([...tables(three), answer], 3).document.state.ipp).toBe('stopped');
    const left = read([...tables(three), answer], 2).document;
    expect(left.state.ipp).toBeNull();
    expect(left.problems).toContain('The IPP answer at this address is not of device 2; it is left out.');
  });

  test('an IPP answer that names nobody belongs to the first', () => {
    const answer = ippAnswer({ 'printer-state': value('enum', 4) });
    expect(read([...tables(three), answer], 2).document.state.ipp).toBe('processing');
    expect(read([...tables(three), answer], 3).document.state.ipp).toBeNull();
  });

  test('one printer whose two MIBs count apart', () => {
    const document = readTables({ hrPrinterTable: { 7: { hrPrinterStatus: 4 } }, prtGeneralTable: general });
    expect(document.state.printer).toBe('printing');
    expect(document.problems).toEqual([
      'HOST-RESOURCES-MIB has the printer as device 7, Printer-MIB as device 1; read as one printer.',
    ]);
  });
});

describe('counters', () => {
  const markers = {
    '1.1': { prtMarkerCounterUnit: 7, prtMarkerLifeCount: 100, prtMarkerPowerOnCount: 1 },
    '1.2': { prtMarkerCounterUnit: 8, prtMarkerLifeCount: 900, prtMarkerPowerOnCount: 9 },
  };
  test('two markers: the default one counts', () => {
    const marked = (prtMarkerDefaultIndex: number) =>
      readTables({ prtGeneralTable: { 1: { prtMarkerDefaultIndex } }, prtMarkerTable: markers }).counters;
    expect(marked(2)).toEqual({ lifePages: 900, powerOnPages: 9 });
    expect(marked(1)).toEqual({ lifePages: 100, powerOnPages: 1 });
    expect(marked(5)).toEqual({ lifePages: 100, powerOnPages: 1 });
  });

  test.each([
    [16, 'feet'],
    [17, 'meters'],
    [11, 'hours'],
  ])('unit %s (%s) is no page count', (unit, name) => {
    const document = readTables({
      prtGeneralTable: general,
      prtMarkerTable: { '1.1': { prtMarkerCounterUnit: unit, prtMarkerLifeCount: 12 } },
    });
    expect(document.counters.lifePages).toBeNull();
    expect(document.problems[0]).toContain(`counts ${name}`);
  });

  test('negative, absent, and from IPP', () => {
    const { counters, problems } = readTables({
      prtGeneralTable: general,
      prtMarkerTable: { '1.1': { prtMarkerLifeCount: -5 } },
    });
    expect(counters).toEqual({ lifePages: null, powerOnPages: null });
    expect(problems[0]).toContain("can't be negative");
    expect(readIpp({ 'printer-impressions-completed': 77 })).toMatchObject({
      counters: { lifePages: 77 },
      from: { lifePages: 'ipp' },
    });
  });
});

describe('memory, languages, up-time', () => {
  const ram = { oid: '1.3.6.1.2.1.25.2.1.2' };
  test('memory: the printer’s own RAM rows, hrMemorySize, any RAM row', () => {
    const storage = {
      1: { hrStorageType: ram, hrStorageAllocationUnits: 1024, hrStorageSize: 262_144 },
      2: { hrStorageType: ram, hrStorageAllocationUnits: 1, hrStorageSize: 9 },
      3: { hrStorageType: { oid: '1.3.6.1.2.1.25.2.1.4' }, hrStorageAllocationUnits: 4096, hrStorageSize: 1_000_000 },
    };
    const referred = { '1.1': { prtStorageRefIndex: 1 }, '2.1': { prtStorageRefIndex: 2 } };
    const size = { hrSystem: { 0: { hrMemorySize: 512 } } };
    const memory = (more: Parameters<typeof readTables>[0]) =>
      readTables({ prtGeneralTable: general, ...more }).memoryBytes;
    expect(memory({ ...size, hrStorageTable: storage, prtStorageRefTable: referred })).toBe(268_435_456);
    expect(memory({ ...size, hrStorageTable: storage })).toBe(524_288);
    expect(memory({ hrStorageTable: storage })).toBe(268_435_465);
    expect(memory({})).toBeNull();
  });

  test('languages by name, each once', () => {
    const rows = {
      '1.1': { prtInterpreterLangFamily: 3 },
      '1.2': { prtInterpreterLangFamily: 6 },
      '1.3': { prtInterpreterLangFamily: 3 },
    };
    expect(readTables({ prtGeneralTable: general, prtInterpreterTable: rows }).languages).toEqual([
      'langPCL',
      'langPS',
    ]);
  });

  test('hrSystemUptime before sysUpTime; printer-up-time in seconds, unless it is a date', () => {
    expect(readTables({ system: { 0: { sysUpTime: 7 } }, hrSystem: { 0: { hrSystemUptime: 9 } } }).upTimeTicks).toBe(9);
    expect(readIpp({ 'printer-up-time': 60 }).upTimeTicks).toBe(6000);
    const dated = readIpp({ 'printer-up-time': 1_769_850_000 });
    expect(dated.upTimeTicks).toBeNull();
    expect(dated.problems[0]).toContain('is a date');
  });
});

describe('evidence behind each topic', () => {
  test('ids by topic, empty tables among them', () => {
    const { evidence } = read([
      ...tables({
        system: { 0: { sysName: 'x' } },
        prtGeneralTable: general,
        prtAlertTable: {},
        hrPrinterTable: { 1: { hrPrinterStatus: 3 } },
      }),
      ippAnswer({ 'printer-state': value('enum', 3), 'marker-levels': 5 }),
    ]);
    expect(evidence).toMatchObject({
      state: ['hrPrinterTable', 'ipp'],
      alerts: ['prtAlertTable'],
      supplies: ['ipp'],
      trays: [],
      identity: ['system', 'prtGeneralTable'],
    });
  });
});

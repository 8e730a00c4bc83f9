import { describe, expect, test } from 'vitest';
import type { DeviceReading } from '../../src/defects/device-reading.js';
import { findSigns, sentenceOf, weightOf } from '../../src/defects/signs.js';
import type { Alert, PrinterDocument, Supply } from '../../src/model/printer.js';
import { SIGNS } from '../../src/registry/trade.generated.js';
import { samplePrinter } from '../render/site-samples.js';
import { asked } from './asked.js';

const supply = (type: string, percent: number | null, more: Partial<Supply> = {}): Supply => ({
  index: 1,
  name: type,
  type,
  class: 'supplyThatIsConsumed',
  colour: 'black',
  unit: 'percent',
  level: percent,
  capacity: 100,
  percent,
  meaning: percent === null ? 'unknown' : 'measured',
  state: percent === null ? 'unknown' : 'ok',
  ...more,
});
const alert = (code: string, group: string, more: Partial<Alert> = {}): Alert => ({
  source: 'snmp',
  index: 1,
  severity: 'warning',
  group,
  groupIndex: 1,
  component: 'Tray 2',
  code,
  codeNumber: null,
  trainingLevel: null,
  location: null,
  description: null,
  reason: null,
  raisedAtTicks: null,
  ...more,
});

function device(more: Partial<PrinterDocument>, reading: Partial<DeviceReading> = {}): DeviceReading {
  const printer: PrinterDocument = {
    ...samplePrinter(),
    supplies: [],
    alerts: [],
    trays: [],
    memoryBytes: null,
    ...more,
  };
  const quiet = { ...printer, state: { ...printer.state, reasons: more.state?.reasons ?? [] } };
  return { printer: quiet, technology: 'laser', trayTypes: [], pageBytes: undefined, ...reading };
}

const signsOf = (more: Partial<PrinterDocument>, reading: Partial<DeviceReading> = {}) =>
  findSigns(device(more, reading), {}).map(({ when }) => when);

describe('what the printer tells', () => {
  // Limits: common practice, no published source.
  test.each([
    ['toner-low', supply('tonerCartridge', 4)],
    ['toner-low', supply('toner', null, { state: 'empty' })],
    ['toner-ample', supply('tonerCartridge', 70)],
    ['ink-low', supply('inkCartridge', 3)],
    ['ink-ample', supply('ink', 55)],
    ['drum-near-end', supply('opc', 6)],
    ['drum-fresh', supply('opc', 80)],
    ['developer-near-end', supply('developer', 5)],
    ['fuser-near-end', supply('fuser', 2)],
    ['fuser-fresh', supply('fuser', 90)],
    ['transfer-near-end', supply('transferUnit', 9)],
    ['transfer-fresh', supply('transferUnit', 60)],
    ['cleaner-near-end', supply('cleanerUnit', 1)],
    ['waste-full', supply('wasteToner', 0, { class: 'receptacleThatIsFilled', state: 'full' })],
    ['waste-full', supply('wasteToner', null, { class: 'receptacleThatIsFilled', state: 'low' })],
    ['ribbon-low', supply('inkRibbon', null, { state: 'low' })],
  ])('%s', (when, one) => {
    expect(signsOf({ supplies: [one] })).toEqual([when]);
  });

  test('between low and ample a level says nothing, nor does one that is not measured', () => {
    expect(signsOf({ supplies: [supply('tonerCartridge', 20), supply('opc', 30), supply('fuser', null)] })).toEqual([]);
  });

  // PrtAlertCodeTC and PrtAlertGroupTC labels: IANA-PRINTER-MIB.
  test.each([
    ['fuser-alert', alert('markerFuserUnderTemperature', 'marker')],
    ['pickup-alert', alert('inputMediaTrayPickRollerLifeOver', 'input')],
    ['pickup-alert', alert('inputMediaTrayFeedError', 'input')],
    ['tray-alert', alert('inputTrayElevationFailure', 'input')],
    ['media-alert', alert('mediaPathCannotDuplexMediaSelected', 'mediaPath')],
    ['media-alert', alert('inputMediaWeightChange', 'input')],
    ['memory-alert', alert('interpreterComplexPageEncountered', 'interpreter')],
    ['adjusting', alert('markerAdjustingPrintQuality', 'marker')],
    ['output-full', alert('outputMediaTrayFull', 'output')],
    ['jam-input', alert('jam', 'input')],
    ['jam-input', alert('inputMediaTrayJam', 'input')],
    ['jam-output', alert('jam', 'output')],
    ['jam-path', alert('mediaPathJam', 'mediaPath')],
  ])('%s by alert', (when, one) => {
    expect(signsOf({ alerts: [one] })).toEqual([when]);
  });

  test('a reason of IPP stands in where no alert tells', () => {
    const { state } = samplePrinter();
    expect(signsOf({ state: { ...state, reasons: ['media-jam-error'] } })).toEqual(['jam-path']);
    expect(signsOf({ state: { ...state, reasons: ['media-jam-error'] }, alerts: [alert('jam', 'input')] })).toEqual([
      'jam-input',
    ]);
  });

  test('memory beside what one page takes', () => {
    // A4 at 600 dots an inch, four colours of one bit: 621 × 7016 × 4 octets, by hand.
    const pageBytes = 621 * 7016 * 4;
    expect(signsOf({ memoryBytes: 32e6 }, { pageBytes })).toEqual(['memory-small']);
    expect(signsOf({ memoryBytes: 64e6 }, { pageBytes })).toEqual([]);
    expect(signsOf({ memoryBytes: 512e6 }, { pageBytes })).toEqual(['memory-ample']);
  });

  test('the tray’s media type against what is told to be loaded', () => {
    const trayTypes = [{ tray: 'Tray 1', type: 'stationery' }];
    const [first] = findSigns(device({}, { trayTypes }), { gsm: 160 });
    expect(first && sentenceOf(first)).toBe('Tray 1 is set to plain paper and 160 g/m² is told to be loaded');
    expect(findSigns(device({}, { trayTypes: [{ tray: 'Bypass', type: 'cardstock' }] }), {})[0]).toMatchObject({
      when: 'tray-set-heavy',
      part: 'Bypass',
    });
  });

  test('paper, grain and humidity that are told', () => {
    const told = findSigns(undefined, { gsm: 52, grain: 'across', humidity: 70 }).map(({ when }) => when);
    expect(told).toEqual(['told-thin', 'told-cross-grain', 'told-damp']);
    expect(findSigns(undefined, { humidity: 20 }).map(({ when }) => when)).toEqual(['told-dry']);
    expect(findSigns(undefined, { humidity: 50 })).toEqual([]);
  });
});

test('every sign of the table is one that can be found', () => {
  const seen = new Set<string>();
  const all = [
    ...[
      'tonerCartridge',
      'inkCartridge',
      'opc',
      'developer',
      'fuser',
      'transferUnit',
      'cleanerUnit',
      'wasteToner',
      'inkRibbon',
    ].flatMap((type) => [
      device({ supplies: [supply(type, 1, { state: 'low' })] }),
      device({ supplies: [supply(type, 90)] }),
    ]),
    ...[
      'markerFuserOverTemperature',
      'inputMediaTrayFeedError',
      'inputTrayPositionFailure',
      'inputMediaTypeChange',
      'markerMemoryExhausted',
      'markerAdjustingPrintQuality',
    ].map((code) => device({ alerts: [alert(code, 'marker')] })),
    ...['input', 'output', 'mediaPath'].map((group) => device({ alerts: [alert('jam', group)] })),
    device({ alerts: [alert('outputMediaTrayFull', 'output')] }),
    device({ memoryBytes: 1e6 }, { pageBytes: 4e6 }),
    device({ memoryBytes: 1e9 }, { pageBytes: 4e6 }),
    device({}, { trayTypes: [{ tray: 'Tray 1', type: 'cardstock' }] }),
    device({}, { trayTypes: [{ tray: 'Tray 1', type: 'stationery' }] }),
  ];
  for (const one of all) for (const { when } of findSigns(one, {})) seen.add(when);
  for (const gsm of [50, 80, 200])
    for (const { when } of findSigns(device({}, { trayTypes: [{ tray: 'a', type: 'plain' }] }), { gsm }))
      seen.add(when);
  const before = ['Tray 2', 'Output bin', null].flatMap((component) => [
    { cause: 'media-jam', component },
    { cause: 'media-needed', component },
  ]);
  for (const { when } of findSigns(undefined, {}, [...before, ...before])) seen.add(when);
  for (const humidity of [10, 90])
    for (const { when } of findSigns(undefined, { humidity, grain: 'across' })) seen.add(when);
  expect(SIGNS.map(({ when }) => when).filter((when) => !seen.has(when))).toEqual([]);
});

describe('signs shift the ranking, by what they say', () => {
  const odds = (words: readonly string[], reading?: DeviceReading, told = {}) => {
    const { ranked } = asked(words, 'laser', { ...(reading === undefined ? {} : { device: reading }), told });
    return (cause: string) => ranked.find((one) => one.cause === cause)?.probability ?? 0;
  };

  test.each([
    [['streak'], 'drum-worn', { supplies: [supply('opc', 3)] }],
    [['faded'], 'toner-low', { supplies: [supply('tonerCartridge', 2)] }],
    [['smudge'], 'fuser-cold', { alerts: [alert('markerFuserUnderTemperature', 'marker')] }],
    [['no-feed'], 'pickup-worn', { alerts: [alert('inputMediaTrayPickRollerLifeWarn', 'input')] }],
    [['partial-page'], 'memory-short', { alerts: [alert('interpreterComplexPageEncountered', 'interpreter')] }],
  ] as const)('%s: %s gains', (words, cause, more) => {
    expect(odds(words, device(more))(cause)).toBeGreaterThan(odds(words)(cause));
  });

  test('by hand: a factor multiplies the odds of two causes', () => {
    // signs.yaml: drum-near-end, drum-worn × 4; optics are not in a streak, scanner-glass has no factor.
    const before = odds(['streak']);
    const after = odds(['streak'], device({ supplies: [supply('opc', 3)] }));
    const ratio = (o: (cause: string) => number) => o('drum-worn') / o('fuser-roller');
    expect(ratio(after) / ratio(before)).toBeCloseTo(4, 0);
  });

  test('a drum with much life left speaks against it, an empty toner does not blame the drum', () => {
    expect(odds(['streak'], device({ supplies: [supply('opc', 90)] }))('drum-worn')).toBeLessThan(
      odds(['streak'])('drum-worn'),
    );
  });

  test('"jam" becomes the place that the printer reports', () => {
    const atTray = odds(['jam'], device({ alerts: [alert('jam', 'input')] }));
    expect(atTray('pickup-worn')).toBeGreaterThan(2 * odds(['jam'])('pickup-worn'));
    expect(atTray('fuser-uneven')).toBe(0);
  });

  test('thin paper that is told blames the paper for creases, heavy paper for jams on the second side', () => {
    expect(asked(['crease'], 'laser', { told: { gsm: 52 } }).ranked[0]?.cause).toBe('paper-thin');
    expect(asked(['jam-in-duplex'], 'laser', { told: { gsm: 200 } }).ranked[0]?.cause).toBe('paper-heavy');
    expect(asked(['multi-feed'], 'laser', { told: { humidity: 20 } }).ranked[0]?.cause).toBe('paper-clings');
  });

  test('reasons say how much a sign weighs', () => {
    const doc = asked(['streak'], 'laser', { device: device({ supplies: [supply('opc', 3, { name: 'Drum <b>' })] }) });
    expect(doc.ranked[0]?.because.join()).toContain('3 % of life left in Drum <b> (4 times likelier)');
    expect(weightOf({ when: 'drum-fresh' }, 'drum-worn')).toBe('2 times less likely');
    expect(weightOf({ when: 'drum-fresh' }, 'tray-guides')).toBeUndefined();
  });
});

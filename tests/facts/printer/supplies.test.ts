import { describe, expect, test } from 'vitest';
import { colourOfRgb, colourWord } from '../../../src/facts/printer/colours.js';
import { octets, readIpp, readTables, value } from './evidence-samples.js';

const general = { 1: { prtGeneralPrinterName: 'front-desk' } };

function supply(row: Readonly<Record<string, number | string>>, alert?: Readonly<Record<string, number>>) {
  const document = readTables({
    prtGeneralTable: general,
    prtMarkerSuppliesTable: {
      '1.4': {
        prtMarkerSuppliesDescription: 'Black Toner',
        prtMarkerSuppliesType: 3,
        prtMarkerSuppliesClass: 3,
        prtMarkerSuppliesMaxCapacity: 100,
        ...row,
      },
    },
    prtAlertTable: alert === undefined ? {} : { '1.1': { prtAlertGroup: 11, prtAlertGroupIndex: 4, ...alert } },
  });
  return { supply: document.supplies[0], problems: document.problems };
}

describe('supplies over SNMP', () => {
  test('units, classes and types are spelt as in RFC 3805', () => {
    expect(supply({ prtMarkerSuppliesLevel: 41, prtMarkerSuppliesSupplyUnit: 19 }).supply).toEqual({
      index: 4,
      name: 'Black Toner',
      type: 'toner',
      class: 'supplyThatIsConsumed',
      colour: 'black',
      unit: 'percent',
      level: 41,
      capacity: 100,
      percent: 41,
      meaning: 'measured',
      state: 'ok',
    });
  });

  const waste = { prtMarkerSuppliesClass: 4, prtMarkerSuppliesType: 4 };
  test.each<[string, Readonly<Record<string, number>>, Readonly<Record<string, number>> | undefined, string]>([
    ['at 11 percent', { prtMarkerSuppliesLevel: 11 }, undefined, 'ok'],
    ['at 10 percent (common practice, no published source)', { prtMarkerSuppliesLevel: 10 }, undefined, 'low'],
    ['at 0', { prtMarkerSuppliesLevel: 0 }, undefined, 'empty'],
    ['some left', { prtMarkerSuppliesLevel: -3 }, undefined, 'ok'],
    ['no limit', { prtMarkerSuppliesLevel: -1 }, undefined, 'ok'],
    ['unknown', { prtMarkerSuppliesLevel: -2 }, undefined, 'unknown'],
    ['not said', {}, undefined, 'unknown'],
    ['some left, alert almost empty', { prtMarkerSuppliesLevel: -3 }, { prtAlertCode: 1104 }, 'low'],
    ['some left, generic alert almost empty', { prtMarkerSuppliesLevel: -3 }, { prtAlertCode: 12 }, 'low'],
    ['unknown, alert empty', { prtMarkerSuppliesLevel: -2 }, { prtAlertCode: 1101 }, 'empty'],
    ['generic alert empty', { prtMarkerSuppliesLevel: -3 }, { prtAlertCode: 13 }, 'empty'],
    [
      'drum at the end of its life',
      { prtMarkerSuppliesLevel: -3, prtMarkerSuppliesType: 9 },
      { prtAlertCode: 1112 },
      'empty',
    ],
    ['alert on another supply', { prtMarkerSuppliesLevel: 50 }, { prtAlertCode: 1101, prtAlertGroupIndex: 3 }, 'ok'],
    ['alert of another group', { prtMarkerSuppliesLevel: 50 }, { prtAlertCode: 13, prtAlertGroup: 8 }, 'ok'],
    ['waste with room', { ...waste, prtMarkerSuppliesLevel: 60 }, undefined, 'ok'],
    ['waste with little room', { ...waste, prtMarkerSuppliesLevel: 5 }, undefined, 'low'],
    ['waste without room', { ...waste, prtMarkerSuppliesLevel: 0 }, undefined, 'full'],
    ['waste of class other(1)', { ...waste, prtMarkerSuppliesClass: 1, prtMarkerSuppliesLevel: 0 }, undefined, 'full'],
    ['waste, alert full', { ...waste, prtMarkerSuppliesLevel: -3 }, { prtAlertCode: 1109 }, 'full'],
    ['waste, alert almost full', { ...waste, prtMarkerSuppliesLevel: -3 }, { prtAlertCode: 1107 }, 'low'],
  ])('%s', (_, row, alert, state) => {
    expect(supply(row, alert).supply?.state).toBe(state);
  });

  test('level 0 while the device idles without a complaint is read as it is said, as no contradiction', () => {
    const { problems } = readTables({
      hrDeviceTable: { 1: { hrDeviceStatus: 2 } },
      hrPrinterTable: { 1: { hrPrinterStatus: 3, hrPrinterDetectedErrorState: { hex: '00' } } },
      prtGeneralTable: general,
      prtMarkerSuppliesTable: { '1.1': { prtMarkerSuppliesLevel: 0, prtMarkerSuppliesMaxCapacity: 100 } },
      prtAlertTable: {},
    });
    expect(problems).toEqual([]);
  });

  test('colour: colorant, else the word in the description, else none', () => {
    const { supplies } = readTables({
      prtGeneralTable: general,
      prtMarkerColorantTable: {
        '1.1': { prtMarkerColorantValue: 'Cyan' },
        '1.2': { prtMarkerColorantValue: 'unknown' },
      },
      prtMarkerSuppliesTable: {
        '1.1': { prtMarkerSuppliesColorantIndex: 1, prtMarkerSuppliesDescription: 'Cartridge 1' },
        '1.2': { prtMarkerSuppliesColorantIndex: 2, prtMarkerSuppliesDescription: 'Magenta cartridge' },
        '1.3': { prtMarkerSuppliesColorantIndex: 0, prtMarkerSuppliesDescription: 'Fuser' },
        '1.4': { prtMarkerSuppliesColorantIndex: 9 },
      },
    });
    expect(supplies.map(({ name, colour }) => [name, colour])).toEqual([
      ['Cartridge 1', 'cyan'],
      ['Magenta cartridge', 'magenta'],
      ['Fuser', null],
      ['Supply 4', null],
    ]);
  });

  test('no class: by type; the same supply twice stays twice and is said', () => {
    const row = { prtMarkerSuppliesDescription: 'Waste', prtMarkerSuppliesType: 8, prtMarkerSuppliesLevel: -3 };
    const { supplies, problems } = readTables({
      prtGeneralTable: general,
      prtMarkerSuppliesTable: { '1.1': row, '1.2': row },
    });
    expect(supplies.map((one) => one.class)).toEqual(['receptacleThatIsFilled', 'receptacleThatIsFilled']);
    expect(problems).toEqual(['Supplies 1 and 2 are the same in every field (Waste); both are listed.']);
  });
});

describe('colour words', () => {
  test.each([
    ['Black Toner Cartridge', 'black'],
    ['Light Cyan Ink', 'light cyan'],
    ['lightMagentaInk', 'light magenta'],
    ['CYAN', 'cyan'],
    ['Gray ink', 'grey'],
    ['Cyan/Magenta/Yellow', null],
    ['Blackwood drum', null],
    ['Toner noir', null],
    ['', null],
  ])('%s', (description, colour) => {
    expect(colourWord(description)).toBe(colour);
  });

  test.each([
    ['#000000', 'black'],
    ['#00FFFF', 'cyan'],
    ['#F0F', null],
    ['#FF00FE', 'magenta'],
    ['#00FFFF#FF00FF#FFFF00', null],
    ['none', null],
    [undefined, null],
  ])('%s', (rgb, colour) => {
    expect(colourOfRgb(rgb)).toBe(colour);
  });
});

describe('supplies over IPP', () => {
  test('printer-supply before marker-*, with its description', () => {
    const { supplies, from } = readIpp({
      'printer-supply': [
        octets(
          'index=1;class=supplyThatIsConsumed;type=toner;unit=percent;maxcapacity=100;level=70;colorantname=black;',
        ),
        octets(
          'index=2;class=receptacleThatIsFilled;type=wasteToner;unit=percent;maxcapacity=100;level=0;colorantname=none;',
        ),
      ],
      'printer-supply-description': ['Black toner', 'Waste container'],
      'marker-names': ['ignored'],
      'marker-levels': [1],
    });
    expect(from.supplies).toBe('ipp');
    expect(supplies).toMatchObject([
      { index: 1, name: 'Black toner', type: 'toner', colour: 'black', percent: 70, state: 'ok' },
      { index: 2, name: 'Waste container', type: 'wasteToner', colour: null, percent: 0, state: 'full' },
    ]);
  });

  test('marker-* lists of unequal length, names with commas, special levels', () => {
    const { supplies, problems } = readIpp({
      'marker-names': ['Toner, black', 'Toner, cyan', 'Drum'],
      'marker-types': ['toner', 'toner'],
      'marker-colors': ['#000000', '#00FFFF', 'none'],
      'marker-levels': [-3, 0, -2, 7],
    });
    expect(
      supplies.map(({ name, type, colour, level, meaning, state }) => [name, type, colour, level, meaning, state]),
    ).toEqual([
      ['Toner, black', 'toner', 'black', -3, 'some-left', 'ok'],
      ['Toner, cyan', 'toner', 'cyan', 0, 'measured', 'empty'],
      ['Drum', 'unknown', null, -2, 'unknown', 'unknown'],
      ['Supply 4', 'unknown', null, 7, 'measured', 'low'],
    ]);
    expect(problems.join()).toMatch(/differ in length \(names 3, types 2, colors 3, levels 4\)/);
  });

  // integer(-3:100): -1 unavailable, -2 unknown, -3 some left (from memory); printer-supply keeps RFC 3805's meaning (PWG 5100.13).
  test('-1 is no level in marker-levels, and no limit in printer-supply', () => {
    const marker = readIpp({ 'marker-names': 'Black', 'marker-types': 'toner', 'marker-levels': -1 });
    expect(marker.supplies).toMatchObject([{ meaning: 'unknown', state: 'unknown' }]);
    const supply = readIpp({ 'printer-supply': octets('type=toner;unit=percent;maxcapacity=100;level=-1;') });
    expect(supply.supplies).toMatchObject([{ meaning: 'no-limit', state: 'ok' }]);
  });

  test('names joined into one value are taken apart only when they fit', () => {
    expect(readIpp({ 'marker-names': 'Black,Cyan', 'marker-levels': [5, 6] }).supplies.map(({ name }) => name)).toEqual(
      ['Black', 'Cyan'],
    );
    expect(readIpp({ 'marker-names': 'Toner, black', 'marker-levels': [50] }).supplies.map(({ name }) => name)).toEqual(
      ['Toner, black'],
    );
  });

  test('a waste container by marker-levels: fill, or room, and which is said', () => {
    const fill = readIpp({ 'marker-names': 'Waste', 'marker-types': 'waste-toner', 'marker-levels': 80 });
    expect(fill.supplies[0]).toMatchObject({ type: 'wasteToner', level: 20, percent: 20, state: 'ok' });
    expect(fill.problems.join()).toMatch(/read as fill: 80 percent full/);
    const room = readIpp({
      'marker-names': 'Waste',
      'marker-types': 'wasteToner',
      'marker-levels': 80,
      'marker-low-levels': 10,
      'marker-high-levels': 100,
    });
    expect(room.supplies[0]).toMatchObject({ level: 80, percent: 80 });
    expect(room.problems.join()).toMatch(/read as the room that is left/);
  });

  test('wrong colours: the name wins, a list that is all black is not used', () => {
    const { supplies } = readIpp({
      'marker-names': ['Black ink', 'Ink 2'],
      'marker-types': ['ink', 'ink-cartridge'],
      'marker-colors': ['#FFFFFF', '#FFFF00'],
      'marker-levels': [60, 70],
    });
    expect(supplies.map(({ type, colour }) => [type, colour])).toEqual([
      ['ink', 'black'],
      ['inkCartridge', 'yellow'],
    ]);
    const black = readIpp({
      'marker-names': ['A', 'B'],
      'marker-colors': ['#000000', '#000000'],
      'marker-levels': [1, 2],
    });
    expect(black.supplies.map(({ colour }) => colour)).toEqual([null, null]);
    expect(black.problems.join()).toContain('marker-colors gives #000000 for all 2 supplies');
  });

  test('out-of-band values, other kinds and levels above 100 harm nothing', () => {
    const { supplies, problems } = readIpp({
      'marker-names': [value('nameWithLanguage', { language: 'de', text: 'Toner' }), value('unknown', null)],
      'marker-levels': [value('no-value', null), 140],
      'printer-supply': value('unknown', null),
    });
    expect(supplies.map(({ name, percent, meaning }) => [name, percent, meaning])).toEqual([
      ['Toner', null, 'unknown'],
      ['Supply 2', 100, 'measured'],
    ]);
    expect(problems.join()).toContain('is 140');
  });
});

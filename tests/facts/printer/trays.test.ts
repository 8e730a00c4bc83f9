import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { readKeyValues } from '../../../src/facts/printer/key-values.js';
import { mediaNameOfDims, mediaNameOfSize } from '../../../src/facts/printer/media.js';
import { attributes, hex, ippAnswer, octets, read, readIpp, readTables, tables, value } from './evidence-samples.js';

const general = { 1: { prtGeneralPrinterName: 'front-desk' } };
const sizes = JSON.parse(
  readFileSync(new URL('../../../shared/registries/media-sizes.json', import.meta.url), 'utf8'),
) as { media: readonly { name: string; x: number; y: number }[] };

describe('media by size', () => {
  // PWG 5101.1 names, ISO 216 sizes: shared/registries/media-sizes.json.
  test.each(sizes.media)('$name', ({ name, x, y }) => {
    expect(mediaNameOfSize(x, y)).toBe(name);
    expect(mediaNameOfSize(y, x)).toBe(name);
    expect(mediaNameOfDims(y * 10, x * 10, 4)).toBe(name);
    expect(mediaNameOfDims(Math.round(y / 0.254), Math.round(x / 0.254), 3)).toBe(name);
  });

  test.each([
    [297_000, -2, 4],
    [-1, -1, 4],
    [297_000, 210_000, 1],
    [297_000, 210_000, null],
    [123_000, 456_000, 4],
    [null, 210_000, 4],
  ])('%s by %s in unit %s is no known size', (feed, cross, unit) => {
    expect(mediaNameOfDims(feed, cross, unit)).toBeNull();
  });
});

describe('trays, outputs and covers over SNMP', () => {
  test('names, levels, media and status', () => {
    const { trays, outputs, covers } = readTables({
      prtGeneralTable: general,
      prtInputTable: {
        '1.1': {
          prtInputName: 'Tray 1',
          prtInputType: 3,
          prtInputCapacityUnit: 8,
          prtInputMaxCapacity: 250,
          prtInputCurrentLevel: 0,
          prtInputMediaName: 'na_letter_8.5x11in',
          prtInputStatus: 16,
        },
        '1.3': {
          prtInputDescription: hex('Einzug für Umschläge'),
          prtInputType: 5,
          prtInputCurrentLevel: -3,
          prtInputMaxCapacity: -2,
          prtInputDimUnit: 3,
          prtInputMediaDimFeedDirChosen: 116929,
          prtInputMediaDimXFeedDirChosen: 82677,
          prtInputMediaDimFeedDirDeclared: 110000,
          prtInputMediaDimXFeedDirDeclared: 85000,
        },
        '1.7': {},
      },
      prtOutputTable: {
        '1.1': {
          prtOutputName: 'Face down',
          prtOutputRemainingCapacity: 0,
          prtOutputMaxCapacity: 150,
          prtOutputStatus: 16,
        },
        '1.2': { prtOutputDescription: 'Rear', prtOutputRemainingCapacity: -3 },
      },
      prtCoverTable: {
        '1.1': { prtCoverDescription: 'Front cover', prtCoverStatus: 4 },
        '1.2': { prtCoverStatus: 5 },
        '1.3': { prtCoverDescription: 'Odd', prtCoverStatus: 99 },
        '1.4': { prtCoverDescription: 'Silent' },
      },
    });
    expect(trays).toEqual([
      {
        index: 1,
        name: 'Tray 1',
        type: 'sheetFeedAutoRemovableTray',
        level: 0,
        capacity: 250,
        unit: 'sheets',
        percent: 0,
        meaning: 'measured',
        media: 'na_letter_8.5x11in',
        status: 16,
      },
      {
        index: 3,
        name: 'Einzug für Umschläge',
        type: 'sheetFeedManual',
        level: -3,
        capacity: -2,
        unit: null,
        percent: null,
        meaning: 'some-left',
        media: 'iso_a4_210x297mm',
        status: null,
      },
    ]);
    expect(outputs).toMatchObject([
      { index: 1, name: 'Face down', level: 0, percent: 0, meaning: 'measured', status: 16 },
      { index: 2, name: 'Rear', percent: null, meaning: 'some-left' },
    ]);
    expect(covers).toEqual([
      { index: 1, name: 'Front cover', state: 'coverClosed' },
      { index: 2, name: 'Cover 2', state: 'interlockOpen' },
      { index: 3, name: 'Odd', state: '99' },
      { index: 4, name: 'Silent', state: 'unknown' },
    ]);
  });

  test('a tray without media takes it from media-col-ready of the same source', () => {
    const collection = attributes({
      'media-source': 'tray-1',
      'media-size': value('begCollection', { members: attributes({ 'x-dimension': 21000, 'y-dimension': 29700 }) }),
    });
    const { document } = read([
      ...tables({
        prtGeneralTable: general,
        prtInputTable: { '1.1': { prtInputName: 'TRAY 1' }, '1.2': { prtInputName: 'Tray 2' } },
      }),
      ippAnswer({ 'printer-name': 'p', 'media-col-ready': value('begCollection', { members: collection }) }),
    ]);
    expect(document.trays.map(({ media }) => media)).toEqual(['iso_a4_210x297mm', null]);
  });
});

describe('trays and outputs over IPP', () => {
  test('printer-input-tray and printer-output-tray (PWG 5100.13)', () => {
    const { trays, outputs, from } = readIpp({
      'printer-input-tray': [
        octets(
          'type=sheetFeedAutoRemovableTray;dimunit=micrometers;mediafeed=297000;mediaxfeed=210000;maxcapacity=250;level=100;status=0;name=tray-1;unit=sheets;',
        ),
        octets('type=sheetFeedManual;mediafeed=0;mediaxfeed=0;maxcapacity=1;level=-2;status=0;name=by-pass;index=9;'),
      ],
      'printer-output-tray': octets(
        'type=unRemovableBin;maxcapacity=100;remaining=25;status=0;name=face-down;stackingorder=firstToLast;pagedelivery=faceDown;',
      ),
    });
    expect(from.trays).toBe('ipp');
    expect(trays).toMatchObject([
      { index: 1, name: 'tray-1', percent: 40, unit: 'sheets', media: 'iso_a4_210x297mm', status: 0 },
      { index: 9, name: 'by-pass', type: 'sheetFeedManual', level: -2, meaning: 'unknown', media: null },
    ]);
    expect(outputs).toMatchObject([{ index: 1, name: 'face-down', level: 25, percent: 25 }]);
  });

  test('repeated keys, an output tray’s type, no unit for the size', () => {
    const { trays, problems } = readIpp({
      'printer-input-tray': octets(
        'type=unRemovableBin;type=x;mediafeed=110000;mediaxfeed=85000;maxcapacity=500;level=-3;name=main;name=other;',
      ),
    });
    expect(trays[0]).toMatchObject({
      type: 'unknown',
      name: 'main',
      meaning: 'some-left',
      media: 'na_letter_8.5x11in',
    });
    expect(problems.join()).toMatch(/repeated-key/);
    expect(problems.join()).toMatch(/no input type \(unRemovableBin\)/);
  });

  test('names and media from the lists that go with them', () => {
    const { trays } = readIpp({
      'printer-input-tray': [
        octets('type=other;level=0;maxcapacity=10;'),
        octets('type=other;level=1;maxcapacity=10;'),
      ],
      'media-source-supported': ['tray-1', 'tray-2'],
      'media-ready': ['iso_a4_210x297mm', 'iso_a3_297x420mm'],
    });
    expect(trays.map(({ name, media }) => [name, media])).toEqual([
      ['tray-1', 'iso_a4_210x297mm'],
      ['tray-2', 'iso_a3_297x420mm'],
    ]);
  });

  test('blank values and covers', () => {
    const { trays, covers } = readIpp({
      'printer-input-tray': [octets(''), octets('none')],
      'printer-cover': [octets('type=other;index=3;status=coverOpen;'), octets('coverClosed')],
      'printer-cover-description': ['Front', 'Rear'],
    });
    expect(trays).toEqual([]);
    expect(covers).toEqual([
      { index: 3, name: 'Front', state: 'coverOpen' },
      { index: 2, name: 'Rear', state: 'coverClosed' },
    ]);
  });
});

describe('key=value strings', () => {
  test('deviations are named, nothing is thrown', () => {
    const list = readKeyValues(' A = 1 ;a=2;bare;=x;__proto__=y;constructor=z;empty=;');
    expect([...list.values]).toEqual([
      ['a', '1'],
      ['__proto__', 'y'],
      ['constructor', 'z'],
      ['empty', ''],
    ]);
    expect(list.words).toEqual(['bare']);
    expect(list.deviations).toEqual(['repeated-key', 'bare-word', 'empty-key']);
    expect(({} as Record<string, unknown>).y).toBeUndefined();
  });
});

import { describe, expect, test } from 'vitest';
import { HistoryGatherer, readRow, wrongHeader } from '../../src/forecast/history-csv.js';
import { readTime } from '../../src/forecast/time.js';

const cells = (line: string): string[] => line.split(',');
const wrong = (line: string): string | undefined => {
  const row = readRow(cells(line));
  return 'wrong' in row ? row.wrong : undefined;
};

describe('one line', () => {
  test('becomes a reading; special levels stay, nothing becomes null', () => {
    expect(readRow(cells('2026-01-31T09:00:00Z,front-desk,Black toner,-3,-2,impressions,'))).toEqual({
      printer: 'front-desk',
      supply: 'Black toner',
      reading: { at: Date.UTC(2026, 0, 31, 9), level: -3, capacity: -2, unit: 'impressions', pages: null },
    });
    expect(readRow(cells('2026-01-31T09:00:00Z,a,b,41,,,77'))).toMatchObject({
      reading: { capacity: null, unit: null, pages: 77 },
    });
  });

  test.each([
    [
      'yesterday,a,b,1,2,percent,3',
      'at takes an ISO 8601 time from 1970 to 2999 such as 2026-01-31T08:00:00Z, not "yesterday"',
    ],
    ['2026-02-31T25:00:00Z,a,b,1,2,percent,3', 'at takes an ISO 8601 time'],
    ['2026-02-30,a,b,1,2,percent,3', 'at takes an ISO 8601 time'],
    ['1969-12-31,a,b,1,2,percent,3', 'from 1970 to 2999'],
    ['3000-01-01,a,b,1,2,percent,3', 'from 1970 to 2999'],
    ['2026-01-31,,b,1,2,percent,3', 'printer is empty'],
    ['2026-01-31,a,,1,2,percent,3', 'supply is empty'],
    ['2026-01-31,a,b,full,2,percent,3', 'level takes a number, not "full"'],
    ['2026-01-31,a,b,,2,percent,3', 'level takes a number, not ""'],
    ['2026-01-31,a,b,1,many,percent,3', 'capacity takes a number or nothing, not "many"'],
    ['2026-01-31,a,b,1,2,Percent,3', 'unit "Percent" is none of RFC 3805, did you mean "percent"?'],
    ['2026-01-31,a,b,1,2,percent,-3', 'pages takes a number from 0 or nothing, not "-3"'],
    ['2026-01-31,a,b,1,2', 'has 5 cells instead of 7'],
  ])('%s', (line, says) => {
    expect(wrong(line)).toContain(says);
  });
});

test.each([
  ['2026-01-31T09:00:00Z', '2026-01-31T09:00:00.000Z'],
  ['2026-01-31T09:00:00.5+02:00', '2026-01-31T07:00:00.500Z'],
  ['2026-01-31 09:00', '2026-01-31T09:00:00.000Z'],
  ['2026-01-31T09:00+0100', '2026-01-31T08:00:00.000Z'],
  ['2026-01-31', '2026-01-31T00:00:00.000Z'],
])('time %s', (text, wanted) => {
  expect(new Date(readTime(text) ?? 0).toISOString()).toBe(wanted);
});

test('a level may have as many decimals as programs write', () => {
  expect(readRow(cells('2026-01-31,a,b,99.66666666666667,100,percent,'))).toMatchObject({
    reading: { level: 99.66666666666667 },
  });
});

test('the header is fixed', () => {
  expect(wrongHeader(cells('at,printer,supply,level,capacity,unit,pages'))).toBeUndefined();
  expect(wrongHeader(cells('time,printer,supply,level,capacity,unit,pages'))).toContain(
    'the first line has to be "at,printer',
  );
});

describe('gathering', () => {
  test('one past for each supply; oldest first; of two at a time the later line', () => {
    const gatherer = new HistoryGatherer();
    for (const line of [
      '2026-01-02,a,Cyan Ink Cartridge,50,100,percent,',
      '2026-01-01,a,Cyan Ink Cartridge,60,100,percent,',
      '2026-01-02,a,Waste Toner Box,9,10,items,',
      '2026-01-02,a,Cyan Ink Cartridge,49,100,percent,',
      '2026-01-02,b,Drum Unit,7,10,items,',
    ]) {
      const row = readRow(cells(line));
      if (!('wrong' in row)) gatherer.add(row);
    }
    const pasts = gatherer.done();
    expect(
      pasts.map(({ printer, supply }) => [printer, supply.index, supply.type, supply.class, supply.colour]),
    ).toEqual([
      ['a', 1, 'ink', 'supplyThatIsConsumed', 'cyan'],
      ['a', 2, 'wasteToner', 'receptacleThatIsFilled', null],
      ['b', 1, 'opc', 'supplyThatIsConsumed', null],
    ]);
    expect(pasts[0]?.readings.map(({ level }) => level)).toEqual([60, 49]);
  });
});

import { describe, expect, test } from 'vitest';
import type { FoundPrinter } from '../../src/model/sweep.js';
import { changesSince, type Remembered, rememberedFrom } from '../../src/sweep/changes.js';

function found(address: string, own: Partial<FoundPrinter> = {}): FoundPrinter {
  const nothing = { name: null, model: null, serial: null, uuid: null, mac: null, snmp: null, ipp: null };
  return { address, ...nothing, ports: [], dnsSd: false, foundBy: ['tcp'], alsoAt: [], ...own };
}

const known = (label: string, address: string, own: Partial<Remembered> = {}): Remembered => ({
  label,
  addresses: [address],
  serial: null,
  uuid: null,
  mac: null,
  ...own,
});

function changes(printers: readonly Remembered[], now: readonly FoundPrinter[], complete = true): readonly string[] {
  const inRange = (address: string): boolean => address.startsWith('192.0.2.');
  const list = changesSince({ found: now }, { against: 'configuration', printers, inRange }, complete);
  return list.map(({ what, address, before }) => [what, address, before].filter(Boolean).join(' '));
}

describe('known and new', () => {
  test.each<[string, Remembered[], FoundPrinter[], string[]]>([
    [
      'the same at the same place',
      [known('a', '192.0.2.1', { serial: 'S1' })],
      [found('192.0.2.1', { serial: 's1 ' })],
      [],
    ],
    ['known by its place alone', [known('a', '192.0.2.1')], [found('192.0.2.1', { serial: 'S1' })], []],
    ['its identity not told this time', [known('a', '192.0.2.1', { serial: 'S1' })], [found('192.0.2.1')], []],
    [
      'at one of its further addresses',
      [known('a', '192.0.2.2', { uuid: 'u' })],
      [found('192.0.2.1', { uuid: 'urn:uuid:U', alsoAt: ['192.0.2.2'] })],
      [],
    ],
    ['new', [], [found('192.0.2.9')], ['new 192.0.2.9']],
    ['gone', [known('a', '192.0.2.1')], [], ['gone 192.0.2.1']],
    ['out of range is not gone', [known('a', '198.51.100.1')], [], []],
    [
      'moved',
      [known('a', '192.0.2.1', { mac: '02:00:00:00:00:01' })],
      [found('192.0.2.7', { mac: '02:00:00:00:00:01' })],
      ['moved 192.0.2.7 192.0.2.1'],
    ],
    [
      'another device there',
      [known('a', '192.0.2.1', { serial: 'S1' })],
      [found('192.0.2.1', { serial: 'S2' })],
      ['changed 192.0.2.1'],
    ],
    [
      'two that changed places',
      [known('a', '192.0.2.1', { serial: 'S1' }), known('b', '192.0.2.2', { serial: 'S2' })],
      [found('192.0.2.1', { serial: 'S2' }), found('192.0.2.2', { serial: 'S1' })],
      ['moved 192.0.2.2 192.0.2.1', 'moved 192.0.2.1 192.0.2.2'],
    ],
    [
      'moved, and another in its place',
      [known('a', '192.0.2.1', { serial: 'S1' })],
      [found('192.0.2.1', { serial: 'S9' }), found('192.0.2.5', { serial: 'S1' })],
      ['moved 192.0.2.5 192.0.2.1', 'new 192.0.2.1'],
    ],
    [
      'several behind one address',
      [
        known('a', '192.0.2.1', { deviceIndex: 1, mac: '02:00:00:00:00:01' }),
        known('b', '192.0.2.1', { deviceIndex: 2, mac: '02:00:00:00:00:01' }),
      ],
      [
        found('192.0.2.1', { deviceIndex: 2, mac: '02:00:00:00:00:01' }),
        found('192.0.2.1', { deviceIndex: 1, mac: '02:00:00:00:00:01' }),
      ],
      [],
    ],
  ])('%s', (_, printers, now, expected) => {
    expect(changes(printers, now)).toEqual(expected);
  });

  test('a sweep that was stopped says nothing of who is gone', () => {
    expect(changes([known('a', '192.0.2.1')], [], false)).toEqual([]);
  });

  test('an earlier sweep against itself', () => {
    const before = [
      found('192.0.2.1', { serial: 'S1' }),
      found('192.0.2.2'),
      found('192.0.2.3', { name: 'x', deviceIndex: 2 }),
    ];
    expect(changes(rememberedFrom({ found: before }), before)).toEqual([]);
  });
});

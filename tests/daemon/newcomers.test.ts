import { describe, expect, test } from 'vitest';
import { groupOf, type Known, newcomersOf } from '../../src/daemon/newcomers.js';
import type { FoundPrinter } from '../../src/model/sweep.js';
import { T0 } from './conditions.js';

const found: FoundPrinter = {
  address: '192.0.2.50',
  name: 'Quay printer',
  model: 'Sandpiper 300',
  serial: 'S1',
  uuid: 'u1',
  mac: '02:00:00:00:00:01',
  ports: [631, 80, 9100],
  snmp: '2c',
  ipp: 'ipp://192.0.2.50/ipp/print',
  dnsSd: false,
  foundBy: ['snmp'],
  alsoAt: ['192.0.2.51'],
};

function known(host: string, configured: boolean, ...identities: string[]): Known {
  const target = { label: 'front-desk', host, snmpPort: 161, printPorts: [], queues: [] };
  return { watched: { name: 'front-desk', target, group: 'g', configured }, identities: new Set(identities) };
}

describe('what a sweep found', () => {
  test('a stranger is watched from now on, under a name that can be typed', () => {
    const { appeared, changes } = newcomersOf([found], [], T0);
    expect(appeared).toMatchObject([{ name: 'Quay-printer', configured: false, group: '192.0.2.0/24' }]);
    expect(appeared[0]?.target).toMatchObject({ host: '192.0.2.50', ippUri: found.ipp, printPorts: [631, 9100, 515] });
    expect(changes.get('Quay-printer')).toHaveLength(5);
  });

  test('a name that is taken, or is none, gives way to the address', () => {
    const names = (name: string | null) =>
      newcomersOf([{ ...found, name }], [known('192.0.2.9', true)], T0).appeared.map((watched) => watched.name);
    expect(names('Front-Desk')).toEqual(['192.0.2.50']);
    expect(names('\u001b[31m')).toEqual(['192.0.2.50']);
    expect(names(null)).toEqual(['192.0.2.50']);
  });

  test('however long or broken, it can stand in the address of a page', () => {
    for (const name of [`${'a'.repeat(59)}\u{1f5a8}\u{1f5a8}`, 'Quay\ud83d']) {
      const [watched] = newcomersOf([{ ...found, name }], [], T0).appeared;
      expect(() => encodeURIComponent(watched?.name ?? '')).not.toThrow();
    }
  });

  test.each([
    ['its address', known('192.0.2.50', true)],
    ['another address of it', known('192.0.2.51', true)],
    ['its serial number', known('192.0.2.9', true, 'serial S1')],
    ['its UUID', known('192.0.2.9', true, 'uuid u1')],
    ['its hardware address', known('192.0.2.9', true, 'mac 02:00:00:00:00:01')],
  ])('one that is known by %s is no stranger', (_name, one) => {
    expect(newcomersOf([found], [one], T0)).toMatchObject({ appeared: [], moved: [] });
  });

  test('one that nobody listed is followed to its new address', () => {
    const { moved } = newcomersOf([found], [known('192.0.2.9', false, 'uuid u1')], T0);
    expect(moved).toMatchObject([{ name: 'front-desk', target: { host: '192.0.2.50' } }]);
  });

  test('two that changed places are both followed; the address alone makes nobody the other', () => {
    const named = (name: string, host: string, serial: string): Known => {
      const one = known(host, false, `serial ${serial}`);
      return { ...one, watched: { ...one.watched, name } };
    };
    const both = [named('one', '192.0.2.21', 'S1'), named('two', '192.0.2.22', 'S2')];
    const bare = { ...found, uuid: null, mac: null, alsoAt: [] };
    const swapped = [
      { ...bare, address: '192.0.2.21', serial: 'S2' },
      { ...bare, address: '192.0.2.22', serial: 'S1' },
    ];
    const { appeared, moved } = newcomersOf(swapped, both, T0);
    expect(appeared).toEqual([]);
    expect(moved.map(({ name, target }) => [name, target.host])).toEqual([
      ['two', '192.0.2.21'],
      ['one', '192.0.2.22'],
    ]);
  });

  test('the same, after one was read at the address that was the other’s', () => {
    const two = known('192.0.2.22', false, 'serial S2');
    const both = [
      known('192.0.2.21', false, 'serial S1', 'serial S2'),
      { ...two, watched: { ...two.watched, name: 'two' } },
    ];
    const bare = { ...found, uuid: null, mac: null, alsoAt: [] };
    const now = [
      { ...bare, address: '192.0.2.21', serial: 'S2' },
      { ...bare, address: '192.0.2.31', serial: 'S1' },
    ];
    expect(newcomersOf(now, both, T0).moved.map(({ name, target }) => [name, target.host])).toEqual([
      ['two', '192.0.2.21'],
      ['front-desk', '192.0.2.31'],
    ]);
  });

  test('one that took the address of a printer that moved is a stranger', () => {
    const bare = { ...found, uuid: null, mac: null, alsoAt: [] };
    const now = [
      { ...bare, address: '192.0.2.21', serial: 'S9', name: null },
      { ...bare, address: '192.0.2.31', serial: 'S1' },
    ];
    const { appeared, moved } = newcomersOf(now, [known('192.0.2.21', false, 'serial S1')], T0);
    expect(moved.map(({ target }) => target.host)).toEqual(['192.0.2.31']);
    expect(appeared.map(({ target }) => target.host)).toEqual(['192.0.2.21']);
  });

  test('two of one name stay apart', () => {
    const twin = { ...found, address: '192.0.2.60', alsoAt: [], serial: 'S2', uuid: 'u2', mac: null };
    expect(newcomersOf([found, twin], [], T0).appeared.map(({ name }) => name)).toEqual(['Quay-printer', '192.0.2.60']);
  });
});

test('neighbours', () => {
  expect(groupOf('192.0.2.77')).toBe('192.0.2.0/24');
  expect(groupOf('2001:db8:1:2:3:4:5:6')).toBe('2001:db8:1:2::/64');
  expect(groupOf('printer.example')).toBe('printer.example');
});

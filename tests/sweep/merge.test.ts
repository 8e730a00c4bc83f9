import { describe, expect, test } from 'vitest';
import type { FoundPrinter } from '../../src/model/sweep.js';
import { compareAddresses, mergeSightings } from '../../src/sweep/merge.js';

function seen(address: string, own: Partial<FoundPrinter> = {}): FoundPrinter {
  return {
    address,
    name: null,
    model: null,
    serial: null,
    uuid: null,
    mac: null,
    ports: [],
    snmp: null,
    ipp: null,
    dnsSd: false,
    foundBy: ['tcp'],
    alsoAt: [],
    ...own,
  };
}

const groups = (...sightings: FoundPrinter[]) =>
  mergeSightings(sightings).map((one) => [one.address, ...one.alsoAt].join(' '));

const UUID_A = '11111111-2222-4333-8444-555555555555';
const UUID_B = '11111111-2222-4333-8444-666666666666';

describe('one device once', () => {
  test.each<[string, FoundPrinter[], string[]]>([
    [
      'serial',
      [seen('192.0.2.1', { serial: 'ab12345' }), seen('192.0.2.2', { serial: 'AB12345 ' })],
      ['192.0.2.1 192.0.2.2'],
    ],
    ['uuid', [seen('192.0.2.1', { uuid: UUID_A }), seen('192.0.2.2', { uuid: UUID_A })], ['192.0.2.1 192.0.2.2']],
    [
      'mac',
      [seen('192.0.2.1', { mac: '02:00:00:00:00:01' }), seen('192.0.2.2', { mac: '02:00:00:00:00:01' })],
      ['192.0.2.1 192.0.2.2'],
    ],
    [
      'model and name, when nothing better is known',
      [seen('192.0.2.1', { model: 'M', name: 'n' }), seen('192.0.2.2', { model: 'M', name: 'n', serial: 'S12345' })],
      ['192.0.2.1 192.0.2.2'],
    ],
    [
      'model alone is not enough',
      [seen('192.0.2.1', { model: 'M' }), seen('192.0.2.2', { model: 'M' })],
      ['192.0.2.1', '192.0.2.2'],
    ],
    [
      'two of a kind with serials of their own',
      [
        seen('192.0.2.1', { model: 'M', name: 'n', serial: 'S12345' }),
        seen('192.0.2.2', { model: 'M', name: 'n', serial: 'S12346' }),
      ],
      ['192.0.2.1', '192.0.2.2'],
    ],
    [
      'two printers behind one box',
      [
        seen('192.0.2.1', { mac: '02:00:00:00:00:01', serial: 'S12345' }),
        seen('192.0.2.2', { mac: '02:00:00:00:00:01', serial: 'S99999' }),
      ],
      ['192.0.2.1', '192.0.2.2'],
    ],
    [
      'the same behind one box, told by UUID',
      [
        seen('192.0.2.1', { mac: '02:00:00:00:00:01', uuid: UUID_A }),
        seen('192.0.2.2', { mac: '02:00:00:00:00:01', uuid: UUID_B }),
      ],
      ['192.0.2.1', '192.0.2.2'],
    ],
    [
      'a serial that nobody set',
      [seen('192.0.2.1', { serial: '0000000000' }), seen('192.0.2.2', { serial: '0000000000' })],
      ['192.0.2.1', '192.0.2.2'],
    ],
    [
      'a short serial under two models',
      [seen('192.0.2.1', { serial: '1234', model: 'M' }), seen('192.0.2.2', { serial: '1234', model: 'N' })],
      ['192.0.2.1', '192.0.2.2'],
    ],
    [
      'a chain: serial to one, UUID to the other',
      [
        seen('192.0.2.1', { serial: 'S12345' }),
        seen('192.0.2.2', { uuid: UUID_A }),
        seen('192.0.2.3', { serial: 'S12345', uuid: UUID_A }),
      ],
      ['192.0.2.3 192.0.2.1 192.0.2.2'].map(() => '192.0.2.1 192.0.2.2 192.0.2.3'),
    ],
    ['nothing known', [seen('192.0.2.1'), seen('192.0.2.2')], ['192.0.2.1', '192.0.2.2']],
  ])('%s', (_name, sightings, expected) => {
    expect(groups(...sightings).map((group) => group.split(' ').sort().join(' '))).toEqual(expected);
    expect(groups(...[...sightings].reverse()).map((group) => group.split(' ').sort().join(' '))).toEqual(expected);
  });

  test('what each sighting knew is kept; the one that told most stands for the device', () => {
    const [one] = mergeSightings([
      seen('fe80::1', { uuid: UUID_A, dnsSd: true, foundBy: ['dns-sd'], ports: [631], name: 'Front desk' }),
      seen('192.0.2.9', { uuid: UUID_A, snmp: '2c', serial: 'S12345', foundBy: ['tcp', 'snmp'], ports: [9100, 631] }),
    ]);
    expect(one).toMatchObject({
      address: '192.0.2.9',
      alsoAt: ['fe80::1'],
      name: 'Front desk',
      serial: 'S12345',
      snmp: '2c',
      dnsSd: true,
      ports: [631, 9100],
      foundBy: ['snmp', 'dns-sd', 'tcp'],
    });
  });

  test('addresses stand in order of number', () => {
    const sorted = ['192.0.2.10', '2001:db8::1', '192.0.2.9', 'x'].sort(compareAddresses);
    expect(sorted.indexOf('192.0.2.9')).toBeLessThan(sorted.indexOf('192.0.2.10'));
    expect(sorted.indexOf('192.0.2.10')).toBeLessThan(sorted.indexOf('2001:db8::1'));
  });
});

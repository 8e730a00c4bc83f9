import { expect, test } from 'vitest';
import type { ServiceInstance } from '../../src/model/evidence.js';
import { announcements } from '../../src/sweep/announced.js';

const instance = (type: string, own: Partial<ServiceInstance> = {}): ServiceInstance => ({
  name: 'Front desk',
  type,
  host: 'desk.local',
  port: 631,
  addresses: ['192.0.2.21'],
  txt: {},
  ...own,
});

test('what one address announces, its services together', () => {
  const heard = announcements(
    [
      instance('_ipp._tcp', {
        txt: { rp: '/ipp/print', ty: 'Example 100', uuid: 'urn:uuid:AAAAAAAA-2222-4333-8444-555555555555' },
      }),
      instance('_printer._tcp', { port: 515, addresses: ['192.0.2.21', '198.51.100.9'] }),
      instance('_pdl-datastream._tcp', { port: 0 }),
    ],
    (address) => address.startsWith('192.0.2.'),
  );
  expect(heard).toEqual([
    {
      address: '192.0.2.21',
      name: 'Front desk',
      model: 'Example 100',
      uuid: 'aaaaaaaa-2222-4333-8444-555555555555',
      ports: [515, 631],
      ippUri: 'ipp://192.0.2.21:631/ipp/print',
      isQueue: false,
      alsoAt: ['198.51.100.9'],
    },
  ]);
});

test('a queue that a print server shares is no printer', () => {
  const [heard] = announcements(
    [instance('_ipp._tcp', { txt: { rp: 'printers/desk', product: '(Example 100)' } })],
    () => true,
  );
  expect(heard).toMatchObject({ isQueue: true, model: 'Example 100', ippUri: 'ipp://192.0.2.21:631/printers/desk' });
});

test('a path that is none does not get into a URI', () => {
  const [heard] = announcements(
    [instance('_ipps._tcp', { txt: { rp: 'a b\u001b[2J' }, addresses: ['2001:db8::5'] })],
    () => true,
  );
  expect(heard?.ippUri).toBe('ipps://[2001:db8::5]:631/ipp/print');
});

import { expect, test } from 'vitest';
import { encodeRequest } from '../../src/wire/ipp/encode-request.js';

const text = (words: string): string => Buffer.from(words, 'ascii').toString('hex');
/** tag, length of the name, name, length of the value, value (RFC 8010 3.1.4). */
const attribute = (tag: string, name: string, value: string): string => {
  const length = (octets: number): string => octets.toString(16).padStart(4, '0');
  return tag + length(name.length) + text(name) + length(value.length / 2) + value;
};

/** Groups: operation 01, subscription 06, end 03 (RFC 8010 3.5.1, RFC 3995 section 9). Operation numbers: RFC 3995 section 15.2. */
const HEAD = '00000001' + '01';
const CHARSET = attribute('47', 'attributes-charset', text('utf-8'));
const LANGUAGE = attribute('48', 'attributes-natural-language', text('en-us'));
const URI = attribute('45', 'printer-uri', text('ipp://192.0.2.5/printers/hall'));
const base = { version: '2.0', requestId: 1, printerUri: 'ipp://192.0.2.5/printers/hall' } as const;

test('Create-Printer-Subscriptions carries one group of subscription attributes', () => {
  const octets = encodeRequest({
    ...base,
    operation: 'Create-Printer-Subscriptions',
    wish: { events: ['printer-stopped', 'job-state-changed'], leaseSeconds: 3600 },
  });
  expect(octets.toString('hex')).toBe(
    `02000016${HEAD}${CHARSET}${LANGUAGE}${URI}06` +
      attribute('44', 'notify-pull-method', text('ippget')) +
      attribute('44', 'notify-events', text('printer-stopped')) +
      attribute('44', '', text('job-state-changed')) +
      attribute('21', 'notify-lease-duration', '00000e10') +
      '03',
  );
});

test('Get-Notifications names the subscription and the next event in the operation group', () => {
  const octets = encodeRequest({
    ...base,
    operation: 'Get-Notifications',
    integers: { 'notify-subscription-ids': 7, 'notify-sequence-numbers': 12 },
  });
  expect(octets.toString('hex')).toBe(
    `0200001c${HEAD}${CHARSET}${LANGUAGE}${URI}` +
      attribute('21', 'notify-subscription-ids', '00000007') +
      attribute('21', 'notify-sequence-numbers', '0000000c') +
      '03',
  );
});

test.each([
  ['Renew-Subscription', '1a'],
  ['Cancel-Subscription', '1b'],
] as const)('%s names the subscription', (operation, number) => {
  const octets = encodeRequest({ ...base, operation, integers: { 'notify-subscription-id': 7 } });
  expect(octets.toString('hex')).toBe(
    `020000${number}${HEAD}${CHARSET}${LANGUAGE}${URI}${attribute('21', 'notify-subscription-id', '00000007')}03`,
  );
});

import stringWidth from 'string-width';
import { expect, test } from 'vitest';
import type { FoundPrinter, SweepDocument } from '../../src/model/sweep.js';
import { renderSweep } from '../../src/render/sweep-text.js';

const printer = (address: string, own: Partial<FoundPrinter> = {}): FoundPrinter => ({
  address,
  name: 'front-desk',
  model: 'Example 100',
  serial: 'EX100-1',
  uuid: null,
  mac: null,
  ports: [631],
  snmp: '2c',
  ipp: null,
  dnsSd: false,
  foundBy: ['snmp', 'tcp'],
  alsoAt: [],
  ...own,
});
const document = (own: Partial<SweepDocument> = {}): SweepDocument => ({
  schema: 'outfeed.sweep/1',
  ranges: ['192.0.2.0/24'],
  startedAt: '2026-01-31T09:00:00.000Z',
  tookMs: 1634,
  addressesTried: 254,
  found: [
    printer('192.0.2.21', { alsoAt: ['192.0.2.22'] }),
    printer('192.0.2.9', { name: null, model: null, serial: null }),
  ],
  others: [{ address: '192.0.2.50', what: 'answers SNMP, not a printer "Example file server"' }],
  problems: ['The own subnet 192.0.0.0/16 is wide.'],
  ...own,
});
const plain = { color: false, columns: 80 };

test('a table, then what is no printer, then notes', () => {
  expect(renderSweep(document(), plain).split('\n')).toEqual([
    '2 printers found in 192.0.2.0/24 (254 addresses, 1.6 s)',
    '',
    'ADDRESS     NAME        MODEL        SERIAL   FOUND BY',
    '192.0.2.21  front-desk  Example 100  EX100-1  snmp tcp',
    '  also at 192.0.2.22',
    '192.0.2.9   -           -            -        snmp tcp',
    '',
    'Also there, not printers:',
    '  192.0.2.50 answers SNMP, not a printer "Example file server"',
    '',
    'Note: The own subnet 192.0.0.0/16 is wide.',
    '',
  ]);
});

test('nothing at all: says what to try', () => {
  const text = renderSweep(document({ found: [], others: [], problems: [] }), plain);
  expect(text).toMatch(/^No printer found in 192\.0\.2\.0\/24/);
  expect(text).toMatch(/outfeed why/);
});

test.each([60, 80, 120])('no line is wider than %d, whatever a printer is called', (columns) => {
  const long = printer('2001:db8:1111:2222:3333:4444:5555:6666', {
    name: '印刷'.repeat(40),
    model: 'x'.repeat(300),
    serial: 'y'.repeat(90),
    foundBy: ['snmp', 'ipp', 'dns-sd', 'tcp', 'neighbour'],
  });
  const text = renderSweep(document({ found: [long, printer('192.0.2.1')] }), { color: false, columns });
  for (const line of text.split('\n')) expect(stringWidth(line)).toBeLessThanOrEqual(columns);
});

test('a printer’s text does nothing to the terminal', () => {
  const evil = printer('192.0.2.21', { name: '\u001b[2J\u0007\u202eevil\n', model: 'a\u001b]0;x\u0007' });
  const text = renderSweep(document({ found: [evil], others: [{ address: '192.0.2.3', what: '\u001b[31m' }] }), plain);
  expect(text).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e]/);
});

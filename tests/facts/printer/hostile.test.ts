/** Whatever a device sends, the reader gives a document: no throw, no foreign prototype, no control characters. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readPrinter } from '../../../src/facts/printer/printer.js';
import type { Evidence, IppValue, SnmpRows, SnmpValue } from '../../../src/model/evidence.js';
import type { PrinterDocument } from '../../../src/model/printer.js';
import { OBJECTS } from '../../../src/registry/objects.generated.js';
import { ADDRESS, ippAnswer, READ_AT, table } from './evidence-samples.js';

const NAMES = Object.entries(OBJECTS)
  .filter(([, { role }]) => role === 'column' || role === 'scalar')
  .map(([name]) => name);
const name = fc.oneof(fc.constantFrom(...NAMES), fc.constantFrom('__proto__', 'constructor', 'toString', 'x'));
const instance = fc.oneof(
  fc.constantFrom('0', '1', '1.1', '1.2', '2.1', '1.1.1', '', '1.', '.1', '-1', '__proto__', '99999999999999999999.1'),
  fc.string({ maxLength: 6 }),
);
const snmpValue: fc.Arbitrary<SnmpValue> = fc.oneof(
  fc.integer({ min: -5, max: 40 }),
  fc.integer(),
  fc.double(),
  fc.string({ unit: 'binary', maxLength: 20 }),
  fc.uint8Array({ maxLength: 40 }).map((octets) => ({ hex: Buffer.from(octets).toString('hex') })),
  fc.string({ maxLength: 8 }).map((hex) => ({ hex })),
  fc.constantFrom({ oid: '1.3.6.1.2.1.25.3.1.5' }, { oid: '1.3.6.1.2.1.25.2.1.2' }, { ip: '192.0.2.1' }),
);
const rows: fc.Arbitrary<SnmpRows> = fc
  .array(fc.tuple(instance, fc.array(fc.tuple(name, snmpValue), { maxLength: 12 })), { maxLength: 8 })
  .map((list) => Object.fromEntries(list.map(([key, cells]) => [key, Object.fromEntries(cells)])));
const snmp = fc
  .array(fc.tuple(fc.constantFrom('system', 'prtAlertTable', '__proto__', 'ifTable'), rows), { maxLength: 6 })
  .map((list) => list.map(([what, all]) => table(what, all)));

const keyList = fc
  .array(
    fc.tuple(
      fc.constantFrom(
        'code',
        'type',
        'level',
        'maxcapacity',
        'index',
        'unit',
        'name',
        'status',
        '__proto__',
        'class',
        '',
      ),
      fc.oneof(
        fc.string({ maxLength: 8 }),
        fc.integer().map(String),
        fc.constantFrom('toner', 'percent', 'jam', '9'.repeat(40)),
      ),
    ),
    { maxLength: 8 },
  )
  .map((pairs) => pairs.map(([key, said]) => `${key}=${said}`).join(';'));
const ippValue: fc.Arbitrary<IppValue> = fc.record({
  tag: fc.constantFrom('integer', 'keyword', 'octetString', 'unknown', '0x7f'),
  value: fc.oneof(
    fc.integer(),
    fc.boolean(),
    fc.constant(null),
    fc.string({ unit: 'binary', maxLength: 30 }),
    keyList,
    keyList.map((text) => ({ hex: Buffer.from(text).toString('hex') })),
    fc.record({ language: fc.constant('en'), text: fc.string({ maxLength: 10 }) }),
    fc.constant({ lower: 1, upper: 2 }),
    fc.constant({ members: { 'media-source': [{ tag: 'keyword', value: 'tray-1' }], 'media-size': [] } }),
  ),
});
const ATTRIBUTES = [
  ...['printer-state', 'printer-state-reasons', 'printer-alert', 'printer-alert-description', 'printer-supply'],
  ...[
    'printer-supply-description',
    'marker-names',
    'marker-levels',
    'marker-types',
    'marker-colors',
    'printer-input-tray',
  ],
  ...['printer-output-tray', 'media-col-ready', 'media-ready', 'printer-uuid', 'printer-device-id', 'printer-up-time'],
  ...['printer-cover', 'printer-name', 'document-format-supported', 'printer-more-info', '__proto__'],
];
const ipp = fc
  .array(fc.tuple(fc.constantFrom(...ATTRIBUTES), fc.array(ippValue, { maxLength: 5 })), { maxLength: 12 })
  .map((list) => ippAnswer(Object.fromEntries(list)));

function strings(value: unknown): readonly string[] {
  if (typeof value === 'string') return [value];
  if (typeof value !== 'object' || value === null) return [];
  return Object.values(value).flatMap(strings);
}

function expectSaneLevels({ supplies, trays, outputs }: PrinterDocument): void {
  for (const { meaning, percent } of [...supplies, ...trays, ...outputs]) {
    if (meaning !== 'measured') expect(percent).toBeNull();
    if (percent !== null) expect(percent >= 0 && percent <= 100).toBe(true);
  }
}

describe('hostile evidence', () => {
  test('any tables and attributes give a document', () => {
    fc.assert(
      fc.property(snmp, ipp, fc.option(fc.integer({ min: 0, max: 3 })), (records, answer, device) => {
        const evidence: readonly Evidence[] = [...records, answer];
        const options = { address: ADDRESS, readAt: READ_AT, ...(device === null ? {} : { deviceIndex: device }) };
        const fact = readPrinter(evidence, options);
        if (fact === undefined) return;
        const { document } = fact;
        expectSaneLevels(document);
        for (const text of strings(document)) expect(text).not.toMatch(/[\0-\x1f\x7f-\x9f]/);
        expect(JSON.parse(JSON.stringify(document))).toEqual(document);
        expect(readPrinter(evidence, options)).toEqual(fact);
      }),
      { numRuns: 400 },
    );
    expect(Object.keys(Object.prototype)).toEqual([]);
  });
});

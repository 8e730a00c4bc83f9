import { Buffer } from 'node:buffer';
import { describe, expect, test } from 'vitest';
import { compareOids, instanceOf } from '../../../src/probes/snmp/oid.js';
import { evidenceValue, MAX_OCTETS } from '../../../src/probes/snmp/value.js';

describe('values as evidence', () => {
  test.each([
    ['OctetString', Buffer.from('Tray 2'), 'Tray 2'],
    ['OctetString', Buffer.alloc(0), ''],
    ['OctetString', Buffer.from('Ready\0'), { hex: '526561647900' }],
    ['OctetString', Buffer.from('Papierf\u00e4cher'), { hex: '5061706965726663a463686572'.replace('63a4', 'c3a4') }],
    ['OctetString', Buffer.from('\u001b[31m'), { hex: '1b5b33316d' }],
    ['Opaque', Buffer.from('AB'), { hex: '4142' }],
    ['Integer', -3, -3],
    ['Counter64', 2n ** 53n, '9007199254740992'],
    ['Counter64', 12n, 12],
    ['IpAddress', '192.0.2.7', { ip: '192.0.2.7' }],
    ['ObjectIdentifier', '1.3.6.1', { oid: '1.3.6.1' }],
    ['NoSuchInstance', null, undefined],
    ['Null', null, undefined],
  ])('%s %o', (type, value, expected) => {
    expect(evidenceValue({ oid: '1.3', type, value }, false)).toEqual(expected);
  });

  test('bits that happen to be a letter stay bits', () => {
    expect(evidenceValue({ oid: '1.3', type: 'OctetString', value: Buffer.from('@') }, true)).toEqual({ hex: '40' });
  });

  test('a huge string is cut', () => {
    const value = evidenceValue({ oid: '1.3', type: 'OctetString', value: Buffer.alloc(60_000, 'x') }, false);
    expect(value).toHaveLength(MAX_OCTETS);
  });
});

describe('the order of OIDs (RFC 3416 4.2.2)', () => {
  test.each([
    ['1.3.6.1', '1.3.6.1', 0],
    ['1.3.6.1', '1.3.6.1.0', -1],
    ['1.3.6.1.9', '1.3.6.1.10', -1],
    ['1.3.6.2', '1.3.6.1.10', 1],
    ['1.3.6.1.4294967295', '1.3.6.1.4294967294', 1],
  ])('%s against %s', (a, b, sign) => {
    expect(Math.sign(compareOids(a, b))).toBe(sign);
    expect(Math.sign(compareOids(b, a))).toBe(sign === 0 ? 0 : -sign);
  });

  test('an instance is what stands behind the column', () => {
    expect(instanceOf('1.3.6.1', '1.3.6.1.1.7')).toBe('1.7');
    expect(instanceOf('1.3.6.1', '1.3.6.10.7')).toBeUndefined();
    expect(instanceOf('1.3.6.1', '1.3.6.1')).toBeUndefined();
  });
});

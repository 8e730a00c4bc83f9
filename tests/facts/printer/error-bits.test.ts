import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { readErrorBits, setBits } from '../../../src/facts/printer/error-bits.js';
import { readSubUnitStatus } from '../../../src/facts/printer/sub-unit-status.js';
import type { SnmpValue } from '../../../src/model/evidence.js';

const checks = JSON.parse(
  readFileSync(new URL('../../../shared/registries/status-check-values.json', import.meta.url), 'utf8'),
) as {
  errorStateOctets: readonly { set: readonly string[]; hex: string }[];
  subUnitStatus: readonly { value: number; fields: readonly number[]; ref?: string }[];
};

function read(value: SnmpValue | undefined, witnessed: readonly string[] = []) {
  const notes: string[] = [];
  return { bits: readErrorBits(value, new Set(witnessed), (note) => notes.push(note)), notes };
}

describe('hrPrinterDetectedErrorState', () => {
  // RFC 2790: octets computed from the bit numbers, shared/registries/status-check-values.json.
  test.each(checks.errorStateOctets)('$hex is $set', ({ hex, set }) => {
    expect(read({ hex })).toEqual({ bits: set, notes: [] });
  });

  test.each<[string, SnmpValue | undefined, readonly string[] | null, number]>([
    ['no octet', { hex: '' }, [], 0],
    ['no octet as text', '', [], 0],
    ['one octet', { hex: '04' }, ['jammed'], 0],
    ['one octet that is a character', '@', ['noPaper'], 0],
    ['two octets that are characters', '@ ', ['noPaper', 'markerSupplyMissing'], 0],
    ['two zero octets', { hex: '0000' }, [], 0],
    ['four octets, the rest zero', { hex: '40000000' }, ['noPaper'], 0],
    ['four octets, the rest not', { hex: '40000080' }, ['noPaper'], 1],
    ['an integer', 4, ['jammed'], 1],
    ['an integer of two octets', 0x4004, ['noPaper', 'inputTrayEmpty'], 1],
    ['an integer that is none', -1, null, 1],
    ['bit 15', { hex: '0001' }, [], 1],
    ['absent', undefined, null, 0],
    ['another kind of value', { oid: '1.3' }, null, 0],
  ])('%s', (_, value, bits, noted) => {
    const result = read(value);
    expect(result.bits).toEqual(bits);
    expect(result.notes).toHaveLength(noted);
  });

  test('the lowest bit first is recognised by an alert, and said', () => {
    // 0x20: bit 2 lowToner by RFC 2790, bit 5 jammed counted from the low end.
    const { bits, notes } = read({ hex: '20' }, ['jammed']);
    expect(bits).toEqual(['jammed']);
    expect(notes[0]).toMatch(/lowest bit first.*jammed/);
  });

  test('without a witness, or with one for the standard order, the standard order stands', () => {
    expect(read({ hex: '20' }).bits).toEqual(['lowToner']);
    expect(read({ hex: '20' }, ['lowToner']).bits).toEqual(['lowToner']);
    expect(read({ hex: '20' }, ['lowToner', 'jammed']).bits).toEqual(['lowToner']);
    expect(read({ hex: '22' }, ['jammed']).bits).toEqual(['lowToner', 'offline']);
  });

  test('both orders name the same octet from either end', () => {
    expect(setBits(Buffer.from([0x80, 0x01]), 'most-significant-first')).toEqual([0, 15]);
    expect(setBits(Buffer.from([0x80, 0x01]), 'least-significant-first')).toEqual([7, 8]);
  });
});

describe('sub-unit status (RFC 3805 2.2.13.2.2)', () => {
  test('27 is the standard’s own example: broken, critical and non-critical alerts', () => {
    expect(readSubUnitStatus(27)).toEqual({
      availability: 'unavailableBecauseBroken',
      nonCriticalAlerts: true,
      criticalAlerts: true,
      offLine: false,
      transitioning: false,
    });
  });

  test.each(checks.subUnitStatus)('$value', ({ value, fields }) => {
    const status = readSubUnitStatus(value);
    expect(status?.nonCriticalAlerts).toBe(fields.includes(8));
    expect(status?.criticalAlerts).toBe(fields.includes(16));
    expect(status?.offLine).toBe(fields.includes(32));
    expect(status?.transitioning).toBe(fields.includes(64));
  });

  test.each([null, undefined, -1, 127, 1.5])('%s is none', (value) => {
    expect(readSubUnitStatus(value)).toBeNull();
  });
});

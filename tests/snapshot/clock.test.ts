import { describe, expect, test } from 'vitest';
import type { Evidence } from '../../src/model/evidence.js';
import type { EvidenceBundle } from '../../src/model/why.js';
import { clockOffset } from '../../src/snapshot/clock.js';

const AT = '2026-01-31T09:00:00.000Z';
const bundle = (...evidence: readonly object[]): EvidenceBundle => ({
  schema: 'outfeed.evidence/1',
  target: 'x',
  address: '192.0.2.21',
  askedAt: AT,
  tookMs: 0,
  evidence: evidence.map(
    (more, i) =>
      ({ id: `e${i}`, about: 'target', subject: 'x', outcome: 'answered', at: AT, tookMs: 2000, ...more }) as Evidence,
  ),
});
const ipp = (value: string) =>
  bundle({
    source: 'ipp',
    what: 'Get-Printer-Attributes',
    value: { attributes: { 'printer-current-time': [{ tag: 'dateTime', value }] } },
  });
const snmp = (hex: string) =>
  bundle({
    source: 'snmp',
    what: 'hrSystem',
    value: { kind: 'table', rows: { 0: { hrSystemDate: { hex } } }, problems: [] },
  });

describe('how far the clocks of the devices are from this one', () => {
  test('the middle one of those that told their time; the answer was under way for two seconds', () => {
    const offset = clockOffset([
      ipp('2026-01-31T10:05:01+01:00'),
      ipp('2026-01-31T09:00:01Z'),
      ipp('2026-01-31T09:06:41Z'),
      bundle(),
    ]);
    expect(offset).toEqual({ offsetSeconds: 300, spreadSeconds: 400, devices: 3, sources: ['printer-current-time'] });
  });

  test('DateAndTime of RFC 2579: its own example, 1992-5-26,13:30:15.0,-4:0', () => {
    expect(clockOffset([snmp('07c8051a0d1e0f002d0400')])).toBeUndefined();
    // The same form for 2026-01-31 05:00:31 at four hours west.
    expect(clockOffset([snmp('07ea011f05001f002d0400')])).toEqual({
      offsetSeconds: 30,
      spreadSeconds: 0,
      devices: 1,
      sources: ['hrSystemDate'],
    });
  });

  test('nothing is known where nobody told, where the hour is not said for a zone, or where the clock was never set', () => {
    expect(
      clockOffset([bundle(), snmp('07ea011f05001f00'), ipp('1970-01-01T00:00:00Z'), ipp('no time')]),
    ).toBeUndefined();
  });
});

import { describe, expect, test } from 'vitest';
import { readFacts } from '../../src/facts/facts.js';
import type { PjlEvidence } from '../../src/model/evidence.js';
import { bundleOf, HEALTHY, ippPrinter, type Site, snmpPrinter } from '../ladder/bundle.js';
import { channel, pjl } from '../ladder/sites-language.js';

const facts = (site: Site) => readFacts(bundleOf(site));
const ALONE: Site = { tcp: { 9100: 'open' } };
const signalsOf = (site: Site) =>
  (facts(site).condition?.signals ?? []).filter((s) => s.witness === 'pjl').map((s) => `${s.weight} ${s.reason}`);

describe('what the raw port said', () => {
  test('a code with its meaning, the display cleaned', () => {
    const said = pjl(40021, false, { display: '12 COVER\u001b OPEN ' });
    expect(facts({ ...ALONE, more: [said] }).pjl).toMatchObject({
      port: 9100,
      code: 40021,
      about: 'attention needed',
      bearing: 'halts',
      reason: 'cover-open',
      display: '12 COVER OPEN',
      online: false,
    });
  });

  test('silence and garbage say nothing', () => {
    for (const outcome of ['silent', 'garbled', 'refused', 'failed'] as const) {
      const record = { ...pjl(40021, false), outcome } as PjlEvidence;
      const found = facts({ ...ALONE, more: [record, { ...record, value: null }] });
      expect(found.pjl).toMatchObject({ outcome, code: null, reason: null, online: null });
      expect(found.condition).toBeUndefined();
    }
  });

  test('not asked', () => {
    expect(facts(HEALTHY).pjl).toBeUndefined();
  });
});

describe('its weight alone', () => {
  test.each<[string, number | null, boolean | null, readonly string[], boolean | null]>([
    ['ready', 10001, true, [], false],
    ['on-line, no code', null, true, [], false],
    ['off-line, no code', null, false, ['stop offline'], true],
    ['off-line although ready', 10001, false, ['stop offline'], true],
    ['put off-line', 10002, null, ['stop offline'], true],
    ['warming up, not yet on-line', 10003, false, ['warn warming-up'], null],
    ['toner low', 10006, true, ['warn toner-low'], false],
    ['toner low, off-line', 10006, false, ['warn toner-low', 'stop offline'], true],
    ['toner low, waits for somebody', 40038, false, ['warn toner-low', 'stop stopped'], true],
    ['a tray empty, another serves', 11304, true, ['warn media-empty'], false],
    ['memory full, went on by itself', 30016, true, ['warn interpreter-memory-exhausted'], null],
    ['memory full, waits', 30016, false, ['stop interpreter-memory-exhausted'], true],
    ['cover open', 40021, false, ['stop cover-open'], true],
    ['a halting code nobody knows', 40999, true, ['stop stopped'], true],
    ['an output bin nobody knows, off-line', 15999, false, ['stop stopped'], true],
    ['our own question misunderstood', 20001, true, [], null],
    ['a code outside all groups', 98_765, true, [], null],
  ])('%s', (_name, code, online, signals, stopped) => {
    const site = { ...ALONE, more: [pjl(code, online)] };
    expect(signalsOf(site)).toEqual(signals);
    expect(facts(site).condition?.stopped).toBe(stopped);
  });
});

describe('its weight beside the other words', () => {
  const open = pjl(40021, false);
  test.each<[string, Site, string]>([
    ['SNMP says down', { ...HEALTHY, snmp: snmpPrinter({ device: 5, printer: 1 }), ipp: 'refused' }, 'stop cover-open'],
    ['SNMP says running', { ...HEALTHY, ipp: 'refused' }, 'warn cover-open'],
    ['SNMP says printing', { ...HEALTHY, snmp: snmpPrinter({ printer: 4 }), ipp: 'refused' }, 'warn cover-open'],
    ['IPP is idle without a reason', { ...HEALTHY, snmp: 'silent' }, 'warn cover-open'],
    [
      'IPP is idle with a reason',
      { ...HEALTHY, snmp: 'silent', ipp: { attributes: ippPrinter({ reasons: ['cover-open-warning'] }) } },
      'stop cover-open',
    ],
    [
      'IPP has stopped',
      { ...HEALTHY, snmp: 'silent', ipp: { attributes: ippPrinter({ state: 5 }) } },
      'stop cover-open',
    ],
  ])('%s', (_name, site, signal) => {
    expect(signalsOf({ ...site, more: [open] })).toEqual([signal]);
  });
});

describe('the raw channel in the printer’s own table', () => {
  const raw = (state: number, status: number, printer = 3) =>
    facts({ ...HEALTHY, snmp: { ...snmpPrinter({ printer }), ...channel(state, status) } }).rawChannel;

  // PrtChannelStateTC 3 printDataAccepted, 4 noDataAccepted; PrtSubUnitStatusTC: RFC 3805 2.2.13.2.2.
  test.each([
    [3, 0, { takesData: true, inUse: false }],
    [3, 4, { takesData: true, inUse: true }],
    [4, 6, { takesData: false, inUse: true }],
    [1, 8, { takesData: null, inUse: false }],
    [3, 12, { takesData: true, inUse: true }],
    [3, -2, { takesData: true, inUse: false }],
  ])('state %i, status %i', (state, status, expected) => {
    expect(raw(state, status)).toMatchObject(expected);
  });

  test('no raw channel, no fact', () => {
    expect(facts(HEALTHY).rawChannel).toBeUndefined();
    const ipp = { prtChannelTable: { '1.1': { prtChannelType: 44, prtChannelState: 3, prtChannelStatus: 6 } } };
    expect(facts({ ...HEALTHY, snmp: { ...snmpPrinter({}), ...ipp } }).rawChannel).toBeUndefined();
  });
});

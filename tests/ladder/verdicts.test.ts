import { describe, expect, test } from 'vitest';
import { LAYERS } from '../../src/model/layers.js';
import { judge } from '../../src/verdict/verdict.js';
import { bundleOf, HEALTHY, ippPrinter, type Site, snmpPrinter } from './bundle.js';
import { CASES, REFUSED } from './sites.js';

describe('a site and its verdict', () => {
  test.each(CASES.map((c) => [c.name, c] as const))('%s', (_name, c) => {
    const document = judge(bundleOf(c.site));
    expect(`${document.verdict.layer}/${document.verdict.cause}`).toBe(c.verdict);
    if (c.certainty) expect(document.verdict.certainty).toBe(c.certainty);
    if (c.component) expect(document.verdict.component).toBe(c.component);
    if (c.others) expect(document.others.map((o) => o.cause)).toEqual(c.others);
    if (c.warnings) expect(document.warnings.map((o) => o.cause)).toEqual(expect.arrayContaining([...c.warnings]));
    expect(document.silent).toBe(c.verdict !== 'application/nothing-wrong-found');
  });

  test.each(CASES.map((c) => [c.name, c] as const))('%s: the document holds together', (_name, c) => {
    const bundle = bundleOf(c.site);
    const document = judge(bundle);
    const ids = new Set(bundle.evidence.map((e) => e.id));
    expect(document.layers.map((l) => l.layer)).toEqual(LAYERS);
    for (const layer of document.layers) {
      expect(layer.evidence.every((id) => ids.has(id))).toBe(true);
      if (layer.state === 'clear' || layer.state === 'fault') expect(layer.evidence.length).toBeGreaterThan(0);
      expect(layer.summary).not.toMatch(/[{}]|undefined|null/);
    }
    expect(document.verdict.summary).toMatch(/^[A-Z“"].*[.?!"”]$/);
    expect(document.verdict.next.length).toBeGreaterThan(0);
    expect(judge(bundle)).toEqual(document);
  });
});

describe('not enough evidence', () => {
  test('nothing asked: no layer is clear, nothing is called well', () => {
    const document = judge({ ...bundleOf({ address: null }), evidence: [] });
    expect(document.layers.filter((l) => l.state === 'clear')).toEqual([]);
    expect(document.silent).toBeNull();
    expect(document.verdict.cause).not.toBe('nothing-wrong-found');
    expect(document.checks.length).toBeGreaterThan(0);
  });

  test('silent with a link on its switch port: it has power and cable, more can not be told', () => {
    const site = { tcp: { 631: 'EHOSTUNREACH', 9100: 'EHOSTUNREACH' }, snmp: 'silent', ipp: 'silent' } as const;
    const seen = { port: 14, operStatus: 'up', macs: ['02:00:5e:00:00:aa'] };
    const document = judge(bundleOf({ ...site, route: 'onlink', mac: 'failed', gateway: 'alive', switch: seen }));
    expect(document.layers.slice(0, 2).map((l) => l.state)).toEqual(['clear', 'clear']);
    expect(document.silent).toBeNull();
  });

  test('only the raw port answers: neither well nor ill', () => {
    const document = judge(bundleOf({ tcp: { ...REFUSED, 9100: 'open' }, snmp: 'silent', ipp: 'refused' }));
    expect(document.silent).toBeNull();
    expect(document.layers.find((l) => l.layer === 'port')?.state).toBe('clear');
    expect(document.layers.find((l) => l.layer === 'device')?.state).toBe('unknown');
    expect(document.suspects.length).toBeGreaterThan(1);
  });
});

describe('what a layer says without a finding of its own', () => {
  const entry = (layer: string, site: Site) => {
    const found = judge(bundleOf(site)).layers.find((l) => l.layer === layer);
    return { state: found?.state, summary: found?.summary };
  };

  // PrtInputTypeTC: sheetFeedManual(5). Levels: RFC 3805 prtInputCurrentLevel.
  test.each([
    [[{ level: 90 }, { level: 0, type: 5 }], 'clear', 'Paper in 1 of 2 trays by its own word.'],
    [[{ level: -3 }, { level: -2 }], 'clear', 'Paper in 1 of 2 trays by its own word.'],
    [[{ level: 0, type: 5 }], 'unknown', 'Paper in 0 of 1 trays by its own word.'],
    [[{ level: -2 }, { level: 0, type: 5 }], 'clear', 'It complains of no paper fault.'],
  ])('media, trays %j', (levels, state, summary) => {
    const trays = levels.map((tray, at) => ({ name: `Tray ${at + 1}`, ...tray }));
    expect(entry('media', { ...HEALTHY, snmp: snmpPrinter({ trays }) })).toEqual({ state, summary });
  });

  test('device, stopped for want of paper: not that it can print', () => {
    const ipp = { attributes: ippPrinter({ state: 5, reasons: ['media-empty'] }) };
    expect(entry('device', { ...HEALTHY, snmp: 'silent', ipp }).summary).toBe(
      'It has stopped, for a reason that another layer names.',
    );
  });
});

describe('who was asked where everybody is silent', () => {
  const site: Site = { tcp: { 631: 'EHOSTUNREACH', 9100: 'EHOSTUNREACH' }, snmp: 'silent', ipp: 'silent' };

  test.each([
    [{ gateway: 'silent', fellow: 'silent' }, 'its gateway 192.0.2.1 included'],
    [{ fellow: 'silent' }, 'as far as it was asked'],
  ] as const)('%j', (controls, words) => {
    const { verdict } = judge(bundleOf({ ...site, ...controls }));
    expect(verdict.cause).toBe('whole-subnet-silent');
    expect(verdict.summary).toContain(`, ${words}: `);
  });
});

test('the same device by its hardware address on the link: that entry is the evidence', () => {
  const mac = '02:00:5e:00:00:aa';
  const document = judge(
    bundleOf({ ...HEALTHY, route: 'onlink', mac, expected: { serial: 'SP300-before-its-new-board', mac } }),
  );
  const entry = document.evidence.find((e) => e.source === 'neighbour' && e.what === 'entry');
  const address = document.layers.find(({ layer }) => layer === 'address');
  expect(address).toMatchObject({ state: 'clear', evidence: expect.arrayContaining([entry?.id]) });
});

// A first refusal is tried again there for two seconds (from memory).
test('refusals that come late together, as on Windows, are no loss; one of them alone is', () => {
  const lost = (tcp: Site['tcp'] = {}) =>
    judge(bundleOf({ ...HEALTHY, tcp })).warnings.some(({ cause }) => cause === 'packets-lost');
  const open = { 631: 'open@4', 9100: 'open@5' };
  expect(lost({ ...open, 515: 'ECONNREFUSED@2040', 443: 'ECONNREFUSED@2035' })).toBe(false);
  expect(lost({ ...open, 515: 'ECONNREFUSED@1040', 443: 'ECONNREFUSED@4' })).toBe(true);
});

test('a code that the printer wants is not asked for at a computer (PWG 5100.11)', () => {
  const site = CASES.find(({ name }) => name === 'job waits at the printer: job-password-wait')?.site ?? {};
  expect(judge(bundleOf(site)).verdict.summary).toBe(
    'The job (9) waits for its code, entered at the printer, before it can go on.',
  );
});

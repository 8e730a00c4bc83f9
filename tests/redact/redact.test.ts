import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { EvidenceBundle } from '../../src/model/why.js';
import { listOf } from '../../src/printhost/history.js';
import { redact } from '../../src/redact/redact.js';
import { judge } from '../../src/verdict/verdict.js';
import { bundleOf } from '../ladder/bundle.js';
import { CASES } from '../ladder/sites.js';
import { hostReport } from '../printhost/report-builder.js';
import { type Planted, planted, savedBundles } from './planted.js';

const NOTHING_ORDINARY = async () => new Set<string>();
const SAVED = savedBundles();

async function hiddenOf(
  bundles: readonly EvidenceBundle[],
  ordinary: readonly string[] = [],
): Promise<readonly EvidenceBundle[]> {
  const words = new Set(ordinary);
  const all = { site: 'Harbour annex', bundles, past: [], people: {} };
  const { hidden } = await redact(all, async (asked) => new Set(asked.filter((word) => words.has(word.toLowerCase()))));
  return hidden.bundles;
}

const judgement = (bundle: EvidenceBundle) => {
  const { silent, verdict, others, warnings, suspects, layers } = judge(bundle);
  return {
    silent,
    verdict: [verdict.layer, verdict.cause, verdict.certainty],
    others: [...others, ...warnings].map(({ layer, cause, certainty }) => [layer, cause, certainty]),
    suspects,
    layers: layers.map(({ layer, state, cause }) => [layer, state, cause]),
  };
};

const octet = fc.integer({ min: 1, max: 254 });
const hexOf = (length: number) =>
  fc.string({ unit: fc.constantFrom(...'0123456789abcdef'), minLength: length, maxLength: length });
/** Letters that no text of the program or of the office has in this order: a mark in the middle tells them apart. */
const marked = fc
  .tuple(fc.string({ unit: fc.constantFrom(...'abcdefgäßñ'), minLength: 1, maxLength: 6 }), fc.nat(999_999))
  .map(([letters, n]) => `q${letters}zx${n}`);
const odd = fc.constantFrom('', ' & <b>', '"\'', '\\', ' %41', '‮', ' – Büro', ';', '=1', '\u{1f5a8}');
const values: fc.Arbitrary<Planted> = fc
  .record({
    words: fc.uniqueArray(marked, { minLength: 5, maxLength: 5 }),
    odd,
    octets: fc.tuple(octet, octet, octet),
    mac: hexOf(10),
    uuid: hexOf(32),
  })
  .map(({ words: [a = '', b = '', c = '', d = '', e = ''], octets, mac, uuid, odd: more }) => ({
    name: a,
    serial: `SN${b.replace(/[äßñ]/g, 'x')}`,
    place: `${c}${more}`,
    person: d,
    document: `${e}${more}`,
    address: `10.${octets.join('.')}`,
    mac: (`02${mac}`.match(/../g) ?? []).join(':'),
    uuid: uuid.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5'),
  }));

describe('a bundle without anything that tells whose it is', () => {
  test('nothing that was planted is left, whatever it was and wherever it stood', async () => {
    await fc.assert(
      fc.asyncProperty(values, fc.nat(SAVED.length - 1), async (secret, at) => {
        const bundle = planted(SAVED[at] as EvidenceBundle, secret);
        const text = JSON.stringify(await hiddenOf([bundle]));
        const found = Object.entries(secret).filter(([, value]) => text.includes(JSON.stringify(value).slice(1, -1)));
        expect(found).toEqual([]);
        expect(text).not.toContain(secret.mac.replaceAll(':', ''));
        expect(text).not.toContain(encodeURIComponent(secret.name));
      }),
      { numRuns: 60 },
    );
  });

  test('what was planted changes no verdict', async () => {
    await fc.assert(
      fc.asyncProperty(values, fc.nat(SAVED.length - 1), async (secret, at) => {
        const bundle = planted(SAVED[at] as EvidenceBundle, secret);
        const [hidden] = await hiddenOf([bundle]);
        expect(judgement(hidden as EvidenceBundle)).toEqual(judgement(bundle));
      }),
      { numRuns: 40 },
    );
  });

  test.each(CASES.map((c) => [c.name, c] as const))('%s: the same verdict', async (_name, { site }) => {
    const bundle = bundleOf(site);
    const [hidden] = await hiddenOf([bundle]);
    expect(judgement(hidden as EvidenceBundle)).toEqual(judgement(bundle));
  });
});

describe('stand-ins', () => {
  const two = () => [SAVED[0], SAVED[1]] as EvidenceBundle[];

  test('the same thing has the same one in every bundle, another thing another', async () => {
    const values = {
      name: 'quay-printer',
      address: '10.1.2.3',
      serial: 'XQ-77',
      place: 'Boat hall',
      person: 'mira.holm',
      document: 'Pay',
      mac: '02:11:22:33:44:55',
      uuid: '11111111-2222-4333-8444-555555555555',
    };
    const [first, second] = await hiddenOf([
      planted(two()[0] as EvidenceBundle, values),
      planted(two()[1] as EvidenceBundle, {
        ...values,
        name: 'loft-printer',
        address: '10.1.2.4',
        person: 'mira.holm',
      }),
    ]);
    const person = (bundle: EvidenceBundle | undefined) =>
      /"job-originating-user-name":\[\{"tag":"[a-zA-Z]+","value":"([^"]+)"/.exec(JSON.stringify(bundle))?.[1];
    expect(person(first)).toMatch(/^person-\d+$/);
    expect(person(second)).toBe(person(first));
    expect([first?.target, second?.target]).toEqual(['printer-1', 'printer-2']);
    expect(first?.address).not.toBe(second?.address);
  });

  test('are documentation addresses (RFC 5737, RFC 3849, RFC 9542) and keep an address that a device gave itself such a one', async () => {
    const base = SAVED[0] as EvidenceBundle;
    const tell = (address: string) =>
      ({ ...base, address, evidence: [{ ...base.evidence[0], subject: address }] }) as EvidenceBundle;
    const hidden = await hiddenOf([
      tell('10.0.0.7'),
      tell('169.254.17.4'),
      tell('fd12::9'),
      tell('fe80::a%eth0'),
      tell('127.0.0.1'),
    ]);
    const shown = hidden.map(({ address }) => address);
    expect(shown).toEqual([
      '203.0.113.1',
      expect.stringMatching(/^169\.254\./),
      '2001:db8::1',
      expect.stringMatching(/^fe80::/),
      '127.0.0.1',
    ]);
  });

  test('are never something that is hidden elsewhere', async () => {
    const base = SAVED[0] as EvidenceBundle;
    const tell = (target: string, address: string) => ({ ...base, target, address, evidence: [] }) as EvidenceBundle;
    const hidden = await hiddenOf([tell('printer-2', '203.0.113.2'), tell('printer-1', '203.0.113.1')]);
    const all = JSON.stringify(hidden.map(({ target, address }) => [target, address]));
    expect(all).toBe('[["printer-3","203.0.113.3"],["printer-4","203.0.113.4"]]');
  });

  test('300 printers have 300, none the beginning of another', async () => {
    const base = SAVED[0] as EvidenceBundle;
    const bundles = Array.from({ length: 300 }, (_, i) => ({
      ...base,
      target: `p${i}.site.example`,
      address: `10.0.${Math.floor(i / 200)}.${(i % 200) + 1}`,
      evidence: [],
    }));
    const names = (await hiddenOf(bundles)).map(({ target }) => target);
    expect(new Set(names).size).toBe(300);
    expect(names.filter((name) => names.some((other) => other !== name && other.startsWith(name)))).toEqual([]);
  });
});

describe('words that tell nothing by themselves', () => {
  test('a place called "toner" is hidden as a place, the toner stays; a serial number "1" leaves every other 1 alone', async () => {
    const base = SAVED.find(({ target }) => target === 'workshop') as EvidenceBundle;
    const values = {
      name: 'workshop',
      address: '10.1.2.3',
      serial: '1',
      place: 'toner',
      person: 'black',
      document: 'Ready',
      mac: '02:11:22:33:44:55',
      uuid: '11111111-2222-4333-8444-555555555555',
    };
    const bundle = JSON.parse(
      JSON.stringify(planted(base, { ...values, serial: 'SERIAL-TO-CHANGE' })).replaceAll('SERIAL-TO-CHANGE', '1'),
    ) as EvidenceBundle;
    const [hidden] = await hiddenOf([bundle], ['toner', 'black', 'ready']);
    const text = JSON.stringify(hidden);
    expect(text).toContain('black toner cartridge');
    expect(text).not.toContain('"sysLocation":"toner"');
    expect(text).not.toContain('"prtGeneralSerialNumber":"1"');
    expect(text).not.toMatch(/SN:1;/);
    expect(judgement(hidden as EvidenceBundle)).toEqual(judgement(bundle));
  });
});

test('a print host’s report: accounts, documents, computers and queues, in the events too', async () => {
  const report = hostReport({
    ranAs: { user: 'ANNEX\\mira', groups: ['ANNEX\\Clerks'], elevated: true },
    events: [
      {
        provider: 'Microsoft-Windows-PrintService',
        id: 307,
        at: '2026-01-31T08:00:00.000Z',
        data: {
          param1: '7',
          param2: 'Dismissal letter',
          param3: 'mira',
          param4: '\\\\PC-OF-MIRA',
          param5: 'front-desk',
          param6: 'IP_192.0.2.21',
        },
      },
    ],
  });
  const record = {
    id: 'e1',
    source: 'spooler',
    what: 'print-host report',
    about: 'queue',
    subject: report.host,
    outcome: 'answered',
    at: report.madeAt,
    tookMs: 0,
    value: { kind: 'report', report },
  };
  const { hidden } = await redact(
    { site: null, bundles: [{ ...(SAVED[0] as EvidenceBundle), evidence: [record] as never }], past: [], people: {} },
    NOTHING_ORDINARY,
  );
  const text = JSON.stringify(hidden);
  for (const word of [
    'mira',
    'annex',
    'clerks',
    'dismissal',
    'pc-of',
    'front-desk',
    '192.0.2.21',
    report.host.toLowerCase(),
  ])
    expect(text.toLowerCase()).not.toContain(word);
  expect(hidden.bundles[0]?.evidence[0]?.value).toMatchObject({
    report: { ranAs: { user: 'group-1\\person-1', groups: ['group-1\\group-2'] }, drivers: [{ version: '4.1.0.0' }] },
  });
});

describe('forms that tell of somebody where nothing else does', () => {
  const attribute = (tag: string, value: string) => [{ tag, value }];
  const hiddenText = async (attributes: object): Promise<string> => {
    const record = { ...(SAVED[0] as EvidenceBundle).evidence[0], source: 'ipp', value: { attributes } };
    const [hidden] = await hiddenOf([{ ...(SAVED[0] as EvidenceBundle), evidence: [record] as never }]);
    return JSON.stringify((hidden as EvidenceBundle).evidence[0]?.value);
  };

  // RFC 5870; printer-geo-location is of the IPP registry, PWG 5100.13.
  test('where a printer stands on earth, and a number to call', async () => {
    const text = await hiddenText({
      'printer-geo-location': attribute('uri', 'geo:38.7223,-9.1393;u=5'),
      'printer-support-uri': attribute('uri', 'tel:+351-21-555-0100'),
      'printer-state-message': attribute('textWithoutLanguage', 'Stands at geo:12.25,-3.5, ready'),
    });
    expect(text).not.toMatch(/38\.7|9\.13|555|12\.25|3\.5/);
    expect(text).toMatch(/Stands at place-\d+/);
  });

  // RFC 6531 section 3.3; an apostrophe is atext of RFC 5322 section 3.2.3.
  test.each(['jörg.müller@quay.example', "o'hara@quay.example", 'mira@büro.example', 'jo\u0308rg@quay.example'])(
    'the address %s in running text',
    async (mail) => {
      const text = await hiddenText({ 'printer-state-message': attribute('textWithoutLanguage', `Call ${mail} now`) });
      expect(text).toMatch(/Call person-\d+@host-\d+\.domain-\d+\.example now|Call person-\d+@[^ ]+ now/);
      expect(text).not.toMatch(/jo|rg|hara|mira|ller|b\u00fcro|quay/);
    },
  );

  test('a share of another computer, in running text', async () => {
    const said = 'Waits for \\\\HOLM-PC\\Canteen and \\\\HOLM-PC\\print$';
    const text = await hiddenText({ 'printer-state-message': attribute('textWithoutLanguage', said) });
    expect(text).not.toMatch(/holm|canteen/i);
    expect(text).toContain('\\\\print$');
  });
});

test('a print host’s ports and events that are listed nowhere', async () => {
  const port = { monitor: 'Local Port', hostAddress: null, portNumber: null, protocol: null, lprQueue: null };
  const event = (id: number, data: Record<string, string>) => ({
    provider: 'Microsoft-Windows-PrintService',
    id,
    at: '2026-01-31T08:00:00.000Z',
    data,
  });
  const report = hostReport({
    ports: [
      { ...port, name: '\\\\HOLM-PC\\Canteen' },
      { ...port, name: 'Desk of Holm' },
      { ...port, name: 'IP_10.9.8.7' },
      { ...port, name: 'USB001' },
    ],
    events: [
      event(372, { param1: 'Dismissal', param2: 'otto', param3: 'quay', param9: '\\\\PC-OTTO' }),
      event(309, { Param1: '7', Param2: 'Pay rise', Param3: 'anna', Param4: '0x5' }),
    ],
  });
  const record = { ...(SAVED[0] as EvidenceBundle).evidence[0], source: 'spooler', value: { kind: 'report', report } };
  const [hidden] = await hiddenOf([{ ...(SAVED[0] as EvidenceBundle), evidence: [record] as never }]);
  const [{ value }] = (hidden as EvidenceBundle).evidence as unknown as [{ value: { report: typeof report } }];
  const shown = value.report;
  expect(JSON.stringify(shown)).not.toMatch(/holm|canteen|10\.9|dismissal|otto|"quay|pay rise|anna/i);
  expect(listOf(shown.ports).map(({ name }) => name)).toEqual([
    expect.stringMatching(/^\\\\host-\d+\\queue-\d+$/),
    expect.stringMatching(/^queue-\d+$/),
    expect.stringMatching(/^IP_203\.0\.113\.\d+$/),
    'USB001',
  ]);
  expect(listOf(shown.events)[1]).toMatchObject({ data: { Param1: '7', Param4: '0x5' } });
});

import { deflateSync } from 'node:zlib';
import fc from 'fast-check';
import { strToU8, zipSync } from 'fflate';
import iconv from 'iconv-lite';
import { describe, expect, test } from 'vitest';
import { sheetType } from '../../src/commands/sheet-type.js';
import { findLeak } from '../../src/redact/proof.js';
import { StandIns } from '../../src/redact/stand-ins.js';
import { TextRedactor } from '../../src/redact/text.js';
import { forCsv, forHtml } from '../../src/render/escape.js';
import { visitSheet } from '../../src/sheet/visit.js';
import { sampleSite } from '../render/site-samples.js';

function knowing(...hidden: readonly (readonly [Parameters<StandIns['note']>[0], string])[]): TextRedactor {
  const standIns = new StandIns();
  for (const [kind, value] of hidden) standIns.note(kind, value);
  const redactor = new TextRedactor(standIns);
  redactor.learnt(new Set());
  standIns.settle();
  return redactor;
}

const leakIn = (content: string | Uint8Array, redactor: TextRedactor, path = 'site.html') =>
  findLeak([{ path, octets: typeof content === 'string' ? Buffer.from(content, 'utf8') : content }], redactor);

const AROUND = 'Tray 2 is empty; see /ipp/print, 12345 pages. ';
const octets = (text: string): Buffer => Buffer.from(text, 'utf8');
const hex = (text: string): string => octets(text).toString('hex');

/** Ways to write a text down, by tools other than those that look for it. */
const WAYS: Readonly<Record<string, (text: string) => string | Uint8Array>> = {
  plain: (text) => AROUND + text,
  'in capitals': (text) => AROUND + text.toUpperCase(),
  'in JSON': (text) => JSON.stringify({ a: [AROUND, text] }),
  'in JSON, all escaped': (text) =>
    `"${[...text].map((c) => (c.length > 1 ? c : `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`)).join('')}"`,
  'in JSON within JSON': (text) => JSON.stringify(JSON.stringify({ a: text })),
  'in HTML': (text) => `<p>${forHtml(text)}</p>`,
  'as numeric entities': (text) => [...text].map((c) => `&#${c.codePointAt(0)};`).join(''),
  'as hexadecimal entities': (text) => [...text].map((c) => `&#x${c.codePointAt(0)?.toString(16)};`).join(''),
  'in CSV': (text) => `a,${forCsv(text)},b\r\n`,
  'percent-encoded': (text) => `ipp://h/${encodeURIComponent(text)}`,
  'percent-encoded, every octet': (text) => hex(text).replace(/../g, '%$&'),
  'in hex': (text) => `"hex":"${hex(text)}"`,
  'in hex, capitals and colons': (text) => (hex(text).toUpperCase().match(/../g) ?? []).join(':'),
  'in hex after other octets': (text) => `{"hex":"80007f01${hex(text)}00"}`,
  'as escapes of octets': (text) => hex(text).replace(/../g, '\\x$&'),
  'in Base64': (text) => octets(text).toString('base64'),
  'in Base64, one octet on': (text) => octets(`:${text}`).toString('base64'),
  'in Base64, two octets on': (text) => octets(`xy ${text} after`).toString('base64url'),
  'in Base64, in lines': (text) =>
    (
      octets(`${AROUND}${AROUND}${text} ${AROUND}`)
        .toString('base64')
        .match(/.{1,76}/g) ?? []
    ).join('\r\n'),
  'as decimal octets of an identifier': (text) =>
    `1.3.6.1.4.1.32473.9.${octets(text).length}.${[...octets(text)].join('.')}`,
  'in UTF-16, little end first': (text) => iconv.encode(text, 'utf-16le'),
  'in UTF-16, big end first': (text) => iconv.encode(`${AROUND}${text}`, 'utf-16be'),
  'in UTF-16, from an odd place': (text) => Buffer.concat([Buffer.from([1]), iconv.encode(text, 'utf-16le')]),
  'in a stream of a PDF': (text) =>
    Buffer.concat([
      Buffer.from('%PDF-1.7\n1 0 obj <</Filter /FlateDecode>>\nstream\n'),
      deflateSync(octets(`BT (${text}) Tj ET`)),
      Buffer.from('\nendstream\nendobj\n'),
    ]),
  'in a stream of a PDF, in hex': (text) =>
    Buffer.concat([
      Buffer.from('%PDF-1.7\nstream\r\n'),
      deflateSync(Buffer.from(`BT <${hex(text)}> Tj ET`)),
      Buffer.from('\nendstream'),
    ]),
  'in an archive': (text) => zipSync({ 'a/b.txt': strToU8(`${AROUND}${text}`) }),
  'as a name in an archive': (text) => zipSync({ [`a/${text}.json`]: strToU8('{}') }),
  'in an archive in an archive': (text) => zipSync({ 'a.zip': zipSync({ 'b.json': strToU8(JSON.stringify(text)) }) }),
};

describe('what is hidden is found in whatever form it was left', () => {
  const words = fc
    .tuple(
      fc.string({ unit: fc.constantFrom(...'abcdefghijklmnopqrstuvwxyz'), minLength: 6, maxLength: 12 }),
      fc.constantFrom('', ' Holm', '-7', '.x', 'ü', '’s'),
    )
    .map(([word, more]) => word + more);

  test.each(Object.entries(WAYS))('%s', (_how, write) => {
    fc.assert(
      fc.property(words, (word) => {
        const redactor = knowing(['person', word]);
        expect(leakIn(write(word), redactor)).toMatchObject({ kind: 'person' });
        expect(leakIn(write('Tray 3 closed'), redactor)).toBeUndefined();
      }),
      { numRuns: 40 },
    );
  });

  test('in the name of a file', () => {
    expect(leakIn('{}', knowing(['printer', 'quay-office']), 'evidence/Quay-Office.json')).toMatchObject({
      how: 'its name',
    });
  });

  const MAC = '02:a1:b2:c3:d4:5e';
  test.each([
    ['with hyphens', '02-A1-B2-C3-D4-5E'],
    ['with dots', '02a1.b2c3.d45e'],
    ['bare', 'PRN02A1B2C3D45E'.replace('PRN', 'PRN ')],
    ['as decimal octets', '.17.4.3.1.1.2.161.178.195.212.94'],
    ['in an engine id (RFC 3411, format 3)', '80007f890302a1b2c3d45e'],
    ['in Base64', Buffer.from('ff02a1b2c3d45e00', 'hex').toString('base64')],
  ])('a hardware address %s', (_how, text) => {
    expect(leakIn(text, knowing(['mac', MAC]))).toMatchObject({ kind: 'mac' });
  });

  test.each([
    ['in a URI', 'http://192.0.2.5:631/'],
    ['as an index', '1.3.6.1.2.1.4.22.1.2.1.192.0.2.5'],
    ['turned round', '5.2.0.192.in-addr.arpa'],
    ['as octets', '"hex":"c0000205"'],
    ['as octets, apart', 'C0:00:02:05'],
    ['as one number', 'http://3221225989/'],
  ])('an IPv4 address %s', (_how, text) => {
    expect(leakIn(text, knowing(['ipv4', '192.0.2.5']))).toMatchObject({ kind: 'ipv4' });
    expect(leakIn(text.replace(/5(?=\D*$)|05/, '55'), knowing(['ipv4', '192.0.2.6']))).toBeUndefined();
  });

  test.each([
    ['in full', '2001:0db8:0000:0000:0000:0000:00ab:0001'],
    ['with zeros', '2001:DB8:0:0:0:0:AB:1'],
    ['turned round (RFC 3596)', '1.0.0.0.b.a.0.0.0.0.0.0.0.0.0.0.0.0.0.0.0.0.0.0.8.b.d.0.1.0.0.2.ip6.arpa'],
    ['as octets', '20010db80000000000000000 00ab0001'.replace(' ', '')],
  ])('an IPv6 address %s', (_how, text) => {
    expect(leakIn(text, knowing(['ipv6', '2001:db8::ab:1']))).toMatchObject({ kind: 'ipv6' });
  });
});

test('text that a sheet shows in glyphs of its own font is read', async () => {
  const octets = await visitSheet(sampleSite(), await sheetType());
  for (const word of ['front-desk', 'Harbour annex', 'Tray 2']) {
    expect(leakIn(octets, knowing(['printer', word]), 'visit.pdf'), word).toMatchObject({ kind: 'printer' });
  }
  expect(leakIn(octets, knowing(['printer', 'loft-printer']), 'visit.pdf')).toBeUndefined();
});

describe('what is not hidden is not blamed', () => {
  test('a longer word, a longer number, a short word in noise', () => {
    const redactor = knowing(['person', 'mira'], ['ipv4', '192.0.2.2'], ['serial', '1'], ['serial', '6000']);
    expect(leakIn('An admiral admires 192.0.2.21 and 192.0.2.25, 1 of 6000.', redactor)).toBeUndefined();
    expect(leakIn(Buffer.from('zzmirazz').toString('base64'), redactor)).toBeUndefined();
  });

  test('random octets in Base64 and hex, over and over: chance makes no leak', () => {
    const redactor = knowing(
      ['person', 'tovean'],
      ['document', 'ledger'],
      ['place', 'basement'],
      ['mac', '02:a1:b2:c3:d4:5e'],
    );
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 200, maxLength: 2000 }), (noise) => {
        const text = `${Buffer.from(noise).toString('base64')} ${Buffer.from(noise).toString('hex')}`;
        expect(leakIn(text, redactor)).toBeUndefined();
      }),
      { numRuns: 200 },
    );
  });
});

import { Buffer } from 'node:buffer';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readFacts } from '../../src/facts/facts.js';
import { readJobFile } from '../../src/facts/job-file.js';
import type { Evidence } from '../../src/model/evidence.js';
import { sniff } from '../../src/wire/job/sniff.js';
import { bool, bundleOf, HEALTHY, ippPrinter, keywords, type Site, snmpPrinter, texts } from '../ladder/bundle.js';
import { interpreters, jobFile } from '../ladder/sites-language.js';

const facts = (site: Site) => readFacts(bundleOf(site));
const kept = (value: unknown): Evidence => ({ ...jobFile('%!PS\n'), id: 'e1', value }) as Evidence;

describe('a kept job file', () => {
  test('name, size and language', () => {
    expect(readJobFile([{ ...jobFile('%!PS\n', 'a\u001bb.ps'), id: 'e1' } as Evidence])).toMatchObject({
      name: 'ab.ps',
      bytes: 5,
      sniffed: { language: 'postscript' },
      evidence: ['e1'],
    });
  });

  test('anything else that a file may hold is refused, and nothing is thrown', () => {
    fc.assert(
      fc.property(fc.anything(), fc.anything(), (value, sniffed) => {
        readJobFile([kept(value)]);
        expect(
          readJobFile([kept({ name: 7, bytes: 'many', sniffed: { ...Object(sniffed), language: 'none' } })]),
        ).toBeUndefined();
      }),
    );
    expect(readJobFile([kept({ name: 7, bytes: 'many', sniffed: sniff(Buffer.from('%!')) })])).toMatchObject({
      name: 'the job file',
      bytes: 0,
    });
  });
});

describe('what the printer reads', () => {
  test('languages without control languages, formats without "anything", words of the command set', () => {
    const site: Site = {
      ...HEALTHY,
      snmp: { ...snmpPrinter({}), ...interpreters(3, 5, 37, 6) },
      ipp: {
        attributes: ippPrinter({
          more: {
            'document-format-supported': texts(
              'Application/PDF',
              'application/octet-stream',
              'text/plain; charset=utf-8',
            ),
            'printer-device-id': texts('MFG:Wren;CMD:PCL5e, POSTSCRIPT,;MDL:Tag;'),
          },
        }),
      },
    };
    const { accepts } = facts(site);
    expect(accepts).toMatchObject({
      labels: ['langPCL', 'langPS'],
      labelsOpen: false,
      formats: ['application/pdf', 'text/plain'],
      commands: ['PCL5e', 'POSTSCRIPT'],
    });
    const ids = new Set(bundleOf(site).evidence.map((e) => e.id));
    expect(accepts?.evidence.length).toBe(2);
    for (const id of accepts?.evidence ?? []) expect(ids).toContain(id);
  });

  test('rows that name no language leave the list open', () => {
    const site = { ...HEALTHY, snmp: { ...snmpPrinter({}), ...interpreters(6, 1, 4711) } };
    expect(facts(site).accepts).toMatchObject({ labels: ['langPS'], labelsOpen: true });
  });

  test('a printer that was not read', () => {
    expect(facts({ tcp: { 9100: 'open' } }).accepts).toBeUndefined();
  });
});

describe('room for a page', () => {
  const printer = (kilobytes: number | null, more: Parameters<typeof ippPrinter>[0]['more'] = {}): Site => ({
    ...HEALTHY,
    snmp: {
      ...snmpPrinter({}),
      ...(kilobytes === null
        ? {}
        : {
            hrStorageTable: {
              1: {
                hrStorageType: { oid: '1.3.6.1.2.1.25.2.1.2' },
                hrStorageAllocationUnits: 1024,
                hrStorageSize: kilobytes,
              },
            },
          }),
    },
    ipp: { attributes: ippPrinter({ ...(more === undefined ? {} : { more }) }) },
  });
  const resolution = (x: number, units = 'dpi') => [{ tag: 'resolution', value: { x, y: x, units } }];
  const A4 = { 'media-default': keywords('iso_a4_210x297mm'), 'printer-resolution-default': resolution(600) };

  // 4356936 octets: A4 at 600 dpi, 1 bit, rows padded (computed; tests/wire/job/page-raster.json).
  test.each<[string, Site, string, object | undefined]>([
    ['black at the default resolution', printer(1024, A4), '%!PS\n', { bytes: 4_356_936, stated: false }],
    [
      'four inks',
      printer(1024, { ...A4, 'color-supported': bool(true) }),
      '%!PS\n',
      { bytes: 4 * 4_356_936, memoryBytes: 1_048_576 },
    ],
    [
      'the resolution that the wrapper sets',
      printer(1024, A4),
      '\u001b%-12345X@PJL SET RESOLUTION=300\r\n@PJL ENTER LANGUAGE=PCL\r\n\u001bE',
      { bytes: 1_087_480 },
    ],
    ['no memory stated', printer(null, A4), '%!PS\n', undefined],
    ['no paper stated', printer(1024, { 'printer-resolution-default': resolution(600) }), '%!PS\n', undefined],
    ['paper nobody knows', printer(1024, { ...A4, 'media-default': keywords('__proto__') }), '%!PS\n', undefined],
    ['not a page language', printer(1024, A4), 'Good morning.\n', undefined],
  ])('%s', (_name, site, octets, expected) => {
    const { pageNeed } = facts({ ...site, more: [jobFile(octets)] });
    if (expected === undefined) expect(pageNeed).toBeUndefined();
    else expect(pageNeed).toMatchObject(expected);
  });

  test('a raster file states its page', () => {
    const octets = Buffer.alloc(1800);
    octets.write('RaS2PwgRaster\0', 'latin1');
    octets.writeUInt32BE(300, 4 + 276);
    octets.writeUInt32BE(3508, 4 + 376);
    octets.writeUInt32BE(7440, 4 + 392);
    const { pageNeed } = facts({ ...printer(64), more: [jobFile(octets.toString('latin1'))] });
    expect(pageNeed).toMatchObject({ bytes: 3508 * 7440, memoryBytes: 65_536, stated: true });
  });
});

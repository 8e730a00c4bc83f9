import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { unzipSync } from 'fflate';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Office, startOffice } from '../../src/demo/office.js';
import type { SnapshotDocument } from '../../src/model/snapshot.js';
import type { WhyDocument } from '../../src/model/why.js';
import { createSystemNet } from '../../src/net/system-net.js';
import { outfeed } from '../commands/captured-io.js';
import { closed, published } from '../schemas/validator.js';

const PRINTERS = ['slipway', 'survey', 'print-server', 'workshop', 'lamp-store'];
/** What these devices tell of themselves, of their places and their users; none of it is a word of the program. */
const TELLING = [
  '127.35.83.',
  'SP300-1120',
  'SPC520-0455',
  'SP300-1142',
  'Yard, slipway hut',
  'Yard, workshop',
  'First floor, survey',
  'Harbour annex',
  'extension 12',
  'Basin 4, sheet 2',
  'jonas',
  'signe',
  'slipway',
];

describe('outfeed snapshot --redact, on made-up devices', () => {
  let office: Office;
  let folder: string;
  const net = { ...createSystemNet(), browse: async () => [] };
  const run = (...argv: string[]) => outfeed(argv, { cwd: folder, net: async () => net });

  beforeAll(async () => {
    office = await startOffice({ only: PRINTERS, prefix: '127.35.83', basePorts: { snmp: 0, ipp: 0, raw: 0, lpd: 0 } });
    folder = mkdtempSync(join(tmpdir(), 'outfeed-redact-'));
    writeFileSync(
      join(folder, 'outfeed.yaml'),
      office.configText.replace('timezone: UTC', 'timezone: Pacific/Chatham'),
    );
    for (const argv of [
      ['--out', 'plain'],
      ['--redact', '--out', 'hidden'],
      ['--redact', '--zip', '--out', 'hidden.zip'],
    ]) {
      expect((await run('snapshot', ...argv, '--timeout', '5000')).err).toBe('');
    }
  }, 120_000);
  afterAll(async () => {
    await office.close();
    rmSync(folder, { recursive: true, force: true });
  });

  const filesIn = (name: string): readonly (readonly [path: string, octets: Buffer])[] =>
    readdirSync(join(folder, name), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => [join(entry.parentPath, entry.name), readFileSync(join(entry.parentPath, entry.name))]);
  const site = (name: string): SnapshotDocument =>
    JSON.parse(readFileSync(join(folder, name, 'site.json'), 'utf8')) as SnapshotDocument;

  test('what is telling stands in the plain one, so that the search below can find something', () => {
    const all = filesIn('plain')
      .map(([, octets]) => octets.toString('latin1'))
      .join('\n');
    expect(TELLING.filter((word) => !all.includes(word))).toEqual([]);
  });

  test('nothing that is telling is left in any file or file name: as text, in hex, percent-encoded, in Base64', () => {
    const files = [
      ...filesIn('hidden'),
      ...Object.entries(unzipSync(readFileSync(join(folder, 'hidden.zip')))).map(
        ([path, octets]) => [path, Buffer.from(octets)] as const,
      ),
    ];
    expect(files.length).toBeGreaterThan(20);
    const found = files.flatMap(([path, octets]) => {
      const text = `${path.slice(path.lastIndexOf('hidden'))}\n${octets.toString('latin1')}`.toLowerCase();
      return TELLING.filter((word) => {
        const forms = [
          word,
          encodeURIComponent(word),
          Buffer.from(word).toString('hex'),
          Buffer.from(word).toString('base64').slice(0, -3),
        ];
        return forms.some((form) => text.includes(form.toLowerCase()));
      }).map((word) => `${word} in ${path}`);
    });
    expect(found).toEqual([]);
  });

  test('it says that it is redacted, holds to its schema, and judges every printer as the plain one does', () => {
    const [plain, hidden] = [site('plain'), site('hidden')];
    for (const validate of [published('snapshot'), closed('snapshot')]) {
      validate(hidden);
      expect(validate.errors ?? []).toEqual([]);
    }
    expect([plain.redacted, hidden.redacted, hidden.site, hidden.timezone]).toEqual([false, true, 'site-1', undefined]);
    const judged = ({ printers }: SnapshotDocument) =>
      printers.map(({ why }) => [why.silent, why.verdict.layer, why.verdict.cause, why.verdict.certainty]);
    expect(judged(hidden)).toEqual(judged(plain));
    expect(judged(hidden).map(([, , cause]) => cause)).toEqual(
      hidden.printers.map((_, i) => office.device(plain.printers[i]?.why.target ?? '').expect?.cause),
    );
  });

  test('each of its evidence files gives the verdict that stands in it, and each is named by its stand-in', async () => {
    const { printers } = site('hidden');
    const names = readdirSync(join(folder, 'hidden', 'evidence')).sort();
    expect(names).toEqual(printers.map(({ why }) => `${why.target}.json`).sort());
    for (const { why } of printers) {
      const { out } = await run('why', '--from', join('hidden', 'evidence', `${why.target}.json`), '--json');
      expect((JSON.parse(out) as WhyDocument).verdict).toEqual(why.verdict);
    }
  });

  test('the same thing has the same stand-in in every file', () => {
    const { printers } = site('hidden');
    const csv = readFileSync(join(folder, 'hidden', 'printers.csv'), 'utf8');
    for (const { why, printer } of printers) {
      expect(csv).toContain(`${why.target},${why.printer.address},`);
      expect(printer?.identity.name).toBe(why.target);
    }
  });
});

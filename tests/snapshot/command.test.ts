import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import addFormats from 'ajv-formats';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Io } from '../../src/commands/io.js';
import { commonOptions } from '../../src/commands/options.js';
import { runSnapshot } from '../../src/commands/snapshot.js';
import { type Office, startOffice } from '../../src/demo/office.js';
import type { Manifest, SnapshotDocument } from '../../src/model/snapshot.js';
import type { EvidenceBundle, WhyDocument } from '../../src/model/why.js';
import { createSystemNet } from '../../src/net/system-net.js';
import { judge } from '../../src/verdict/verdict.js';

const SCHEMAS = new URL('../../shared/schemas/', import.meta.url);
const PRINTERS = ['chart-room', 'drawing-room'];

interface Run {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

interface More {
  readonly out?: string;
  readonly json?: boolean;
  readonly config?: string;
  readonly snmpPort?: number | null;
  readonly signal?: AbortSignal;
}

describe('outfeed snapshot, on made-up devices', () => {
  let office: Office;
  let folder: string;

  beforeAll(async () => {
    office = await startOffice({
      only: PRINTERS,
      prefix: '127.35.81',
      basePorts: { snmp: 0, ipp: 0, raw: 0, lpd: 0 },
    });
    folder = mkdtempSync(join(tmpdir(), 'outfeed-snapshot-'));
    writeFileSync(join(folder, 'outfeed.yaml'), office.configText);
  });
  afterAll(async () => {
    await office.close();
    rmSync(folder, { recursive: true, force: true });
  });

  async function snapshot(targets: readonly string[], more: More = {}): Promise<Run> {
    const { out: named, signal, ...given } = more;
    let out = '';
    let err = '';
    const io: Io = {
      stdout: (text) => {
        out += text;
      },
      stderr: (text) => {
        err += text;
      },
      env: { HOME: folder },
      cwd: folder,
      isTty: false,
      stderrIsTty: false,
      columns: 80,
      color: false,
      // Listening for announcements would leave loopback.
      net: async () => ({ ...createSystemNet(), browse: async () => [] }),
      now: () => new Date('2026-01-31T09:00:00.000Z'),
      ...(signal === undefined ? {} : { signal }),
    };
    const options = commonOptions({ timeout: 1500, retries: 1, ...given });
    const code = await runSnapshot({ targets, options, ...(named === undefined ? {} : { out: named }) }, io);
    return { code, out, err };
  }

  function read<T>(...path: string[]): T {
    return JSON.parse(readFileSync(join(folder, ...path), 'utf8')) as T;
  }

  test('writes every configured printer to a new folder named after site and time', async () => {
    const { code, out } = await snapshot([]);
    expect(code).toBe(0);
    const name = 'outfeed-Harbour-annex-2026-01-31-0900';
    expect(out).toMatch(new RegExp(`^${name}\\n {2}site\\.html +2 printers: `));
    const names = ['alerts.csv', 'evidence', 'jobs.csv', 'manifest.json', 'printers.csv', 'site.html', 'site.json'];
    expect(readdirSync(join(folder, name)).sort()).toEqual([...names, 'supplies.csv', 'visit.pdf']);
    expect(
      readFileSync(join(folder, name, 'visit.pdf'))
        .subarray(0, 5)
        .toString(),
    ).toBe('%PDF-');
    const document = read<SnapshotDocument>(name, 'site.json');
    expect(document).toMatchObject({ schema: 'outfeed.snapshot/1', site: 'Harbour annex', redacted: false });
    expect(document.printers.map((entry) => entry.why.target)).toEqual(PRINTERS);
    for (const entry of document.printers) {
      const expected = office.device(entry.why.target).expect;
      expect([entry.why.verdict.layer, entry.why.verdict.cause]).toEqual([expected?.layer, expected?.cause]);
      expect(entry.supplies).toHaveLength(entry.printer?.supplies.length ?? 0);
    }
    const manifest = read<Manifest>(name, 'manifest.json');
    expect(manifest.program).toMatch(/^outfeed \d/);
    expect(manifest.files).toHaveLength(7 + PRINTERS.length);
  });

  test('after Ctrl-C it asks no further printer and leaves no folder behind', async () => {
    const given = { out: 'stopped', signal: AbortSignal.abort() };
    await expect(snapshot(PRINTERS, given)).rejects.toMatchObject({
      code: 'stopped',
      exitCode: 3,
      message: 'Stopped when 0 of 2 printers had been asked: nothing was written.',
    });
    expect(readdirSync(folder)).not.toContain('stopped');
  });

  test('what it writes holds to the published schemas', async () => {
    await snapshot(PRINTERS, { out: 'schemas' });
    const ajv = addFormats.default(new Ajv2020({ strict: false }));
    const wanted = {
      'site.json': 'snapshot-1',
      'manifest.json': 'manifest-1',
      'evidence/chart-room.json': 'evidence-1',
    };
    for (const [file, name] of Object.entries(wanted)) {
      const check = ajv.compile(JSON.parse(readFileSync(new URL(`${name}.json`, SCHEMAS), 'utf8')));
      check(read('schemas', file));
      expect(check.errors ?? []).toEqual([]);
    }
  });

  test('the evidence it keeps gives the verdict that it wrote', async () => {
    await snapshot(PRINTERS.slice(0, 1), { out: 'one' });
    const bundle = read<EvidenceBundle>('one', 'evidence', `${PRINTERS[0]}.json`);
    const [entry] = read<SnapshotDocument>('one', 'site.json').printers;
    expect(JSON.parse(JSON.stringify(judge(bundle)))).toEqual(entry?.why as WhyDocument);
  });

  test('a printer named twice, by name and by address, is one', async () => {
    const { address } = office.device('chart-room');
    await snapshot(['chart-room', 'chart-room', address], {
      out: 'twice',
      snmpPort: office.device('chart-room').snmpPort,
    });
    const { printers } = read<SnapshotDocument>('twice', 'site.json');
    expect(printers.map((entry) => entry.why.target)).toEqual(['chart-room']);
  });

  test('never writes into a folder that holds something; a taken default name gets a number', async () => {
    writeFileSync(join(folder, 'taken'), '');
    await expect(snapshot(PRINTERS.slice(0, 1), { out: 'taken' })).rejects.toThrow(/give another with --out/);
    await snapshot(PRINTERS.slice(0, 1));
    const { out } = await snapshot(PRINTERS.slice(0, 1));
    expect(out).toMatch(/^outfeed-Harbour-annex-2026-01-31-0900-\d\n/);
  });

  test('without targets and configured printers it takes what a sweep of the configured ranges finds', async () => {
    const bare = mkdtempSync(join(folder, 'bare-'));
    const { address, snmpPort } = office.device('drawing-room');
    writeFileSync(join(bare, 'outfeed.yaml'), `sweep: { ranges: [${address}] }\n`);
    const { code } = await snapshot([], { out: join(bare, 'out'), config: join(bare, 'outfeed.yaml'), snmpPort });
    expect(code).toBe(0);
    const { printers, site } = JSON.parse(readFileSync(join(bare, 'out', 'site.json'), 'utf8')) as SnapshotDocument;
    expect(site).toBe('site');
    expect(printers.map((entry) => entry.why.printer.address)).toEqual([address]);
  });

  test('no printer anywhere: nothing is written, exit 3', async () => {
    const bare = mkdtempSync(join(folder, 'none-'));
    writeFileSync(join(bare, 'outfeed.yaml'), 'sweep: { ranges: [127.35.81.250] }\n');
    const { code, err } = await snapshot([], { out: join(bare, 'out'), config: join(bare, 'outfeed.yaml') });
    expect(code).toBe(3);
    expect(err).toContain('No printer was found');
    expect(readdirSync(bare)).toEqual(['outfeed.yaml']);
  });

  test('--json prints the document alone on stdout, the list on stderr', async () => {
    const { out, err } = await snapshot(PRINTERS.slice(1), { out: 'json', json: true });
    expect(JSON.parse(out)).toEqual(read<SnapshotDocument>('json', 'site.json'));
    expect(err).toContain('site.html');
  });
});

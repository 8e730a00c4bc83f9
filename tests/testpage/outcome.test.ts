import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { type AddressInfo, createServer, type Server } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Io } from '../../src/commands/io.js';
import type { TestPageDocument } from '../../src/model/testpage.js';
import type { EvidenceBundle, WhyDocument } from '../../src/model/why.js';
import { openStore } from '../../src/store/store.js';
import { outfeed } from '../commands/captured-io.js';
import { printer } from '../store/samples.js';

const HOST = '127.35.67.1';
let folder: string;
let server: Server;
let target: string;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-outcome-'));
  server = createServer({ allowHalfOpen: true }, (socket) => socket.resume().on('end', () => socket.end()));
  await new Promise<void>((resolve) => server.listen(0, HOST, resolve));
  target = `socket://${HOST}:${(server.address() as AddressInfo).port}`;
});
afterAll(() => {
  server.close();
  rmSync(folder, { recursive: true, force: true });
});

const run = (argv: readonly string[], around: Partial<Io> = {}) =>
  outfeed(['testpage', target, '--via', 'raw', '--timeout', '1500', '--retries', '0', '--quiet', ...argv], {
    cwd: folder,
    ...around,
  });
const saved = (name: string) => JSON.parse(readFileSync(join(folder, name), 'utf8')) as EvidenceBundle;
const pageIn = (bundle: EvidenceBundle) => bundle.evidence.find(({ what }) => what === 'test-page')?.value;
const replies = (...lines: readonly string[]): Partial<Io> => {
  const left = [...lines];
  return { ask: async () => left.shift() };
};

describe('what a person saw', () => {
  test('is asked at a terminal, until it is y or n, and kept with the evidence', async () => {
    const { code, out, err } = await run(['--print', '--save', 'seen.json'], replies('maybe', 'y'));
    expect({ code, err }).toEqual({ code: 0, err: '  Please y or n.\n' });
    expect(out.replace(/\s+/g, ' ')).toContain('It came out.');
    expect(out.replace(/\s+/g, ' ')).toContain('So power to language work: outfeed why --from seen.json');
    expect(pageIn(saved('seen.json'))).toMatchObject({ via: 'raw', taken: true, cameOut: true });
  });

  test('is not asked after Ctrl-C while the printer was read: nothing is sent', async () => {
    const stopped = new AbortController();
    stopped.abort();
    const { code, out, err } = await run(['--print'], { signal: stopped.signal });
    expect({ code, out, err }).toEqual({
      code: 3,
      out: '',
      err: 'outfeed: Stopped before the page was sent: nothing is printed.\n',
    });
  });

  test('no: exit 1', async () => {
    const { code, out } = await run(['--print', '--save', 'unseen.json'], replies('n'));
    expect(code).toBe(1);
    expect(out).toContain('It did not come out.');
    expect(pageIn(saved('unseen.json'))).toMatchObject({ cameOut: false });
  });

  test('is not asked with --json, nor where nobody is there; then it says how to tell it', async () => {
    const { out } = await run(['--print', '--json'], replies('y'));
    expect((JSON.parse(out) as TestPageDocument).cameOut).toBeNull();
    expect((await run(['--print'])).out).toContain('--answer page-straight-to-address=yes');
  });

  test('may be told later, by --came-out without --print: nothing is sent', async () => {
    const { code, out } = await run(['--came-out', 'yes', '--save', 'later.json']);
    expect(code).toBe(0);
    expect(out).toMatch(/^Noted: a test page went by raw/);
    expect(pageIn(saved('later.json'))).toMatchObject({ taken: true, cameOut: true });
    const { code: wrong, err } = await run(['--came-out', 'perhaps']);
    expect(wrong).toBe(2);
    expect(err.trim().split('\n')).toHaveLength(1);
  });

  test('nothing sent and nothing seen: the evidence holds no page', async () => {
    await run(['--save', 'none.json']);
    expect(pageIn(saved('none.json'))).toBeUndefined();
  });
});

test('why --from takes the page into account, and says so', async () => {
  await run(['--print', '--save', 'page.json'], replies('y'));
  const { out } = await outfeed(['why', '--from', 'page.json', '--json'], { cwd: folder });
  const { layers, evidence, verdict } = JSON.parse(out) as WhyDocument;
  const page = evidence.find(({ what }) => what === 'test-page');
  expect(layers.find(({ layer }) => layer === 'supplies')).toMatchObject({ state: 'clear', evidence: [page?.id] });
  expect(['queue', 'job', 'application'], JSON.stringify(verdict)).toContain(verdict.layer);
  const text = await outfeed(['why', '--from', 'page.json'], { cwd: folder });
  expect(text.out.replace(/\s+/g, ' ')).toMatch(/a test page that was sent: by raw at .* UTC: it came out/);
});

describe('an agent’s memory', () => {
  const URL = 'sqlite:outfeed.db';
  const past = async () => {
    const store = await openStore(URL, { site: 'Harbour annex', folder, readOnly: true });
    const found = await store.past('front-desk');
    await store.close();
    return found?.testPages;
  };

  test('is not made where there is none', async () => {
    writeFileSync(join(folder, 'outfeed.yaml'), 'site: { name: Harbour annex }\n');
    const { out } = await run(['--print', '--json']);
    expect((JSON.parse(out) as TestPageDocument).remembered).toBe(false);
    expect(existsSync(join(folder, 'outfeed.db'))).toBe(false);
  });

  test('keeps the page, and why knows of it by itself', async () => {
    const store = await openStore(URL, { site: 'Harbour annex', folder });
    await store.apply([printer('front-desk', Date.now() - 1000, { address: HOST })]);
    await store.close();
    const { out } = await run(['--print'], replies('y'));
    expect(out).toContain("The agent's memory has it.");
    expect(await past()).toMatchObject([{ page: { via: 'raw', cameOut: true } }]);
    const why = await outfeed(['why', target, '--json', '--timeout', '1500', '--retries', '0', '--quiet'], {
      cwd: folder,
    });
    const { layers } = JSON.parse(why.out) as WhyDocument;
    expect(layers.find(({ layer }) => layer === 'supplies')?.state).toBe('clear');
  }, 60_000);

  test('of a printer that it does not know is left as it was', async () => {
    const elsewhere = target.replace(HOST, '127.35.67.9');
    const ran = await outfeed(
      [
        'testpage',
        elsewhere,
        '--via',
        'raw',
        '--came-out',
        'yes',
        '--json',
        '--timeout',
        '300',
        '--retries',
        '0',
        '--quiet',
      ],
      { cwd: folder },
    );
    expect((JSON.parse(ran.out) as TestPageDocument).remembered).toBe(false);
    expect(await past()).toHaveLength(1);
  });
});

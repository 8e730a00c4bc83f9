import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import type { QueueDocument } from '../../src/model/queue.js';
import { printHostSchema } from '../../src/model/schemas/print-host.js';
import { outfeed } from '../commands/captured-io.js';
import { closed, published } from '../schemas/validator.js';
import { ADDRESS, hostPort, hostReport } from './report-builder.js';
import { REPORTS } from './reports.js';

const folder = mkdtempSync(join(tmpdir(), 'outfeed-reports-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const quiet = { env: { OUTFEED_SPOOLER: 'none' } };

const QUEUE = [published('queue'), closed('queue')];
const HOST = [published('print-host'), closed('print-host')];

function expectValid(validators: typeof QUEUE, value: unknown): void {
  for (const validate of validators) {
    validate(value);
    expect(validate.errors ?? []).toEqual([]);
  }
}

function saved(name: string, content: string | Uint8Array): string {
  const file = join(folder, name);
  writeFileSync(file, content);
  return file;
}

test('there are at least 25 of them', () => {
  expect(REPORTS.length).toBeGreaterThanOrEqual(25);
});

test.each(REPORTS.map((row, i) => [row.name, row, i] as const))('%s', async (_name, row, i) => {
  expect(printHostSchema.safeParse(row.report).error?.issues ?? []).toEqual([]);
  const file = saved(`${i}.json`, JSON.stringify(row.report));
  const { code, out } = await outfeed(['queue', '--queue-report', file, '--json', ...(row.argv ?? [])], quiet);
  const document = JSON.parse(out) as QueueDocument;
  expect(document.queues[0]?.findings.map(({ cause }) => cause)).toEqual(row.causes);
  expect(code).toBe(row.code);
  if (row.suspect === null) expect(document.crashLoop?.suspect).toBeNull();
  if (row.suspect) expect(document.crashLoop?.suspect).toMatchObject(row.suspect);
  if (row.says) expect(out).toMatch(row.says);
  expectValid(QUEUE, document);
  expectValid(HOST, row.report);
});

test('a report as Windows tools write text: UTF-16 with its mark, or UTF-8 with one', async () => {
  const json = JSON.stringify(hostReport());
  for (const octets of [
    Buffer.from(`\uFEFF${json}`, 'utf16le'),
    Buffer.from(json, 'utf16le'),
    Buffer.from(`\uFEFF${json}`),
  ]) {
    expect((await outfeed(['queue', '--queue-report', saved('wide.json', octets), '--json'], quiet)).code).toBe(0);
  }
});

test.each([
  ['empty', '', /it is empty/],
  ['cut short', JSON.stringify(hostReport()).slice(0, 200), /it is not JSON, or cut short/],
  ['something else', '{"schema":"outfeed.why/1"}', /it is not what config\/print-host-report\.ps1 writes/],
  ['of a later version', '{"schema":"outfeed.print-host/2"}', /version 2, and this program knows version 1/],
  ['a field of the wrong type', JSON.stringify({ ...hostReport(), days: 'seven' }), /days: /],
  ['an empty list in place of a word', JSON.stringify({ ...hostReport(), spooler: [] }), /spooler: /],
])('%s: one sentence, exit 2', async (_name, text, says) => {
  const { code, err } = await outfeed(['queue', '--queue-report', saved('bad.json', text)], quiet);
  expect(code).toBe(2);
  expect(err).toMatch(says);
  expect(err.trim().split('\n')).toHaveLength(1);
});

test('a report beside a printer: "why" judges its queue, with the evidence kept and judged again', async () => {
  const report = hostReport({ ports: [hostPort({ hostAddress: '127.35.71.1' })], queues: hostReport().queues });
  const paused = { ...report, queues: (report.queues as readonly object[]).map((queue) => ({ ...queue, status: 1 })) };
  const file = saved('why.json', JSON.stringify(paused));
  const kept = join(folder, 'kept.json');
  const argv = [
    'why',
    '127.35.71.1',
    '--queue-report',
    file,
    '--save',
    kept,
    '--json',
    '--timeout',
    '200',
    '--retries',
    '0',
  ];
  const first = JSON.parse((await outfeed(argv, quiet)).out);
  expect(first.evidence.at(-1)).toMatchObject({ source: 'spooler', what: 'print-host report' });
  const named = [first.verdict, ...first.others].map(({ cause }: { cause: string }) => cause);
  expect(named).toContain('queue-paused');
  const again = JSON.parse((await outfeed(['why', '--from', kept, '--json'], quiet)).out);
  expect({ ...again, askedAt: 0, tookMs: 0 }).toEqual({ ...first, askedAt: 0, tookMs: 0 });
});

test('a port that leads elsewhere says the old and the new address', async () => {
  const config = saved('outfeed.yaml', `printers:\n  - { name: front-desk, address: 127.35.71.2 }\n`);
  const file = saved('elsewhere.json', JSON.stringify(hostReport()));
  const argv = ['queue', '--queue-report', file, '--config', config, '--json', '--timeout', '200', '--retries', '0'];
  const { out, code } = await outfeed(argv, quiet);
  const document = JSON.parse(out) as QueueDocument;
  expect(code).toBe(1);
  // The printer itself refuses too and stands first; where the queue leads is a finding of its own.
  const elsewhere = document.queues[0]?.findings.find(({ cause }) => cause === 'queue-points-elsewhere');
  expect(elsewhere?.summary).toContain(`sends its jobs to ${ADDRESS}; the printer is at 127.35.71.2`);
});

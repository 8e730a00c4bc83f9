import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { request } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import type { SnapshotDocument } from '../../src/model/snapshot.js';
import type { WhyDocument } from '../../src/model/why.js';
import { describeWithPeers } from '../peers/peer.js';
import { published } from '../schemas/validator.js';
import { freeTcpPort, type RunningProgram, startAgent } from './program.js';

const ADDRESS = '127.35.63.1';
const WELL = {
  name: 'front-desk',
  serial: 'EX-1',
  supplies: [{ name: 'Black toner', level: 4200, capacity: 6000 }],
};
let folder: string;
let port: number;
let device: RunningDevice;
let agent: RunningProgram;

interface Answered {
  readonly status: number;
  readonly type: string;
  readonly body: Buffer;
}

/** By hand, so that any header can be sent. */
function ask(path: string, headers: Record<string, string> = {}, method = 'GET'): Promise<Answered> {
  return new Promise((resolve, reject) => {
    const asked = request({ host: '127.0.0.1', port, path, method, headers }, (answer) => {
      const parts: Buffer[] = [];
      answer.on('data', (part: Buffer) => parts.push(part));
      answer.on('end', () =>
        resolve({
          status: answer.statusCode ?? 0,
          type: answer.headers['content-type'] ?? '',
          body: Buffer.concat(parts),
        }),
      );
    });
    asked.on('error', reject);
    asked.end();
  });
}
async function document<T>(path: string, schema: string, method = 'GET'): Promise<T> {
  const { status, type, body } = await ask(path, {}, method);
  expect({ status, type }).toEqual({ status: 200, type: 'application/json' });
  const read = JSON.parse(body.toString()) as T;
  const valid = published(schema);
  expect(valid(read), JSON.stringify(valid.errors)).toBe(true);
  return read;
}
/** Somebody who listens to the events. */
function listen(headers: Record<string, string> = {}) {
  let heard = '';
  const asked = request({ host: '127.0.0.1', port, path: '/api/v1/events', headers }, (answer) => {
    expect(answer.headers['content-type']).toBe('text/event-stream');
    answer.on('data', (part: Buffer) => {
      heard += part.toString();
    });
    answer.on('error', () => undefined);
  });
  asked.on('error', () => undefined);
  asked.end();
  return {
    heard: () => heard,
    leave: () => asked.destroy(),
    hears: async (words: RegExp) => {
      for (let i = 0; i < 600 && !words.test(heard); i++) await delay(50);
      expect(heard).toMatch(words);
    },
  };
}
const problemOf = ({ status, type, body }: Answered) => ({ ...JSON.parse(body.toString()), status, media: type });

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-api-'));
  port = await freeTcpPort();
  device = await startDevice(WELL, { address: ADDRESS });
  writeFileSync(
    join(folder, 'outfeed.yaml'),
    `site: { name: Harbour annex, timezone: UTC }
read: { every: 2s, inFault: 1s, timeout: 1s, retries: 0 }
page: { listen: "127.0.0.1:${port}" }
sweep: { ranges: ["${ADDRESS}"], every: 1d }
printers:
  - { name: front-desk, address: ${ADDRESS}, snmpPort: ${device.snmpPort}, ippUri: "${device.ippUri}" }
`,
  );
  agent = startAgent(folder);
  await agent.said(/a printer changed/);
}, 60_000);
afterAll(async () => {
  agent?.child.kill('SIGKILL');
  await agent?.ended;
  await device?.close();
  rmSync(folder, { recursive: true, force: true });
});

describe('what the agent answers over HTTP', () => {
  test('one printer, and why', async () => {
    const said = await document<{ identity: { serial: string } }>('/api/v1/printers/front-desk', 'printer');
    expect(said.identity.serial).toBe('EX-1');
    const why = await document<WhyDocument>('/api/v1/printers/front-desk/why', 'why');
    expect(why).toMatchObject({ target: 'front-desk', silent: false });
    const anew = await document<WhyDocument>('/api/v1/printers/front-desk/why', 'why', 'POST');
    expect(Date.parse(anew.askedAt)).toBeGreaterThanOrEqual(Date.parse(why.askedAt));
  });

  test.each(['snapshot?redact=true', 'queues?limit=1', 'supplies?asOf=2026-01-31'])(
    '%s: takes no parameters',
    async (path) => {
      const { status, body } = await ask(`/api/v1/${path}`);
      expect(status).toBe(400);
      expect(String(body)).toContain('takes no parameters');
    },
  );

  test('supplies out of the store, queues, printers', async () => {
    const supplies = () =>
      document<{ forecasts: { printer: string; percent: number }[] }>('/api/v1/supplies', 'supplies');
    // What was seen is written a little later.
    for (let i = 0; i < 100 && (await supplies()).forecasts.length === 0; i++) await delay(100);
    expect((await supplies()).forecasts).toMatchObject([{ printer: 'front-desk', percent: 70 }]);
    await document('/api/v1/queues', 'queue');
    await document('/api/v1/printers', 'printers');
    await document('/api/v1/incidents', 'incidents');
  });

  // The archive is read by another hand: the zipfile module of Python.
  describeWithPeers('and unpacked elsewhere', ['python3'], () => {
    test('a snapshot as an archive', async () => {
      const { status, type, body } = await ask('/api/v1/snapshot');
      expect({ status, type }).toEqual({ status: 200, type: 'application/zip' });
      writeFileSync(join(folder, 'site.zip'), body);
      execFileSync('python3', ['-m', 'zipfile', '-e', 'site.zip', 'unpacked'], { cwd: folder });
      const script =
        'import hashlib,json,pathlib\nd=next(pathlib.Path("unpacked").iterdir())\nm=json.loads((d/"manifest.json").read_text())\n' +
        'assert all(hashlib.sha256((d/f["path"]).read_bytes()).hexdigest()==f["sha256"] for f in m["files"])\nprint((d/"site.json").read_text())';
      const snapshot = JSON.parse(
        execFileSync('python3', ['-c', script], { cwd: folder }).toString(),
      ) as SnapshotDocument;
      expect(published('snapshot')(snapshot)).toBe(true);
      expect(snapshot.printers.map(({ why }) => why.target)).toEqual(['front-desk']);
    }, 60_000);
  });

  test('events as they come, and to whoever comes back those in between', async () => {
    const first = listen();
    const ports = { snmp: device.snmpPort ?? 0, ipp: device.ippPort ?? 0, raw: 0 };
    await first.hears(/from now on/);
    await device.close();
    device = await startDevice({ ...WELL, state: 'paused' }, { address: ADDRESS, ports });
    await first.hears(/event: fault/);
    const event = JSON.parse(/data: (.*)/.exec(first.heard())?.[1] ?? '{}');
    expect(event).toMatchObject({ kind: 'fault', printer: 'front-desk', cause: 'paused' });
    expect(published('event')(event)).toBe(true);
    expect(first.heard()).toContain(`id: ${event.id}\n`);
    first.leave();

    const other = listen();
    await device.close();
    device = await startDevice(WELL, { address: ADDRESS, ports });
    await other.hears(/event: cleared/);
    other.leave();
    // WHATWG HTML 9.2.4: the id of the last event that was heard.
    const back = listen({ 'Last-Event-ID': event.id });
    await back.hears(/event: cleared/);
    expect(back.heard()).not.toContain('event: fault');
    back.leave();
    const stranger = listen({ 'Last-Event-ID': 'of-another-agent' });
    await stranger.hears(/event: gap/);
    stranger.leave();
  }, 60_000);

  test('what is not there, and what may not be done', async () => {
    expect(problemOf(await ask('/api/v1/printers/cellar'))).toMatchObject({
      status: 404,
      media: 'application/problem+json',
    });
    expect(problemOf(await ask('/api/v1/printers/%E0%A4%A/why'))).toMatchObject({ status: 404 });
    expect(problemOf(await ask('/api/v1/printers/front-desk', {}, 'POST'))).toMatchObject({ status: 405 });
    expect(problemOf(await ask('/api/v1/printers/front-desk/why', {}, 'PUT'))).toMatchObject({
      status: 405,
      detail: 'This takes GET, HEAD, POST.',
    });
    expect(problemOf(await ask('/api/v1/supplies', {}, 'DELETE'))).toMatchObject({ status: 405 });
    expect(problemOf(await ask('/../../etc/passwd'))).toMatchObject({ status: 404 });
  });

  test('a name that was made to point here, and an action from elsewhere, are refused', async () => {
    const rebound = await ask('/api/v1/printers', { Host: 'printer-news.example' });
    expect(problemOf(rebound)).toMatchObject({ status: 403, detail: expect.stringContaining('Host header') });
    for (const host of [`localhost:${port}`, `127.0.0.1:${port}`, '[::1]']) {
      expect((await ask('/api/v1/printers', { Host: host })).status).toBe(200);
    }
    const path = '/api/v1/printers/front-desk/why';
    const forged = await ask(path, { Host: `127.0.0.1:${port}`, Origin: 'https://elsewhere.example' }, 'POST');
    expect(problemOf(forged)).toMatchObject({ status: 403, detail: 'An action may only come from here.' });
    const own = { Host: `127.0.0.1:${port}`, Origin: `http://127.0.0.1:${port}` };
    expect((await ask(path, own, 'POST')).status).toBe(200);
  });
});

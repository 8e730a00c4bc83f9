import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import { openStore } from '../../src/store/store.js';
import { outfeed } from '../commands/captured-io.js';
import { hostPort, hostQueue, hostReport } from '../printhost/report-builder.js';
import { published } from '../schemas/validator.js';
import { freeTcpPort, type RunningProgram, startAgent } from './program.js';
import { type Receiver, startReceiver } from './receiver.js';

const ADDRESS = '127.35.61';
let folder: string;
let port: number;
let receiver: Receiver;
let device: RunningDevice;
let running: RunningProgram[] = [];

const write = (more = '') =>
  writeFileSync(
    join(folder, 'outfeed.yaml'),
    `site: { name: Harbour annex, timezone: UTC }
sweep: { ranges: [${ADDRESS}.0/28], every: 1d, pace: brisk }
read: { every: 2s, inFault: 1s, timeout: 500ms, retries: 0 }
page: { listen: "127.0.0.1:${port}" }
printers:
  - { name: front-desk, address: ${ADDRESS}.1, snmpPort: ${device.snmpPort}, ippUri: "${device.ippUri}" }
tell:
  - webhook: { url: "${receiver.url}" }
${more}`.replace('500ms', '1s'),
  );
const start = (...more: string[]) => {
  const agent = startAgent(folder, ...more);
  running.push(agent);
  return agent;
};
const events = () =>
  receiver.deliveries.map(({ body }) => JSON.parse(body) as { kind: string; printer: string; cause: string });
const until = async (true_: () => boolean) => {
  for (let i = 0; i < 600 && !true_(); i++) await delay(50);
  expect(true_()).toBe(true);
};
const get = async (path: string, headers = {}) => {
  const answer = await fetch(`http://127.0.0.1:${port}${path}`, { headers });
  return { status: answer.status, type: answer.headers.get('content-type') ?? '', text: await answer.text() };
};
const open = () => startDevice({ name: 'front-desk', serial: 'EX-1' }, { address: `${ADDRESS}.1` });

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-agent-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
beforeEach(async () => {
  port = await freeTcpPort();
  receiver = await startReceiver();
  device = await open();
  for (const end of ['', '-wal', '-shm', '.lock']) rmSync(join(folder, `outfeed.db${end}`), { force: true });
  write();
});
afterEach(async () => {
  for (const { child, ended } of running) {
    child.kill('SIGKILL');
    await ended;
  }
  running = [];
  await device.close();
  await receiver.close();
});

describe('the agent as a process', () => {
  test('tells of a fault and of its end, answers who asks, and ends in order', async () => {
    const agent = start();
    await agent.said(/the page is served/);
    await until(() => agent.log.some(({ printer, silent }) => printer === 'front-desk' && silent === false));
    expect(await get('/healthz')).toMatchObject({ status: 200, text: 'alive\n' });
    expect(await get('/readyz')).toMatchObject({ status: 200, text: 'ready\n' });
    const { snmpPort, ippPort } = device;
    await device.close();
    const jam = { group: 'mediaPath', code: 'jam', severity: 'critical' };
    const ports = { snmp: snmpPort ?? 0, ipp: ippPort ?? 0, raw: 0 };
    device = await startDevice(
      { name: 'front-desk', serial: 'EX-1', alerts: [jam] },
      { address: `${ADDRESS}.1`, ports },
    );
    await until(() => events().some(({ kind, cause }) => kind === 'fault' && cause === 'media-jam'));
    const printers = JSON.parse((await get('/api/v1/printers')).text);
    expect(printers.printers).toMatchObject([
      { name: 'front-desk', silent: true, layer: 'device', cause: 'media-jam' },
    ]);
    expect(published('printers')(printers)).toBe(true);
    const incidents = JSON.parse((await get('/api/v1/incidents')).text);
    expect(incidents.incidents[0]).toMatchObject({ cause: 'media-jam', endedAt: null });
    expect(published('incidents')(incidents)).toBe(true);
    const id = incidents.incidents[0].id;
    const noted = await outfeed(['agent', '--acknowledge', id, '--note', 'Paper dust'], { cwd: folder });
    expect(noted).toMatchObject({ code: 0, err: '' });
    await device.close();
    device = await startDevice({ name: 'front-desk', serial: 'EX-1' }, { address: `${ADDRESS}.1`, ports });
    await until(() => events().some(({ kind }) => kind === 'cleared'));
    for (const { body } of receiver.deliveries) expect(published('event')(JSON.parse(body))).toBe(true);
    expect(await get('/nothing')).toMatchObject({ status: 404, type: 'application/problem+json' });
    agent.child.kill('SIGTERM');
    expect(await agent.ended).toEqual({ code: 0, signal: null });
    const store = await openStore('sqlite:outfeed.db', { site: 'Harbour annex', folder });
    const kept = await store.incidents({ limit: 9, cause: 'media-jam' });
    expect(kept).toMatchObject([{ note: 'Paper dust', endedAt: expect.any(String) }]);
    expect((await store.past('front-desk'))?.verdicts.map(({ cause }) => cause)).toContain('media-jam');
    await store.close();
  }, 90_000);

  test('takes in what a print host reports into its folder: a queue that is paused there', async () => {
    const reports = join(folder, 'print-hosts');
    mkdirSync(reports);
    write('reports: { folder: print-hosts }\n');
    const agent = start();
    await until(() => agent.log.some(({ printer, silent }) => printer === 'front-desk' && silent === false));
    const madeAt = new Date().toISOString();
    const ports = [hostPort({ hostAddress: `${ADDRESS}.1`, portNumber: device.ippPort ?? 0 })];
    // PRINTER_STATUS_PAUSED is 1 (from memory).
    const report = hostReport({ madeAt, ports, queues: [hostQueue({ status: 1 })] });
    writeFileSync(join(reports, 'host.json'), JSON.stringify(report));
    writeFileSync(join(reports, 'broken.json'), '{');
    await until(() => events().some(({ kind, cause }) => kind === 'fault' && cause === 'queue-paused'));
    expect(agent.log.filter(({ msg }) => msg === 'a print host report can not be used')).toMatchObject([
      { file: 'broken.json', why: 'it is not JSON, or cut short' },
    ]);
  }, 90_000);

  test('a second one for the same site is refused in one sentence', async () => {
    const agent = start();
    await agent.said(/the page is served/);
    const { code, err } = await outfeed(['agent'], { cwd: folder });
    expect(code).toBe(2);
    expect(err.trim().split('\n')).toEqual([
      expect.stringMatching(
        /^outfeed: Another agent already watches this site with the store sqlite:.*another store\.$/,
      ),
    ]);
  }, 60_000);

  test('after a kill the next one goes on: the same incident, told once', async () => {
    await device.close();
    device = await startDevice({ name: 'front-desk', serial: 'EX-1', state: 'paused' }, { address: `${ADDRESS}.1` });
    write();
    const first = start();
    await until(() => events().length > 0);
    first.child.kill('SIGKILL');
    await first.ended;
    const second = start();
    await second.said(/the page is served/);
    await delay(6_000);
    // Killed between the telling and the note that it was told, it tells again: the same event under the same id.
    expect(new Set(receiver.deliveries.map(({ key, body }) => `${key} ${body}`)).size).toBe(1);
    expect(events()[0]).toMatchObject({ kind: 'fault', cause: 'paused' });
  }, 60_000);

  test('SIGHUP reads the configuration again; a broken one changes nothing', async () => {
    const agent = start();
    await agent.said(/the page is served/);
    write('  - command: { run: /bin/true }\n');
    agent.child.kill('SIGHUP');
    await agent.said(/the configuration was read again/);
    writeFileSync(join(folder, 'outfeed.yaml'), 'printers: nonsense\n');
    agent.child.kill('SIGHUP');
    await agent.said(/the one before still holds/);
    agent.child.kill('SIGUSR2');
    await agent.said(/says more or less/);
    expect((await get('/readyz')).status).toBe(200);
    await agent.said(/asked over HTTP/);
  }, 60_000);

  test('a site that is renamed meanwhile is read of under its old name until the next start', async () => {
    const agent = start();
    await agent.said(/"silent":false/);
    const file = join(folder, 'outfeed.yaml');
    writeFileSync(file, readFileSync(file, 'utf8').replace('Harbour annex', 'Boathouse'));
    agent.child.kill('SIGHUP');
    await agent.said(/the configuration was read again.*site\.name/);
    const { text } = await get('/supplies', { Accept: 'text/html' });
    expect(text).toContain('Harbour annex');
    expect(text).not.toContain('Boathouse');
  }, 60_000);

  test('once: reads, confirms, tells, ends', async () => {
    await device.close();
    device = await startDevice({ name: 'front-desk', serial: 'EX-1', state: 'paused' }, { address: `${ADDRESS}.1` });
    write();
    const { code, out } = await outfeed(['agent', '--once', '--quiet'], { cwd: folder });
    expect({ code, out }).toEqual({ code: 0, out: '' });
    expect(events()).toMatchObject([{ kind: 'fault', printer: 'front-desk', cause: 'paused' }]);
    await outfeed(['agent', '--once', '--quiet'], { cwd: folder });
    expect(events()).toHaveLength(1);
  }, 60_000);

  test('a printer that nobody listed is announced', async () => {
    const extra = await startDevice({ name: 'stranger' }, { address: `${ADDRESS}.5`, ports: { ipp: 0, snmp: 0 } });
    write();
    const text = `${ADDRESS}.1, snmpPort: ${extra.snmpPort}`;
    writeFileSync(
      join(folder, 'outfeed.yaml'),
      `sweep: { ranges: [${ADDRESS}.0/28], pace: brisk }
site: { name: Harbour annex }
read: { every: 2s, inFault: 1s, timeout: 1s, retries: 0 }
printers: [{ name: front-desk, address: ${text} }]
tell: [{ webhook: { url: "${receiver.url}" }, when: [printer-new] }]
`,
    );
    await outfeed(['agent', '--once', '--quiet'], { cwd: folder });
    await extra.close();
    expect(events()).toMatchObject([{ kind: 'printer-new', printer: 'stranger', layer: null, cause: null }]);
  }, 60_000);
});

describe('what a person gets wrong', () => {
  test.each([
    [['--note', 'x'], /--note belongs to --acknowledge/],
    [['--printer', 'x'], /--printer belongs to --plan/],
    [['--plan', 'soon'], /--plan takes two times/],
    [['--plan', '2026-02-01T20:00/2026-02-01T18:00'], /the first before the second/],
    [['--plan', '1/2'], /--plan takes two times/],
    [['--plan', '2026-02-30T18:00/2026-03-05T20:00'], /--plan takes two times/],
    [['--acknowledge', 'nothing'], /There is no incident "nothing"/],
    [['--plan', '2026-02-01T18:00Z/2026-02-01T20:00Z', '--printer', 'nobody'], /names no printer "nobody"/],
  ])('%j', async (args, words) => {
    const { code, err } = await outfeed(['agent', ...args], { cwd: folder });
    expect({ code, lines: err.trim().split('\n').length }).toEqual({ code: 2, lines: 1 });
    expect(err).toMatch(words);
  });

  test('work that is planned for a time gone by', async () => {
    const past = await outfeed(['agent', '--plan', '2001-02-01T18:00/2001-02-01T20:00'], { cwd: folder });
    expect({ code: past.code, err: past.err }).toMatchObject({ code: 0, err: expect.stringMatching(/over already/) });
    const ahead = await outfeed(['agent', '--plan', '2990-02-01/2990-02-02'], { cwd: folder });
    expect({ code: ahead.code, err: ahead.err }).toEqual({ code: 0, err: '' });
  });

  test('work that is planned for a day is planned for the day of this machine', async () => {
    vi.stubEnv('TZ', 'Pacific/Auckland');
    try {
      const { out } = await outfeed(['agent', '--plan', '2026-02-01/2026-02-02'], { cwd: folder });
      expect(out).toContain('from 2026-01-31T11:00:00.000Z to 2026-02-01T11:00:00.000Z');
    } finally {
      vi.unstubAllEnvs();
    }
  });

  test('a port that is taken', async () => {
    writeFileSync(join(folder, 'outfeed.yaml'), `page: { listen: "${receiver.url.slice(7, -5)}" }\n`);
    const { code, err } = await outfeed(['agent', '--quiet'], { cwd: folder });
    expect({ code, err }).toMatchObject({
      code: 2,
      err: expect.stringMatching(/Can't listen on .*something else has it/),
    });
  });

  test('help for making it a service', async () => {
    const { code, out } = await outfeed(['agent', '--install-help']);
    expect(code).toBe(0);
    expect(out).not.toContain('{');
  });
});

import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import { openStore } from '../../src/store/store.js';
import { type RunningProgram, startAgent } from '../daemon/program.js';
import { describeWithPeers } from './peer.js';
import { findPostgres, type Postgres, startPostgres } from './postgres.js';

const ADDRESS = '127.35.66.1';
const JAM = { group: 'mediaPath', code: 'jam', severity: 'critical' } as const;

describeWithPeers('an agent stopped while its database is away', findPostgres() === null ? ['postgres'] : [], () => {
  let server: Postgres;
  let folder: string;
  let device: RunningDevice | undefined;
  let agent: RunningProgram | undefined;

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'outfeed-outage-'));
    server = await startPostgres();
    device = await startDevice({ name: 'front-desk', serial: 'EX-1' }, { address: ADDRESS });
  }, 60_000);
  afterAll(async () => {
    agent?.child.kill('SIGKILL');
    await agent?.ended;
    await device?.close();
    await server?.stop();
    if (folder !== undefined) rmSync(folder, { recursive: true, force: true });
  });

  const left = () => readdirSync(folder).filter((name) => name.startsWith('outfeed-unwritten-'));

  test('leaves what it could not write in a file of its own, and the next one goes on from that', async () => {
    const url = await server.database();
    const told = join(folder, 'told');
    const { snmpPort = 0, ippPort = 0, ippUri } = device ?? {};
    writeFileSync(
      join(folder, 'outfeed.yaml'),
      `site: { name: Quay, timezone: UTC }
sweep: { ranges: [${ADDRESS}], every: 1d }
read: { every: 2s, inFault: 1s, timeout: 1s, retries: 0 }
store: { url: "${url}" }
printers: [{ name: front-desk, address: ${ADDRESS}, snmpPort: ${snmpPort}, ippUri: "${ippUri}" }]
tell: [{ command: { run: /bin/sh, args: ["-c", "cat >> ${told}"] } }]
`,
    );
    agent = startAgent(folder);
    await agent.said(/"silent":false/);
    await server.kill();
    await device?.close();
    const ports = { snmp: snmpPort ?? 0, ipp: ippPort ?? 0, raw: 0 };
    device = await startDevice({ name: 'front-desk', serial: 'EX-1', alerts: [JAM] }, { address: ADDRESS, ports });
    await agent.said(/"cause":"media-jam"/);
    await agent.said(/the store can not be written/);
    agent.child.kill('SIGTERM');
    expect(await agent.ended).toEqual({ code: 0, signal: null });
    expect(left()).toHaveLength(1);
    expect(existsSync(told)).toBe(false);

    await server.start();
    agent = startAgent(folder);
    await agent.said(/what an earlier agent could not write is written/);
    await expect.poll(() => existsSync(told), { timeout: 20_000 }).toBe(true);
    agent.child.kill('SIGTERM');
    await agent.ended;
    const store = await openStore(url, { site: 'Quay', folder });
    expect(await store.incidents({ limit: 5 })).toMatchObject([{ cause: 'media-jam', endedAt: null }]);
    await store.close();
    expect(left()).toEqual([]);
  }, 120_000);
});

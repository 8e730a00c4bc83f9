import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { type AddressInfo, createServer, type Server, type Socket } from 'node:net';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { readLpd } from '../../src/facts/lpd.js';
import type { Evidence, LpdEvidence } from '../../src/model/evidence.js';
import { createSystemNet } from '../../src/net/system-net.js';
import { lpdProbe } from '../../src/probes/lpd/lpd.js';
import { Cupsd } from './cupsd.js';
import { describeWithPeers } from './peer.js';

const HOST = '127.36.2.1';
/** The line printer daemon that comes with Debian's spooler; it speaks for one connection on its standard streams. */
const DAEMON = '/usr/lib/cups/daemon/cups-lpd';

const PEERS = ['cupsd', 'lp', 'lpadmin', 'cupsdisable', ...(existsSync(DAEMON) ? [] : ['cups-lpd'])];

describeWithPeers('Debian’s line printer daemon', PEERS, () => {
  let cupsd: Cupsd;
  let server: Server;
  const sockets = new Set<Socket>();

  beforeAll(async () => {
    cupsd = await Cupsd.start(HOST);
    await cupsd.tool('lpadmin', '-p', 'plotter', '-E', '-v', 'file:///dev/null', '-m', 'raw');
    await cupsd.tool('lpadmin', '-p', 'idle', '-E', '-v', 'file:///dev/null', '-m', 'raw');
    server = createServer({ allowHalfOpen: true }, (socket) => {
      sockets.add(socket);
      socket.on('error', () => socket.destroy());
      const daemon = spawn(DAEMON, ['-n', '-h', cupsd.server], { stdio: ['pipe', 'pipe', 'ignore'] });
      daemon.stdin.on('error', () => undefined);
      socket.pipe(daemon.stdin);
      daemon.stdout.pipe(socket);
      socket.on('close', () => daemon.kill());
    });
    await new Promise<void>((resolve) => server.listen(0, HOST, resolve));
  });
  afterAll(async () => {
    for (const socket of sockets) socket.destroy();
    await new Promise((resolve) => server.close(resolve));
    await cupsd.stop();
  });

  async function ask(queue: string) {
    const { port } = server.address() as AddressInfo;
    const uri = `lpd://${HOST}:${port}/${queue}`;
    const target = {
      label: 'x',
      host: HOST,
      snmpPort: 161,
      printPorts: [],
      queues: [],
      lpdQueues: [{ uri, port, queue }],
    };
    const limits = { timeoutMs: 8000, retries: 0, deadlineMs: 16_000, credentials: [] };
    const records = (await lpdProbe.run(target, createSystemNet(), limits)) as LpdEvidence[];
    return { records, fact: readLpd(records.map((r, i) => ({ ...r, id: `e${i}` }) as Evidence))?.[0] };
  }

  test('a queue with nothing in it', async () => {
    const { records, fact } = await ask('idle');
    expect(records.map((r) => [r.what, r.outcome])).toEqual([['short state', 'answered']]);
    expect(fact?.state).toMatchObject({ empty: true, stopped: false, closed: false, jobs: [] });
  });

  test('a stopped queue with a job', async () => {
    await cupsd.tool('cupsdisable', 'plotter');
    await cupsd.print('plotter');
    const { records, fact } = await ask('plotter');
    expect(records.map((r) => [r.what, r.outcome])).toEqual([
      ['short state', 'answered'],
      ['long state', 'answered'],
    ]);
    expect(fact?.state).toMatchObject({ empty: false });
    expect(fact?.state?.jobs).toHaveLength(1);
    expect(fact?.state?.jobs[0]?.bytes).toBeGreaterThan(0);
  });
});

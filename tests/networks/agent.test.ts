import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { ScenarioInput } from '../../src/demo/device.js';
import type { EventDocument } from '../../src/model/event.js';
import { openStore } from '../../src/store/store.js';
import { describeWithPeers } from '../peers/peer.js';
import { CABLE_NEEDS } from './bad-cable.js';
import { FAR_PRINTER, FarSide } from './far-side.js';
import { Office } from './office.js';

const MAIN = fileURLToPath(new URL('../../src/main.ts', import.meta.url));
const TSX = ['--import', import.meta.resolve('tsx')];
const PATIENCE = 90_000;
const MAC = '02:00:5e:10:00:33';

const plain = (name: string, serial: string): ScenarioInput => ({ kind: 'printer', name, serial });

/** One agent after the other in one office: each test says how the office is bent and what people were told. */
describeWithPeers('the agent while the network changes', CABLE_NEEDS, () => {
  const office = new Office();
  const { bridge, folder } = office;
  const told = join(folder, 'told');
  const hosts: string[] = [];
  let side: FarSide;

  const events = (): readonly EventDocument[] =>
    readFileSync(told, 'utf8')
      .split('\n')
      .filter((line) => line !== '')
      .map((line) => JSON.parse(line) as EventDocument);
  const kinds = (): readonly string[] => events().map(({ kind, printer, cause }) => `${kind} ${printer} ${cause}`);

  /** Starts an agent with a memory of its own; gives what the API says of its printers, and an end. */
  function watch(name: string, ranges: string, printers: string) {
    writeFileSync(told, '');
    writeFileSync(
      join(folder, `${name}.yaml`),
      `site: { name: ${name}, timezone: UTC }
sweep: { ranges: [${ranges}], every: 20s, pace: brisk }
read: { every: 3s, inFault: 2s, timeout: 1s, retries: 1 }
store: { url: "sqlite:${name}.db" }
page: { listen: "127.0.0.1:6310" }
printers: ${printers}
tell: [{ command: { run: /bin/sh, args: ["-c", "cat >> ${told}"] } }]
`,
    );
    const args = [...TSX, MAIN, 'agent', '--quiet', '--config', join(folder, `${name}.yaml`)];
    const child = bridge.start(office.cable.host, process.execPath, args);
    return {
      end: async () => {
        const ended = new Promise((resolve) => child.once('close', resolve));
        child.kill('SIGTERM');
        await ended;
        const store = await openStore(`sqlite:${name}.db`, { site: name, folder });
        const incidents = await store.incidents({ limit: 50 });
        await store.close();
        return incidents;
      },
    };
  }

  /** Name, address and state of each printer, as the agent's API has them. */
  function shown(): readonly string[] {
    const script =
      'fetch("http://127.0.0.1:6310/api/v1/printers").then(r=>r.text()).then(console.log,()=>console.log("{}"))';
    const text = bridge.run(office.cable.host, process.execPath, '-e', script);
    const { printers = [] } = JSON.parse(text) as { printers?: readonly Record<string, unknown>[] };
    return printers.map(
      ({ name, address, silent, cause }) => `${name} ${address} ${silent === false ? 'well' : cause}`,
    );
  }
  async function until(true_: () => boolean, what: () => unknown): Promise<void> {
    for (const start = Date.now(); Date.now() - start < PATIENCE; await delay(500)) if (true_()) return;
    throw new Error(`it never came to that: ${JSON.stringify(what())}`);
  }
  const untilShown = (wanted: readonly string[]): Promise<void> =>
    until(() => JSON.stringify(shown()) === JSON.stringify(wanted), shown);

  /** What a DHCP client does with a new lease (RFC 2131 section 4.4.5): the old address goes, the new one is announced. */
  function lease(host: string, address: string): void {
    bridge.run(host, 'ip', 'addr', 'flush', 'dev', 'eth0');
    bridge.run(host, 'ip', 'addr', 'add', `${address}/24`, 'dev', 'eth0');
    bridge.run(host, 'ip', 'route', 'replace', 'default', 'via', '192.0.2.254');
  }

  beforeAll(async () => {
    await office.open(23);
    for (const address of ['192.0.2.21', '192.0.2.22', '192.0.2.23']) hosts.push(bridge.addHost(`${address}/24`));
    bridge.run(hosts[2] ?? '', 'ip', 'link', 'set', 'eth0', 'address', MAC);
    const scenarios = [plain('one', 'EX-000041'), plain('two', 'EX-000042'), plain('three', 'EX-000043')];
    await Promise.all([
      ...hosts.map((host, i) =>
        office.serve(host, [{ kind: 'device', address: '0.0.0.0', scenario: scenarios[i] as ScenarioInput }]),
      ),
      FarSide.make(office, plain('quay', 'EX-000051')).then((made) => {
        side = made;
      }),
    ]);
  }, 90_000);
  afterAll(() => office.close());

  test('two frames of ten are lost: nobody is told of a printer that is well', async () => {
    const agent = watch('lossy', '192.0.2.253', '[{ name: one, address: 192.0.2.21 }]');
    await untilShown(['one 192.0.2.21 well']);
    await office.cable.spoil({ loss: 0.2 });
    await delay(25_000);
    await office.cable.spoil({});
    expect(kinds()).toEqual([]);
    expect(await agent.end()).toEqual([]);
  }, 180_000);

  test('the gateway fails over: one incident at most, and it ends', async () => {
    const agent = watch('routed', '192.0.2.253', `[{ name: quay, address: ${FAR_PRINTER} }]`);
    await untilShown([`quay ${FAR_PRINTER} well`]);
    // Another router takes the address over, with a hardware address of its own, and says so (RFC 5798 section 6.4.2).
    side.takenOver(4_000);
    await delay(12_000);
    await untilShown([`quay ${FAR_PRINTER} well`]);
    const incidents = await agent.end();
    expect(incidents.length).toBeLessThanOrEqual(1);
    expect(incidents.filter(({ endedAt }) => endedAt === null)).toEqual([]);
  }, 180_000);

  test('the office is renumbered: printers are followed by who they are, and a listed one is said to have moved', async () => {
    const listed = `{ name: three, address: 192.0.2.23, serial: EX-000043, mac: "${MAC}" }`;
    const agent = watch('renumbered', '192.0.2.16-40', `[${listed}]`);
    await untilShown(['one 192.0.2.21 well', 'three 192.0.2.23 well', 'two 192.0.2.22 well']);
    // The first goes to a free address, the second to the one that the first had.
    lease(hosts[0] ?? '', '192.0.2.31');
    lease(hosts[1] ?? '', '192.0.2.21');
    lease(hosts[2] ?? '', '192.0.2.33');
    await untilShown(['one 192.0.2.31 well', 'three 192.0.2.23 moved', 'two 192.0.2.21 well']);
    await until(() => kinds().includes('fault three moved'), kinds);
    const summary = events().find(({ cause }) => cause === 'moved')?.summary ?? '';
    expect(summary).toContain('192.0.2.33');
    // The lease of old is given back to it: that is the end.
    lease(hosts[2] ?? '', '192.0.2.23');
    await untilShown(['one 192.0.2.31 well', 'three 192.0.2.23 well', 'two 192.0.2.21 well']);
    await until(() => kinds().includes('cleared three moved'), kinds);
    const incidents = await agent.end();
    expect(incidents.filter(({ endedAt }) => endedAt === null)).toEqual([]);
  }, 300_000);
});

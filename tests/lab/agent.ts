/**
 * `tsx tests/lab/agent.ts [MINUTES] [SEED]`: the agent as a process against made-up printers on loopback, with faults put there
 * that it knows nothing of, killed at random; afterwards history, incidents and what was told are compared with the truth.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import type { ScenarioInput } from '../../src/demo/device.js';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import { openStore } from '../../src/store/store.js';
import { startAgent } from '../daemon/program.js';
import { startReceiver } from '../daemon/receiver.js';
import { chance } from './soak-office.js';

const NETWORK = '127.34.91';
const PRINTERS = 6;
const READ_MS = 2_000;

/** The cause that ought to be found → how the device says so. */
const FAULTS: Readonly<Record<string, Partial<ScenarioInput>>> = {
  'media-empty': { alerts: [{ group: 'input', code: 'subunitEmpty' }], trays: [{ name: 'Tray 1', level: 0 }] },
  'cover-open': {
    alerts: [{ group: 'cover', code: 'coverOpen' }],
    covers: [{ name: 'Front cover', state: 'coverOpen' }],
  },
  'media-jam': { alerts: [{ group: 'mediaPath', code: 'jam' }] },
  paused: { state: 'paused' },
};

interface Put {
  readonly printer: string;
  readonly cause: string;
  readonly from: number;
  readonly to: number;
}

class Desk {
  readonly name: string;
  readonly address: string;
  device: RunningDevice | undefined;
  ports = { snmp: 0, ipp: 0, raw: 0 };
  constructor(n: number) {
    this.name = `desk-${n}`;
    this.address = `${NETWORK}.${n + 1}`;
  }

  async become(more: Partial<ScenarioInput>): Promise<void> {
    await this.device?.close();
    const scenario = { name: this.name, serial: `EX-${this.name}`, ...more } as ScenarioInput;
    this.device = await startDevice(scenario, { address: this.address, ports: this.ports });
    const { snmpPort, ippPort, rawPort } = this.device;
    this.ports = { snmp: snmpPort ?? 0, ipp: ippPort ?? 0, raw: rawPort ?? 0 };
  }
}

/** One printer's life: well for a while, then something, then well again; nothing within the last minute. */
async function live(desk: Desk, random: () => number, end: number, put: Put[]): Promise<void> {
  for (;;) {
    await delay(20_000 + random() * 40_000);
    const lasts = 40_000 + random() * 40_000;
    if (Date.now() + lasts > end - 60_000) return;
    const causes = Object.keys(FAULTS);
    const cause = causes[Math.floor(random() * causes.length)] ?? 'paused';
    await desk.become(FAULTS[cause] ?? {});
    const from = Date.now();
    await delay(lasts);
    await desk.become({});
    put.push({ printer: desk.name, cause, from, to: Date.now() });
  }
}

const [minutes = 5, seed = 1] = process.argv.slice(2).map(Number);
const random = chance(seed);
const folder = mkdtempSync(join(tmpdir(), 'outfeed-lab-agent-'));
const receiver = await startReceiver();
const desks = Array.from({ length: PRINTERS }, (_, n) => new Desk(n));
for (const desk of desks) await desk.become({});
const entry = ({ name, address, ports, device }: Desk) =>
  `  - { name: ${name}, address: ${address}, snmpPort: ${ports.snmp}, rawPort: ${ports.raw}, ippUri: "${device?.ippUri}" }`;
writeFileSync(
  join(folder, 'outfeed.yaml'),
  `site: { name: lab }
sweep: { ranges: [${NETWORK}.0/28], every: 1d }
read: { every: ${READ_MS / 1000}s, inFault: ${READ_MS / 1000}s, timeout: 1s, retries: 1 }
page: { listen: "127.0.0.1:0" }
printers:
${desks.map(entry).join('\n')}
tell: [{ webhook: { url: "${receiver.url}" }, when: [fault] }]
`,
);
const end = Date.now() + minutes * 60_000;
const put: Put[] = [];
const lives = desks.map((desk, n) => live(desk, chance(seed * 100 + n), end, put));
let kills = 0;
let agent = startAgent(folder, '--quiet');
const killing = (async () => {
  while (Date.now() < end - 45_000) {
    await delay(10_000 + random() * 35_000);
    agent.child.kill('SIGKILL');
    await agent.ended;
    kills++;
    agent = startAgent(folder, '--quiet');
  }
})();
await Promise.all([...lives, killing]);
await delay(Math.max(0, end - Date.now()));
agent.child.kill('SIGTERM');
await agent.ended;
const store = await openStore('sqlite:outfeed.db', { site: 'lab', folder });
const incidents = await store.incidents({ limit: 100_000 });
const fits = (one: Put, incident: (typeof incidents)[number]): boolean =>
  one.printer === incident.printer &&
  one.cause === incident.cause &&
  Date.parse(incident.startedAt) >= one.from - 1_000 &&
  Date.parse(incident.startedAt) < one.to;
const missed = put.filter((one) => incidents.filter((incident) => fits(one, incident)).length !== 1);
const invented = incidents.filter((incident) => !put.some((one) => fits(one, incident)));
const bodies = new Map(receiver.deliveries.map(({ key, body }) => [key, body]));
const told = [...bodies.values()].map((body) => JSON.parse(body) as { kind: string; printer: string; cause: string });
const count = (kind: string) => told.filter((event) => event.kind === kind).length;
console.log(
  `${minutes} min, ${kills} kills: ${put.length} faults put there, ${incidents.length} incidents, ${missed.length} missed, ` +
    `${invented.length} invented, ${incidents.filter(({ endedAt }) => endedAt === null).length} still open; ` +
    `told ${count('fault')} faults and ${count('cleared')} ends in ${receiver.deliveries.length} deliveries, ` +
    `${await store.waiting()} still to tell`,
);
for (const one of missed) console.log('missed', one.printer, one.cause, new Date(one.from).toISOString());
for (const one of invented) console.log('invented', one.printer, one.cause, one.startedAt, one.endedAt);
await store.close();
await receiver.close();
for (const { device } of desks) await device?.close();
rmSync(folder, { recursive: true, force: true });
process.exitCode = missed.length + invented.length === 0 ? 0 : 1;

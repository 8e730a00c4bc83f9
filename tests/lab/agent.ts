/**
 * `tsx tests/lab/agent.ts [MINUTES] [SEED]`: the agent as a process against the made-up office, with faults put there that it knows
 * nothing of, killed at random; afterwards history, incidents and what was told are compared with the truth. The faults that the
 * office has anyway have to be found once, and to stand at the end.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { parse, stringify } from 'yaml';
import type { ScenarioInput } from '../../src/demo/device.js';
import { type OfficeDevice, startOffice } from '../../src/demo/office.js';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import { openStore } from '../../src/store/store.js';
import { startAgent } from '../daemon/program.js';
import { startReceiver } from '../daemon/receiver.js';
import { chance } from './soak-office.js';

const SITE = 'Harbour annex';

/** The cause that ought to be found → how the device says so. */
const FAULTS: Readonly<Record<string, Partial<ScenarioInput>>> = {
  'media-empty': { alerts: [{ group: 'input', code: 'subunitEmpty' }], trays: [{ name: 'Tray 1', level: 0 }] },
  'cover-open': {
    alerts: [{ group: 'cover', code: 'coverOpen' }],
    covers: [{ name: 'Front cover', state: 'coverOpen' }],
  },
  'media-jam': { alerts: [{ group: 'mediaPath', code: 'jam' }] },
  'supply-empty': {
    supplies: [{ type: 'tonerCartridge', colour: 'black', capacity: 6000, level: 0 }],
    alerts: [{ group: 'markerSupplies', code: 'markerTonerEmpty' }],
  },
  paused: { state: 'paused' },
};

interface Put {
  readonly printer: string;
  readonly cause: string;
  readonly from: number;
  readonly to: number;
}

/** A printer of the office that is well, and whatever becomes of it. */
class Desk {
  readonly name: string;
  #now: RunningDevice;
  readonly #was: OfficeDevice;
  constructor(device: OfficeDevice) {
    this.name = device.name;
    this.#was = device;
    this.#now = device;
  }

  async become(more: Partial<ScenarioInput>): Promise<void> {
    await this.#now.close();
    const { scenario, address, snmpPort, ippPort, rawPort, lpdPort } = this.#was;
    const ports = { snmp: snmpPort ?? 0, ipp: ippPort ?? 0, raw: rawPort ?? 0, lpd: lpdPort ?? 0 };
    this.#now = await startDevice({ ...scenario, ...more } as ScenarioInput, { address, ports });
  }

  close(): Promise<void> {
    return this.#now.close();
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
const office = await startOffice({ prefix: '127.34.91', basePorts: { snmp: 0, ipp: 0, raw: 0, lpd: 0 } });
const watched = office.devices.filter(({ scenario }) => scenario.kind === 'printer' && scenario.configured);
const isWell = ({ expect }: OfficeDevice) => expect?.cause === 'nothing-wrong-found' && expect.warnings.length < 1;
const desks = watched.filter(isWell).map((device) => new Desk(device));
writeFileSync(
  join(folder, 'outfeed.yaml'),
  stringify({
    ...(parse(office.configText) as object),
    site: { name: SITE, timezone: 'UTC' },
    sweep: { ranges: [office.range], every: '1d' },
    read: { every: '2s', inFault: '2s', timeout: '1s', retries: 1 },
    page: { listen: '127.0.0.1:0' },
    tell: [{ webhook: { url: receiver.url }, when: ['fault'] }],
  }),
);
const begun = Date.now();
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
const store = await openStore('sqlite:outfeed.db', { site: SITE, folder });
const incidents = await store.incidents({ limit: 100_000 });
const fits = (one: Put, incident: (typeof incidents)[number]): boolean =>
  one.printer === incident.printer &&
  one.cause === incident.cause &&
  Date.parse(incident.startedAt) >= one.from - 1_000 &&
  Date.parse(incident.startedAt) < one.to;
const standing = watched.filter(({ expect }) => expect?.severity === 'fault');
const stands = ({ name, expect }: OfficeDevice, incident: (typeof incidents)[number]): boolean =>
  name === incident.printer &&
  expect?.cause === incident.cause &&
  Date.parse(incident.startedAt) < begun + 60_000 &&
  incident.endedAt === null;
const missed = put.filter((one) => incidents.filter((incident) => fits(one, incident)).length !== 1);
const lost = standing.filter((one) => incidents.filter((incident) => stands(one, incident)).length !== 1);
const invented = incidents.filter(
  (incident) => !put.some((one) => fits(one, incident)) && !standing.some((one) => stands(one, incident)),
);
const bodies = new Map(receiver.deliveries.map(({ key, body }) => [key, body]));
const told = [...bodies.values()].map((body) => JSON.parse(body) as { kind: string; printer: string; cause: string });
const count = (kind: string) => told.filter((event) => event.kind === kind).length;
console.log(
  `${minutes} min, ${kills} kills: ${put.length} faults put there, ${standing.length} there anyway, ${incidents.length} incidents, ` +
    `${missed.length} and ${lost.length} missed, ` +
    `${invented.length} invented, ${incidents.filter(({ endedAt }) => endedAt === null).length} still open; ` +
    `told ${count('fault')} faults and ${count('cleared')} ends in ${receiver.deliveries.length} deliveries, ` +
    `${await store.waiting()} still to tell`,
);
// An agent that could not start says why.
if (incidents.length === 0) for (const line of agent.log.slice(-5)) console.log(JSON.stringify(line));
for (const one of missed) console.log('missed', one.printer, one.cause, new Date(one.from).toISOString());
for (const { name, expect } of lost) console.log('missed, there anyway', name, expect?.cause);
for (const one of invented) console.log('invented', one.printer, one.cause, one.startedAt, one.endedAt);
await store.close();
await receiver.close();
for (const desk of desks) await desk.close();
await office.close();
rmSync(folder, { recursive: true, force: true });
process.exitCode = missed.length + lost.length + invented.length === 0 ? 0 : 1;

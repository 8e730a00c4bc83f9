import { chmodSync, existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { IppAttributes, Observation } from '../../src/model/evidence.js';
import type { HostEvent } from '../../src/model/print-host.js';
import type { QueueDocument } from '../../src/model/queue.js';
import { createSystemNet } from '../../src/net/system-net.js';
import { spoolerProbe } from '../../src/probes/spooler/spooler.js';
import { outfeed } from '../commands/captured-io.js';
import { hostReport, printed, printing, restart, running, terminated } from '../printhost/report-builder.js';
import { limits, target } from '../probes/ipp/office.js';
import { Cupsd } from './cupsd.js';
import { describeWithPeers } from './peer.js';
import { ask, descriptionWith } from './queue-command.js';

const HOST = '127.0.0.1';
const CRASHES = 10;
/** Number of the guilty job: twenty letters come before it. */
const BRINE = 21;

/**
 * The filter calls for the daemon's end when the document holds a certain word: a job like any other until it is its turn. It
 * runs under an account that may end nobody, so it leaves a sign, and the supervisor does the rest.
 */
const programs = (sign: string) => ({
  'filter/touchy': `if grep -q brine "$6"; then sleep 1.2; touch ${sign}; sleep 20; exit 1; fi`,
  'backend/quick': 'cat > /dev/null; exit 0',
});

/** What the supervisor saw, in the events of a print host. */
class Witness {
  readonly events: HostEvent[] = [];
  readonly #began = new Map<number, number>();
  readonly #done = new Set<number>();
  #watching = true;

  constructor(
    private readonly cups: Cupsd,
    private readonly queues: readonly string[],
  ) {}

  async watch(): Promise<void> {
    while (this.#watching) {
      for (const queue of this.queues) await this.#look(queue);
      await delay(100);
    }
  }

  stop(): void {
    this.#watching = false;
  }

  /** A new time-at-processing is a new start; the time of it is when it was seen, finer than the daemon's whole seconds. */
  async #look(queue: string): Promise<void> {
    const uri = this.cups.uri(queue);
    const records = await spoolerProbe.run(target({ queues: [uri] }), createSystemNet(), limits({ timeoutMs: 500 }));
    const jobs = records.flatMap((record) => jobsOf(record) ?? []);
    const now = Date.now();
    for (const job of jobs) {
      const id = Number(job['job-id']?.[0]?.value);
      const began = job['time-at-processing']?.[0]?.value;
      if (typeof began === 'number' && began !== this.#began.get(id)) {
        this.#began.set(id, began);
        this.events.push(printing(now - 1, id));
      }
      if (job['job-state']?.[0]?.value !== COMPLETED || this.#done.has(id)) continue;
      this.#done.add(id);
      const document = String(job['job-name']?.[0]?.value ?? '');
      this.events.push(printed(now, id, { document, user: 'mira', queue }));
    }
  }
}

/** job-state `completed` (RFC 8011 5.3.7). */
const COMPLETED = 9;

function jobsOf(record: Observation): readonly IppAttributes[] | undefined {
  if (record.source !== 'spooler' || record.value === null || 'kind' in record.value) return undefined;
  return record.value.jobs;
}

describeWithPeers('a spooler that one job kills in mid-job, ten times', ['cupsd', 'lpadmin', 'lp'], () => {
  const folder = mkdtempSync(join(tmpdir(), 'outfeed-crashes-'));
  chmodSync(folder, 0o777);
  const sign = join(folder, 'sign');
  let supervising = true;
  const crashes: number[] = [];
  const starts: number[] = [];
  let cups: Cupsd;
  beforeAll(async () => {
    cups = await Cupsd.start(HOST, programs(sign));
    void supervise();
  }, 60_000);
  afterAll(async () => {
    supervising = false;
    await cups?.stop();
    rmSync(folder, { recursive: true, force: true });
  });

  /** Ends the daemon when the sign is there, and starts it again, as a supervisor does: into the same job. */
  async function supervise(): Promise<void> {
    while (supervising) {
      await delay(30);
      if (!existsSync(sign)) continue;
      rmSync(sign);
      cups.kill();
      await cups.ended();
      crashes.push(Date.now());
      await delay(200);
      if (supervising) await cups.again();
      starts.push(Date.now());
    }
  }

  async function queue(name: string): Promise<void> {
    const file = cups.file(`${name}.ppd`, descriptionWith('touchy'));
    await cups.tool('lpadmin', '-p', name, '-E', '-v', 'quick:/', '-P', file, '-o', 'printer-error-policy=retry-job');
  }

  async function print(name: string, title: string, text: string): Promise<void> {
    await cups.tool('lp', '-s', '-d', name, '-t', title, cups.file(`${title.replaceAll(' ', '-')}.txt`, text));
  }

  test('the job is found, set aside by name, and the spooler stays up', async () => {
    const began = Date.now();
    await queue('chart-room');
    await queue('slipway');
    const witness = new Witness(cups, ['chart-room', 'slipway']);
    const watching = witness.watch();
    for (let i = 0; i < 20; i += 1) {
      await print('slipway', `letter ${i}`, 'a line\n');
      await delay(250);
    }
    await delay(1500);
    await print('chart-room', 'brine table', 'salt, water, brine\n');
    while (crashes.length < CRASHES) {
      const before = crashes.length;
      if (before % 3 === 2) await print('slipway', `rota ${before}`, 'a line\n').catch(() => undefined);
      while (crashes.length === before) await delay(50);
    }
    witness.stop();
    await watching;
    const events = [
      ...witness.events,
      ...crashes.slice(0, CRASHES).map((at, i) => terminated(at, i + 1)),
      ...starts.slice(0, CRASHES).map((at) => running(at)),
    ];

    const madeAt = new Date().toISOString();
    const spooler = {
      state: 'Running',
      startMode: 'Auto',
      startedAt: null,
      recovery: { resetSeconds: 86_400, actions: [restart, restart, { action: 'none', delayMs: 0 } as const] },
    };
    const parts = { queues: [], ports: [], drivers: [], jobs: [] };
    const report = hostReport({ madeAt, days: (Date.now() - began) / 86_400_000, spooler, events, ...parts });
    const file = join(folder, 'report.json');
    writeFileSync(file, JSON.stringify(report));
    const argv = ['queue', cups.uri('chart-room'), '--queue-report', file, '--json'];
    const env = { OUTFEED_SPOOLER: 'none' };
    // The daemon runs for a second at a time: it is asked again until the question fell into one.
    const apply = () => outfeed([...argv, '--apply', 'hold', '--yes', String(BRINE)], { env });
    let held = await apply();
    for (let attempt = 0; attempt < 20 && !held.err.includes('is on hold'); attempt += 1) {
      await delay(400);
      held = await apply();
    }
    const document = JSON.parse(held.out) as QueueDocument;
    expect(document.crashLoop).toMatchObject({ crashes: CRASHES, suspect: { kind: 'job', job: BRINE } });
    expect(document.crashLoop?.explains).toBeGreaterThanOrEqual(CRASHES - 1);
    expect(document.crashLoop?.byChance).toBeLessThan(0.02);
    expect(document.crashLoop?.recovery).toContain('the third failure');
    expect(held.err).toContain(`job ${BRINE} "brine table"`);
    expect(held.err).toContain('is on hold now');

    // Without that one job nothing brings it down, and the others go on.
    await delay(500);
    await print('slipway', 'after', 'a line\n');
    const before = crashes.length;
    await delay(3000);
    expect(crashes.length).toBe(before);
    const after = await ask(cups.uri('slipway'));
    expect(after.document.queues[0]?.jobs).toEqual([]);
  }, 120_000);
});

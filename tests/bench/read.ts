import { type ChildProcess, execFile, fork } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import type { SnmpSessionValue } from '../../src/model/evidence.js';
import type { Target } from '../../src/model/target.js';
import type { Net } from '../../src/net/net.js';
import { openSnmp } from '../../src/net/snmp-guard.js';
import { snmpProbe } from '../../src/probes/snmp/snmp-probe.js';
import { findProgram } from '../peers/peer.js';

const ADDRESS = '127.32.9.1';
const ROUNDS = 9;
const WARMING = 4;
const run1 = promisify(execFile);
const net = { now: () => new Date(), monotonic: () => performance.now(), snmp: openSnmp } as unknown as Net;
const community = { version: '2c', community: 'public', label: 'community 1' } as const;

interface Figure {
  readonly ms: number;
  readonly requests: number;
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? 0;
}

async function count(agent: ChildProcess): Promise<{ requests: number; objects: number }> {
  agent.send('count');
  const [answer] = await once(agent, 'message');
  return answer as { requests: number; objects: number };
}

async function timed(agent: ChildProcess, work: () => Promise<unknown>): Promise<Figure> {
  for (let i = 0; i < WARMING; i++) await work();
  await count(agent);
  const times: number[] = [];
  for (let i = 0; i < ROUNDS; i++) {
    const started = performance.now();
    await work();
    times.push(performance.now() - started);
  }
  return { ms: median(times), requests: (await count(agent)).requests / ROUNDS };
}

async function ours(port: number): Promise<void> {
  const target: Target = { label: 'bench', host: ADDRESS, snmpPort: port, printPorts: [], queues: [] };
  const limits = { timeoutMs: 5000, retries: 0, deadlineMs: 60_000, credentials: [community] };
  const records = await snmpProbe.run(target, net, limits);
  const session = records[0]?.value as SnmpSessionValue;
  if (session.version === null || records.length < 20) throw new Error('the reading failed');
}

/** The C tool's figure without the start of its process, which a program that stays up does not pay. */
function without(startMs: number, figure: Figure): Figure {
  return { ...figure, ms: Math.max(0.1, figure.ms - startMs) };
}

/** One walk of everything that the printer has, so that it pays for one process only. */
function walk(port: number, repetitions: number): Promise<unknown> {
  const args = ['-v2c', '-cpublic', `-Cr${repetitions}`, '-On', `${ADDRESS}:${port}`, '.1.3.6.1.2.1'];
  return run1('snmpbulkwalk', args, { env: { ...process.env, MIBS: '' }, maxBuffer: 1 << 24 });
}

function row(name: string, figure: Figure, base: Figure): string {
  const share = (figure.ms / base.ms).toFixed(2);
  return `  ${name.padEnd(28)}${figure.requests.toFixed(0).padStart(5)} requests ${figure.ms.toFixed(1).padStart(8)} ms   ${share}`;
}

async function compare(delayMs: number, serial: boolean, startMs: number): Promise<void> {
  const file = fileURLToPath(new URL('./read-agent.ts', import.meta.url));
  const agent = fork(file, [ADDRESS, String(delayMs), serial ? 'yes' : 'no'], { execArgv: ['--import', 'tsx'] });
  const [{ port }] = (await once(agent, 'message')) as [{ port: number }];
  const { objects } = await count(agent);
  const c25 = without(startMs, await timed(agent, () => walk(port, 25)));
  const c50 = without(startMs, await timed(agent, () => walk(port, 50)));
  const own = await timed(agent, () => ours(port));
  agent.kill();
  const manner = serial ? ', one request at a time' : '';
  console.log(`${objects} objects, ${delayMs} ms for each reply${manner}; last column: share of the walk's time`);
  console.log(row('C bulk walk, 25 repetitions', c25, c25));
  console.log(row('C bulk walk, 50 repetitions', c50, c25));
  console.log(row('reading plan', own, c25));
}

/** Reads one printer by the plan and by the C tool's walk, with 0, 2 and 20 ms of delay. */
export async function run(): Promise<void> {
  if (findProgram('snmpbulkwalk') === null) throw new Error('needs snmpbulkwalk');
  const starts: number[] = [];
  for (let i = 0; i < ROUNDS; i++) {
    const started = performance.now();
    await run1('snmpbulkwalk', ['-V']);
    starts.push(performance.now() - started);
  }
  const startMs = median(starts);
  console.log(`start of the C tool's process, taken off its figures: ${startMs.toFixed(1)} ms`);
  for (const delayMs of [0, 2, 20]) await compare(delayMs, false, startMs);
  await compare(20, true, startMs);
}

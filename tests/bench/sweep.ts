import { execFileSync, spawn } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { availableParallelism, loadavg } from 'node:os';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import type { SweepDocument } from '../../src/model/sweep.js';
import { PACES } from '../../src/sweep/pace.js';
import { type Bridge, firstLine, makeBridge } from '../peers/namespace-bridge.js';
import { findProgram } from '../peers/peer.js';
import type { Part } from '../peers/sweep-host.js';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const HOST = fileURLToPath(new URL('../peers/sweep-host.ts', import.meta.url));
const MAIN = `${ROOT}dist/main.js`;
const ROUNDS = 5;
/** The five TCP ports and the UDP port that a sweep asks. */
const PORTS = 'T:631,9100,515,80,443,U:161';
/** How long the kernel keeps an unanswered on-link address. Measured, see PACES. */
const HELD_MS = 3100;

/** Whether all of this may run ahead of other work. */
let ahead = false;

interface Figure {
  readonly wallMs: number;
  readonly cpuMs: number;
  readonly peakMb: number;
  readonly packets: number;
  readonly files: number;
  readonly out: string;
}

interface Stage {
  readonly title: string;
  readonly range: string;
  /** Interface whose sent packets count. */
  readonly device: string;
  readonly rounds: number;
  readonly printers: number;
}

/** Sweeps beside the general tools, in one namespace, and prints a table for each network. */
export async function run(): Promise<void> {
  for (const program of ['fping', 'nmap', 'nft', 'ip'])
    if (findProgram(program) === null) throw new Error(`needs ${program}`);
  execFileSync('npm', ['run', 'build', '--silent'], { cwd: ROOT, stdio: ['ignore', 'ignore', 'inherit'] });
  ahead = aheadOfOthers();
  const bridge = makeBridge();
  try {
    console.log(
      `${availableParallelism()} cores, load ${loadavg()[0]?.toFixed(1)}${ahead ? ' (all of this runs ahead of it)' : ''}, Node ${process.version}; medians of ${ROUNDS} where a run is short`,
    );
    const start = await starts(bridge);
    await quiet(bridge, start);
    await allAnswer(bridge, start);
    await loopback(bridge, start);
    await wide(bridge, start, '10.20.0.0/22', 10, 20);
    await wide(bridge, start, '10.30.0.0/16', 10, 30);
  } finally {
    bridge.close();
  }
}

/** Hosts and tools alike run ahead of other work on the machine, where the system has a way (real-time turns) and allows it. */
function aheadOfOthers(): boolean {
  try {
    execFileSync('chrt', ['-r', '-p', '1', String(process.pid)], { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
}

interface Start {
  readonly node: number;
  readonly program: number;
}

async function starts(bridge: Bridge): Promise<Start> {
  const stage: Stage = { title: '', range: '', device: 'lo', rounds: ROUNDS, printers: 0 };
  const node = await measured(bridge, stage, [process.execPath, '-e', '0']);
  const program = await measured(bridge, stage, [
    process.execPath,
    MAIN,
    'sweep',
    '127.0.0.1',
    '--json',
    '--timeout',
    '1',
    '--retries',
    '0',
    '--listen',
    '0',
    '--pace',
    'brisk',
  ]);
  console.log(`start of Node ${ms(node.wallMs)}; the program with one address of its own ${ms(program.wallMs)}`);
  return { node: node.wallMs, program: program.wallMs };
}

async function quiet(bridge: Bridge, start: Start): Promise<void> {
  await Promise.all([21, 54, 97, 150, 203].map((last) => printer(bridge, `192.0.2.${last}`, 24)));
  const stage = {
    title: 'quiet /24, five printers',
    range: '192.0.2.0/24',
    device: 'br0',
    rounds: ROUNDS,
    printers: 5,
  };
  await compare(bridge, stage, start, (pace) => sending(254, pace) + pace.resolveMs);
}

async function allAnswer(bridge: Bridge, start: Start): Promise<void> {
  const host = bridge.addHost('198.51.100.254/24');
  // One host with all addresses but the asker's own.
  for (let last = 2; last < 254; last += 1) {
    bridge.run(host, 'ip', 'addr', 'add', `198.51.100.${last}/32`, 'dev', 'eth0');
  }
  bridge.run(bridge.asker, 'ip', 'addr', 'add', '198.51.100.1/24', 'dev', 'br0');
  const stage = {
    title: '/24 in which every address answers',
    range: '198.51.100.0/24',
    device: 'br0',
    rounds: ROUNDS,
    printers: 0,
  };
  await compare(bridge, stage, start, (pace) => sending(254, pace) + pace.timeoutMs);
}

async function loopback(bridge: Bridge, start: Start): Promise<void> {
  const stage = { title: 'loopback /16', range: '127.40.0.0/16', device: 'lo', rounds: 1, printers: 0 };
  await compare(bridge, stage, start, (pace) => pace.timeoutMs);
}

/** A subnet wider than the neighbour table: at most so many addresses wait at the same time, each for three seconds. */
async function wide(bridge: Bridge, start: Start, range: string, a: number, b: number): Promise<void> {
  const bits = Number(range.split('/')[1]);
  const count = 2 ** (32 - bits) - 2;
  bridge.run(bridge.asker, 'ip', 'addr', 'add', `${a}.${b}.0.1/${bits}`, 'dev', 'br0');
  const last = bits === 16 ? 255 : 3;
  const places = [`${a}.${b}.0.9`, `${a}.${b}.1.77`, `${a}.${b}.2.3`, `${a}.${b}.${last}.140`, `${a}.${b}.${last}.254`];
  await Promise.all(places.map((address) => printer(bridge, address, bits)));
  const stage = {
    title: `on-link ${range.replace(/.*\//, '/')}, five printers`,
    range,
    device: 'br0',
    rounds: 1,
    printers: 5,
  };
  console.log(`\n${stage.title}`);
  heading();
  for (const name of ['steady', 'brisk'] as const) {
    if (bits === 16 && name === 'steady') continue;
    const pace = PACES[name];
    const floor = Math.ceil(Math.max(0, count - pace.unresolved) / pace.unresolved) * HELD_MS + pace.resolveMs;
    await own(bridge, stage, start, name, floor, ['--listen', '0']);
  }
}

/** Sending time at a pace: what goes beyond the first burst. */
function sending(count: number, pace: (typeof PACES)['brisk']): number {
  return (Math.max(0, count - pace.burst) / pace.perSecond) * 1000;
}

async function compare(
  bridge: Bridge,
  stage: Stage,
  start: Start,
  floor: (pace: (typeof PACES)['brisk']) => number,
): Promise<void> {
  console.log(`\n${stage.title}`);
  heading();
  const ours = await own(bridge, stage, start, 'brisk', floor(PACES.brisk), ['--listen', '0']);
  await own(bridge, stage, start, 'steady', floor(PACES.steady), ['--listen', '0']);
  if (stage.device !== 'lo') await own(bridge, { ...stage, rounds: 1 }, start, 'steady', floor(PACES.steady), []);
  row(
    'ping sweeper, one try, 500 ms',
    await measured(bridge, stage, ['fping', '-q', '-r0', '-t500', '-i0.01', '-g', stage.range]),
  );
  const scans = [
    ['port scanner, fastest timing', '-T5'],
    ['port scanner, its default timing', '-T3'],
  ] as const;
  for (const [title, timing] of scans) {
    // Where every address answers its default timing takes minutes: closed UDP ports are told slowly.
    if (timing === '-T3' && stage.printers === 0) continue;
    const rounds = Math.min(stage.rounds, 3);
    const scan = await measured(bridge, { ...stage, rounds }, [
      'nmap',
      '-n',
      timing,
      '-sS',
      '-sU',
      '-p',
      PORTS,
      stage.range,
    ]);
    row(title, scan, `${(scan.wallMs / ours.wallMs).toFixed(1)} × the brisk sweep`);
  }
}

async function own(
  bridge: Bridge,
  stage: Stage,
  start: Start,
  name: 'steady' | 'brisk',
  floorMs: number,
  extra: readonly string[],
): Promise<Figure> {
  const figure = await measured(bridge, stage, [
    process.execPath,
    MAIN,
    'sweep',
    stage.range,
    '--json',
    '--pace',
    name,
    ...extra,
  ]);
  const found = (JSON.parse(figure.out) as SweepDocument).found.length;
  const share = ((figure.wallMs - start.node) / floorMs).toFixed(2);
  const words =
    extra.length > 0
      ? `floor ${ms(floorMs)}, ${share} × without Node's start`
      : `of which ${PACES[name].listenMs} ms of listening`;
  row(
    `sweep, ${name}${extra.length > 0 ? '' : ', listening'}`,
    figure,
    `${found} of ${stage.printers} found; ${words}`,
  );
  return figure;
}

function heading(): void {
  console.log(
    `  ${''.padEnd(34)}${['wall', 'CPU', 'peak', 'packets', 'files'].map((word) => word.padStart(10)).join('')}`,
  );
}

function row(title: string, figure: Figure, remark = ''): void {
  const cells = [
    ms(figure.wallMs),
    ms(figure.cpuMs),
    `${figure.peakMb.toFixed(0)} MB`,
    String(figure.packets),
    String(figure.files),
  ];
  console.log(`  ${title.padEnd(34)}${cells.map((cell) => cell.padStart(10)).join('')}   ${remark}`);
}

function ms(value: number): string {
  return `${Math.round(value)} ms`;
}

async function printer(bridge: Bridge, address: string, bits: number): Promise<void> {
  const host = bridge.addHost(`${address}/${bits}`);
  const parts: readonly Part[] = [
    { kind: 'device', address, scenario: { kind: 'printer', name: `p${address.replaceAll('.', '-')}` } },
  ];
  const command = [process.execPath, '--import', import.meta.resolve('tsx'), HOST, JSON.stringify(parts)];
  // It compiles itself in ordinary turns, and gets ahead of other work once it listens.
  const child = bridge.start(host, 'nice', [...(ahead ? ['chrt', '-o', '0'] : []), ...command]);
  await firstLine(child);
  if (ahead) execFileSync('chrt', ['-a', '-r', '-p', '1', String(child.pid)], { stdio: 'ignore' });
}

/** The run of median wall time. The neighbour table is emptied before each. */
async function measured(bridge: Bridge, stage: Stage, command: readonly string[]): Promise<Figure> {
  const figures: Figure[] = [];
  for (let round = 0; round < stage.rounds; round += 1) {
    bridge.run(bridge.asker, 'ip', 'neigh', 'flush', 'all');
    await sleep(200);
    figures.push(await once(bridge, stage.device, command));
  }
  const sorted = figures.sort((a, b) => a.wallMs - b.wallMs);
  return sorted[Math.floor(sorted.length / 2)] as Figure;
}

async function once(bridge: Bridge, device: string, command: readonly string[]): Promise<Figure> {
  const before = packetsSent(bridge, device);
  const shell = 'TIMEFORMAT="took %R %U %S"; time "$@"';
  const child = spawn('ip', ['netns', 'exec', bridge.asker, 'bash', '-c', shell, 'bash', ...command], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let out = '';
  let err = '';
  child.stdout.on('data', (chunk) => {
    out += String(chunk);
  });
  child.stderr.on('data', (chunk) => {
    err += String(chunk);
  });
  let peakKb = 0;
  let files = 0;
  const watch = setInterval(() => {
    for (const pid of childrenOf(child.pid ?? 0)) {
      peakKb = Math.max(peakKb, Number(/VmHWM:\s+(\d+)/.exec(contents(`/proc/${pid}/status`))?.[1] ?? 0));
      files = Math.max(files, filesOf(pid));
    }
  }, 10);
  await new Promise<void>((resolve) => child.once('close', () => resolve()));
  clearInterval(watch);
  const took = /took ([\d.]+) ([\d.]+) ([\d.]+)/.exec(err);
  const cpuMs = (Number(took?.[2] ?? 0) + Number(took?.[3] ?? 0)) * 1000;
  const wallMs = Number(took?.[1] ?? 0) * 1000;
  return { wallMs, cpuMs, peakMb: peakKb / 1024, packets: packetsSent(bridge, device) - before, files, out };
}

function packetsSent(bridge: Bridge, device: string): number {
  const [link] = JSON.parse(bridge.run(bridge.asker, 'ip', '-s', '-j', 'link', 'show', device)) as [
    { stats64: { tx: { packets: number } } },
  ];
  return link.stats64.tx.packets;
}

function childrenOf(pid: number): readonly string[] {
  return contents(`/proc/${pid}/task/${pid}/children`)
    .trim()
    .split(' ')
    .filter((one) => one !== '');
}

function contents(file: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch {
    return '';
  }
}

function filesOf(pid: string): number {
  try {
    return readdirSync(`/proc/${pid}/fd`).length;
  } catch {
    return 0;
  }
}

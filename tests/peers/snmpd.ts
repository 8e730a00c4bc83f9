import type { Buffer } from 'node:buffer';
import { type ChildProcess, execFile, spawn } from 'node:child_process';
import { createSocket } from 'node:dgram';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { parts, readOid } from '../net/ber.js';
import { compare } from '../net/snmp-agent.js';
import { findProgram } from './peer.js';

export const run = promisify(execFile);

export interface Snmpd {
  readonly address: string;
  readonly port: number;
  stop(): Promise<void>;
}

async function freePort(address: string): Promise<number> {
  const socket = createSocket('udp4');
  await new Promise<void>((resolve) => socket.bind(0, address, resolve));
  const { port } = socket.address();
  await new Promise<void>((resolve) => socket.close(() => resolve()));
  return port;
}

const PASS_TYPES: Readonly<Record<number, string>> = {
  2: 'integer',
  65: 'counter',
  66: 'gauge',
  67: 'timeticks',
  6: 'objectid',
};

/** `OID type value` of one encoded value, in the words of the agent's pass protocol. */
function passLine(name: string, value: Buffer): string {
  const [part] = parts(value);
  const tag = part?.tag ?? 4;
  const content = part?.content ?? value;
  const type = PASS_TYPES[tag];
  if (type === undefined) return `.${name} octet ${content.toString('hex').replaceAll(/(..)/g, '$1 ').trim()}`;
  if (tag === 6) return `.${name} ${type} .${readOid(content)}`;
  return `.${name} ${type} ${content.readIntBE(0, content.length)}`;
}

/** Subtrees taken from the made-up printer; the rest the agent tells of this machine. */
const SUBTREES: readonly string[] = ['1.3.6.1.2.1.43', '1.3.6.1.2.1.25.3.2', '1.3.6.1.2.1.25.3.5'];

/** Starts the system's SNMP agent on a loopback address, serving a printer's objects and the given configuration lines. */
export async function startSnmpd(
  address: string,
  objects: Readonly<Record<string, Buffer>>,
  configuration: readonly string[],
): Promise<Snmpd> {
  const folder = mkdtempSync(join(tmpdir(), 'outfeed-snmpd-'));
  const names = Object.keys(objects).sort(compare);
  const script = fileURLToPath(new URL('./snmp-objects.mjs', import.meta.url));
  const passes = SUBTREES.map((subtree, i) => {
    const file = join(folder, `objects-${i}`);
    const lines = names
      .filter((name) => name.startsWith(`${subtree}.`))
      .map((name) => passLine(name, objects[name] as Buffer));
    writeFileSync(file, lines.join('\n'));
    return `pass_persist .${subtree} ${process.execPath} ${script} ${file}`;
  });
  const config = join(folder, 'snmpd.conf');
  writeFileSync(config, `${[...configuration, ...passes].join('\n')}\n`);
  const port = await freePort(address);
  const child = spawn(
    findProgram('snmpd') ?? 'snmpd',
    [
      '-C',
      '-c',
      config,
      '-f',
      '-Lf',
      join(folder, 'log'),
      '-p',
      join(folder, 'pid'),
      '-I',
      '-smux,hr_device',
      `udp:${address}:${port}`,
    ],
    { env: { ...process.env, MIBS: '', SNMP_PERSISTENT_DIR: folder }, stdio: 'ignore' },
  );
  await untilItAnswers(address, port, child);
  return {
    address,
    port,
    stop: async () => {
      const ended = new Promise((resolve) => child.once('exit', resolve));
      child.kill('SIGTERM');
      await Promise.race([ended, delay(3000).then(() => child.kill('SIGKILL'))]);
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Asks with the system's own tool, so that nothing of ours decides when the peer is ready. */
async function untilItAnswers(address: string, port: number, child: ChildProcess): Promise<void> {
  for (let i = 0; i < 60; i++) {
    if (child.exitCode !== null) throw new Error(`the agent ended with ${child.exitCode}`);
    const args = ['-v2c', '-cpublic', '-t1', '-r0', '-On', `${address}:${port}`, '.1.3.6.1.2.1.43.5.1.1.1'];
    try {
      await run('snmpgetnext', args, { env: { ...process.env, MIBS: '' } });
      return;
    } catch {
      await delay(100);
    }
  }
  throw new Error('the agent does not answer');
}

/** One subtree read by the system's tool: OID → type and text. Octets in hex, numbers raw. */
export async function bulkWalk(agent: Snmpd, subtree: string): Promise<Map<string, { type: string; text: string }>> {
  const args = [
    '-v2c',
    '-cpublic',
    '-Cr25',
    '-On',
    '-Oe',
    '-Ot',
    '-Ox',
    '-OU',
    `${agent.address}:${agent.port}`,
    subtree,
  ];
  const { stdout } = await run('snmpbulkwalk', args, {
    env: { ...process.env, MIBS: '' },
    maxBuffer: 16 * 1024 * 1024,
  });
  const out = new Map<string, { type: string; text: string }>();
  let last = '';
  for (const line of stdout.split('\n')) {
    const match = /^\.([\d.]+) = (?:([\w-]+): )?(.*)$/.exec(line);
    if (match) {
      last = match[1] ?? '';
      out.set(last, { type: match[2] ?? '', text: match[3] ?? '' });
    } else if (out.has(last) && line !== '') {
      const entry = out.get(last);
      if (entry) entry.text += ` ${line}`;
    }
  }
  return out;
}

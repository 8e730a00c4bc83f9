import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { chmodSync, chownSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import pg from 'pg';
import { findProgram } from './peer.js';

export interface Postgres {
  /** URL of a new, empty database. */
  database(): Promise<string>;
  /** As when the machine loses power: no process of it says goodbye. */
  kill(): Promise<void>;
  start(): Promise<void>;
  stop(): Promise<void>;
}

/** Where Debian puts the server's programs, which are not on PATH. */
function programsFolder(): string | null {
  try {
    const versions = readdirSync('/usr/lib/postgresql').sort((a, b) => Number(b) - Number(a));
    return versions.length === 0 ? null : `/usr/lib/postgresql/${versions[0]}/bin`;
  } catch {
    return null;
  }
}

export function findPostgres(): string | null {
  const folder = programsFolder();
  const there = (path: string | null): boolean =>
    path !== null && execFileSync('sh', ['-c', `test -x ${path} && echo y || true`]).toString() === 'y\n';
  return folder !== null && there(`${folder}/initdb`) ? folder : findProgram('initdb') === null ? null : '';
}

/** The server refuses to run as root: then it runs as the system's own account for it, or as nobody. */
function account(): { uid: number; gid: number } | undefined {
  if (process.getuid?.() !== 0) return undefined;
  for (const name of ['postgres', 'nobody']) {
    try {
      const id = (flag: string) => Number(execFileSync('id', [flag, name], { stdio: ['ignore', 'pipe', 'ignore'] }));
      return { uid: id('-u'), gid: id('-g') };
    } catch {
      // no such account here
    }
  }
  return undefined;
}

function freePort(): Promise<number> {
  return new Promise((resolve) => {
    const server = createServer().listen(0, '127.0.0.1', () => {
      const { port } = server.address() as { port: number };
      server.close(() => resolve(port));
    });
  });
}

/** A server of its own on loopback, with a data folder of its own. */
export async function startPostgres(): Promise<Postgres> {
  const programs = findPostgres() ?? '';
  const program = (name: string) => (programs === '' ? name : join(programs, name));
  const folder = mkdtempSync(join(tmpdir(), 'outfeed-postgres-'));
  const as = account();
  if (as) chownSync(folder, as.uid, as.gid);
  chmodSync(folder, 0o700);
  const data = join(folder, 'data');
  const options = { cwd: folder, stdio: 'ignore' as const, ...(as ?? {}), env: { ...process.env, LC_ALL: 'C' } };
  execFileSync(program('initdb'), ['-D', data, '-A', 'trust', '-U', 'outfeed', '-E', 'UTF8', '--no-sync'], options);
  const port = await freePort();
  const url = (name: string) => `postgres://outfeed@127.0.0.1:${port}/${name}`;
  let child: ChildProcess | undefined;
  let count = 0;
  const query = async (text: string) => {
    const client = new pg.Client({ connectionString: url('postgres'), connectionTimeoutMillis: 2_000 });
    client.on('error', () => undefined);
    await client.connect();
    await client.query(text).finally(() => client.end());
  };
  const spawned = () => {
    const settings = ['listen_addresses=127.0.0.1', 'unix_socket_directories=', 'max_connections=500'];
    const args = ['-D', data, '-p', String(port), ...settings.flatMap((setting) => ['-c', setting])];
    return spawn(program('postgres'), args, { ...options, detached: true });
  };
  const start = async () => {
    for (let i = 0; i < 300; i++) {
      // After a kill it refuses to start until the last of its old processes has noticed.
      if (child === undefined || child.exitCode !== null || child.signalCode !== null) child = spawned();
      try {
        await query('select 1');
        return;
      } catch {
        await delay(100);
      }
    }
    throw new Error('the database server does not answer');
  };
  const end = async (signal: NodeJS.Signals, whole: boolean) => {
    const running = child;
    if (running?.pid === undefined || running.exitCode !== null || running.signalCode !== null) return;
    const ended = new Promise((resolve) => running.once('exit', resolve));
    process.kill(whole ? -running.pid : running.pid, signal);
    await ended;
  };
  await start();
  return {
    database: async () => {
      const name = `d${++count}_${process.pid}`;
      await query(`create database ${name}`);
      return url(name);
    },
    kill: () => end('SIGKILL', true),
    start,
    stop: async () => {
      await end('SIGQUIT', false);
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/**
 * `npm run bench -- http`: 200 clients on the agent's page and API with 1,000 printers, beside the same HTTP framework that answers
 * "hello" and nothing else, in the same run. The server is a process of its own; how often one may ask is not limited here.
 */
import { fork } from 'node:child_process';
import { Agent, request } from 'node:http';
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';

const CLIENTS = 200;
const SECONDS = 5;
const PRINTERS = 1_000;

interface Round {
  readonly answers: number;
  readonly perSecond: number;
  readonly p50: number;
  readonly p99: number;
  readonly octets: number;
}

export async function run(): Promise<void> {
  for (const [what, path, coding] of [
    ['bare', '/', 'identity'],
    ['served', '/api/v1/printers', 'identity'],
    ['served', '/api/v1/printers', 'gzip'],
    ['served', '/', 'gzip'],
    ['served', '/', 'br'],
    ['served', '/metrics', 'gzip'],
  ] as const) {
    const server = await start(what);
    const before = await server.megabytes();
    await load(server.port, path, coding, 1);
    const round = await load(server.port, path, coding, SECONDS);
    const after = await server.megabytes();
    server.stop();
    say(what === 'bare' ? 'the framework alone, "hello"' : `${path} (${coding})`, round, before, after);
  }
}

function say(what: string, { answers, perSecond, p50, p99, octets }: Round, before: number, after: number): void {
  const times = `p50 ${p50.toFixed(0)} ms, p99 ${p99.toFixed(0)} ms`;
  const memory = `${before} MB before, ${after} MB after`;
  process.stdout.write(
    `${what}: ${perSecond.toFixed(0)} answers/s of ${CLIENTS} clients (${answers}), ${times}, ${(octets / 1000).toFixed(1)} kB each, ${memory}\n`,
  );
}

async function start(what: 'bare' | 'served') {
  const script = fileURLToPath(new URL('http-server.ts', import.meta.url));
  const child = fork(script, [what, String(PRINTERS)], {
    execArgv: ['--import', createRequire(import.meta.url).resolve('tsx'), '--expose-gc'],
  });
  const heard = <T>(): Promise<T> =>
    new Promise((resolve) => child.once('message', (message) => resolve(message as T)));
  const { port } = await heard<{ port: number }>();
  return {
    port,
    megabytes: async () => {
      const answer = heard<{ megabytes: number }>();
      child.send('memory');
      return (await answer).megabytes;
    },
    stop: () => child.kill(),
  };
}

async function load(port: number, path: string, coding: string, seconds: number): Promise<Round> {
  const agent = new Agent({ keepAlive: true, maxSockets: CLIENTS });
  const until = performance.now() + seconds * 1_000;
  const started = performance.now();
  const times: number[] = [];
  let octets = 0;
  const client = async () => {
    while (performance.now() < until) {
      const asked = performance.now();
      octets = await get(port, path, coding, agent);
      times.push(performance.now() - asked);
    }
  };
  await Promise.all(Array.from({ length: CLIENTS }, client));
  const elapsed = (performance.now() - started) / 1_000;
  agent.destroy();
  times.sort((a, b) => a - b);
  const at = (share: number): number => times[Math.min(times.length - 1, Math.floor(times.length * share))] ?? 0;
  return { answers: times.length, perSecond: times.length / elapsed, p50: at(0.5), p99: at(0.99), octets };
}

function get(port: number, path: string, coding: string, agent: Agent): Promise<number> {
  const headers = { 'Accept-Encoding': coding, Accept: '*/*' };
  return new Promise((resolve, reject) => {
    const asked = request({ host: '127.0.0.1', port, path, headers, agent }, (answer) => {
      let octets = 0;
      answer.on('data', (part: Buffer) => {
        octets += part.length;
      });
      answer.on('end', () => {
        if (answer.statusCode === 200) resolve(octets);
        else reject(new Error(`${path} was answered ${answer.statusCode}`));
      });
    });
    asked.on('error', reject);
    asked.end();
  });
}

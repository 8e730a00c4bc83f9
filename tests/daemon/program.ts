import { type ChildProcess, spawn } from 'node:child_process';
import { createRequire } from 'node:module';
import { createServer } from 'node:net';
import { setTimeout as delay } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';

const TSX = createRequire(import.meta.url).resolve('tsx');
const MAIN = fileURLToPath(new URL('../../src/main.ts', import.meta.url));

export interface RunningProgram {
  readonly child: ChildProcess;
  /** Lines of its log so far, parsed. */
  readonly log: Readonly<Record<string, unknown>>[];
  readonly ended: Promise<{ readonly code: number | null; readonly signal: string | null }>;
  /** Waits for a line with these words. */
  said(words: RegExp, from?: number): Promise<void>;
}

/** The agent as a process of its own, as a service manager would start it. */
export function startAgent(folder: string, ...more: readonly string[]): RunningProgram {
  const child = spawn(process.execPath, ['--import', TSX, MAIN, 'agent', ...more], { cwd: folder });
  const log: Record<string, unknown>[] = [];
  let rest = '';
  child.stderr.on('data', (part: Buffer) => {
    const lines = (rest + part.toString('utf8')).split('\n');
    rest = lines.pop() ?? '';
    for (const line of lines)
      log.push(line.startsWith('{') ? (JSON.parse(line) as Record<string, unknown>) : { msg: line });
  });
  const ended = new Promise<{ code: number | null; signal: string | null }>((resolve) =>
    child.once('close', (code, signal) => resolve({ code, signal })),
  );
  return {
    child,
    log,
    ended,
    said: async (words, from = 0) => {
      for (let i = 0; i < 1_200; i++) {
        if (log.slice(from).some((line) => words.test(`${line.msg} ${JSON.stringify(line)}`))) return;
        await delay(50);
      }
      throw new Error(`it never said ${words}: ${log.map(({ msg }) => msg).join(' | ')}`);
    },
  };
}

export function freeTcpPort(): Promise<number> {
  return new Promise((resolve) => {
    const server = createServer().listen(0, '127.0.0.1', () => {
      const { port } = server.address() as { port: number };
      server.close(() => resolve(port));
    });
  });
}

/** Talk by lines of JSON between the lab and its child processes: one request a line, one reply a line, in order. */
import { type ChildProcess, spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

/** Serves requests from stdin, one after the other, until stdin ends. An error is a reply, not an end. */
export function serveLines(answer: (request: never) => Promise<unknown>): void {
  let before: Promise<unknown> = Promise.resolve();
  const reply = (value: unknown): boolean => process.stdout.write(`${JSON.stringify(value)}\n`);
  const lines = createInterface({ input: process.stdin });
  lines.on('line', (line) => {
    before = before
      .then(() => answer(JSON.parse(line) as never))
      .then(
        (result) => reply({ result }),
        (error: unknown) => reply({ error: String(error) }),
      );
  });
  lines.on('close', () => process.exit(0));
  reply({ result: 'ready' });
}

/** A child process that answers lines. */
export interface Peer {
  readonly ask: <T>(request: unknown) => Promise<T>;
}

/** Node itself with the TypeScript loader: one process, which ends when it is told to. */
const NODE = ['--import', import.meta.resolve('tsx')];

/**
 * Starts `script` of this folder in a network namespace and waits until it is ready. Rejects when it ends too soon.
 * `spawned` is told at once how to end it, whether or not it ever becomes ready.
 */
export async function startPeer(namespace: string, script: string, spawned: (end: () => void) => void): Promise<Peer> {
  const file = fileURLToPath(new URL(script, import.meta.url));
  const child = spawn('ip', ['netns', 'exec', namespace, process.execPath, ...NODE, file], {
    stdio: ['pipe', 'pipe', 'inherit'],
  });
  spawned(() => child.kill('SIGKILL'));
  const waiting: Waiting[] = [];
  listen(child, waiting);
  const expectLine = <T>(): Promise<T> =>
    new Promise<T>((resolve, reject) => {
      waiting.push({ resolve: (value) => resolve(value as T), reject });
    });
  await expectLine();
  return {
    ask: (request) => {
      const answer = expectLine<never>();
      child.stdin?.write(`${JSON.stringify(request)}\n`);
      return answer;
    },
  };
}

interface Waiting {
  readonly resolve: (value: unknown) => void;
  readonly reject: (error: Error) => void;
}

function listen(child: ChildProcess, waiting: Waiting[]): void {
  child.stdin?.on('error', () => undefined);
  if (child.stdout === null) throw new Error('a child without output can not answer');
  createInterface({ input: child.stdout }).on('line', (line) => {
    const { result, error } = JSON.parse(line) as { result?: unknown; error?: string };
    const first = waiting.shift();
    if (error === undefined) first?.resolve(result);
    else first?.reject(new Error(error));
  });
  child.on('close', (code) => {
    for (const one of waiting.splice(0)) one.reject(new Error(`the child ended with ${code}`));
  });
}

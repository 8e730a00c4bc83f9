import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

/** A network of namespaces: one that asks, with a bridge, and hosts that hang on it by a cable each. */
export interface Bridge {
  /** Namespace of the one that asks: 192.0.2.1/24 on `br0`. */
  readonly asker: string;
  /** Namespaces of the hosts added so far. */
  readonly hosts: readonly string[];
  /** Adds a host with these addresses (the first with its prefix length is the main one), and gives its namespace. */
  addHost(...addresses: readonly string[]): string;
  /** Runs a program in a namespace and gives its output. */
  run(namespace: string, program: string, ...args: readonly string[]): string;
  /** Starts a program in a namespace; it ends with the bridge. */
  start(namespace: string, program: string, args: readonly string[], env?: NodeJS.ProcessEnv): ChildProcess;
  /** Runs one step of the errand script in a namespace and gives what it printed. */
  errand<T>(namespace: string, ...args: readonly string[]): Promise<T>;
  /** Starts a made-up device in a namespace and waits until it listens. */
  device(namespace: string, scenario: string, address: string): Promise<void>;
  close(): void;
}

const ERRAND = fileURLToPath(new URL('./namespace-errand.ts', import.meta.url));
/** Node itself, not the wrapper: one process, which ends when it is told to. */
const NODE = ['--import', import.meta.resolve('tsx'), ERRAND];

let count = 0;

/** A bridge, made when it is first used. Names hold the process id, so that test files may run side by side. Close it whatever happens. */
export function makeBridge(): Bridge {
  count += 1;
  const prefix = `of${process.pid}x${count}`;
  const namespaces: string[] = [];
  const children: ChildProcess[] = [];
  const ip = (...args: readonly string[]): string => execFileSync('ip', [...args], { encoding: 'utf8' });
  const add = (name: string): string => {
    const namespace = `${prefix}${name}`;
    ip('netns', 'add', namespace);
    namespaces.push(namespace);
    ip('-n', namespace, 'link', 'set', 'lo', 'up');
    return namespace;
  };
  const close = (): void => {
    process.off('exit', close);
    for (const child of children.splice(0)) child.kill('SIGKILL');
    for (const namespace of namespaces.splice(0)) {
      try {
        ip('netns', 'del', namespace);
      } catch {
        // it is gone already
      }
    }
  };
  process.on('exit', close);
  const launch = (
    command: readonly string[],
    complaints: 'inherit' | 'ignore',
    env?: NodeJS.ProcessEnv,
  ): ChildProcess => {
    const child = spawn('ip', ['netns', 'exec', ...command], {
      stdio: ['pipe', 'pipe', complaints],
      env: { ...process.env, ...env },
    });
    children.push(child);
    return child;
  };
  let made: string | undefined;
  /** The asker's namespace with the bridge in it, made when it is first wanted: a suite that is skipped wants none. */
  const asker = (): string => {
    if (made !== undefined) return made;
    made = add('a');
    // Without an address of its own a bridge takes the lowest of its ports', and forgets all neighbours when that changes.
    ip('-n', made, 'link', 'add', 'br0', 'address', '02:00:00:00:00:01', 'type', 'bridge');
    ip('-n', made, 'addr', 'add', '192.0.2.1/24', 'dev', 'br0');
    ip('-n', made, 'link', 'set', 'br0', 'up');
    return made;
  };
  return {
    get asker() {
      return asker();
    },
    get hosts() {
      return namespaces.filter((namespace) => namespace !== made);
    },
    addHost: (...addresses) => {
      const middle = asker();
      const host = add(`h${namespaces.length}`);
      const port = `p${namespaces.length}`;
      ip('link', 'add', port, 'netns', middle, 'type', 'veth', 'peer', 'name', 'eth0', 'netns', host);
      for (const address of addresses) ip('-n', host, 'addr', 'add', address, 'dev', 'eth0');
      ip('-n', middle, 'link', 'set', port, 'master', 'br0', 'up');
      ip('-n', host, 'link', 'set', 'eth0', 'up');
      return host;
    },
    run: (namespace, program, ...args) =>
      execFileSync('ip', ['netns', 'exec', namespace, program, ...args], { encoding: 'utf8' }),
    start: (namespace, program, args, env) => launch([namespace, program, ...args], 'ignore', env),
    errand: async <T>(namespace: string, ...args: readonly string[]) => {
      const child = launch([namespace, process.execPath, ...NODE, ...args], 'inherit');
      return JSON.parse(await outputOf(child)) as T;
    },
    device: async (namespace, scenario, address) => {
      const child = launch([namespace, process.execPath, ...NODE, 'device', scenario, address], 'inherit');
      await firstLine(child);
    },
    close,
  };
}

async function outputOf(child: ChildProcess): Promise<string> {
  let text = '';
  child.stdout?.on('data', (chunk) => {
    text += String(chunk);
  });
  await new Promise<void>((resolve) => child.once('close', () => resolve()));
  return text;
}

/** The first line that a program prints: by it a daemon says that it is ready. */
export async function firstLine(child: ChildProcess): Promise<string> {
  if (child.stdout === null) throw new Error('the program has no output to wait for');
  const lines = createInterface({ input: child.stdout });
  return new Promise<string>((resolve, reject) => {
    lines.once('line', resolve);
    child.once('close', (code) => reject(new Error(`the program ended with ${code} before it said anything`)));
  });
}

import { type ChildProcess, execFile, spawn } from 'node:child_process';
import {
  chmodSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { type AddressInfo, connect, createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { promisify } from 'node:util';
import { findProgram } from './peer.js';

const execute = promisify(execFile);
/**
 * Everything by everybody and job names shown to all, but for two policies: `signin` wants a name and password before a
 * job, `private` keeps the spooler's own rule of hiding job names from others.
 */
const CONFIGURATION = `LogLevel warn
MaxLogSize 0
DirtyCleanInterval 0
DefaultAuthType Basic
WebInterface No
Browsing Off
<Location />
  Order allow,deny
  Allow all
</Location>
<Policy default>
  JobPrivateAccess all
  JobPrivateValues none
  <Limit All>
    Order deny,allow
    Allow all
  </Limit>
</Policy>
<Policy private>
  <Limit All>
    Order deny,allow
    Allow all
  </Limit>
</Policy>
<Policy signin>
  <Limit Validate-Job Print-Job Create-Job>
    AuthType Basic
    Require valid-user
  </Limit>
  <Limit All>
    Order deny,allow
    Allow all
  </Limit>
</Policy>
`;

/** A spooler of its own on one loopback address, with its own folders; nothing of the machine's spooler is touched. */
export class Cupsd {
  readonly #folder = mkdtempSync(join(tmpdir(), 'outfeed-cupsd-'));
  #child: ChildProcess | undefined;
  readonly server: string;

  private constructor(host: string, port: number) {
    this.server = `${host}:${port}`;
  }

  /** `programs`: filters and backends of our own beside the installed ones, as `filter/NAME` or `backend/NAME` → shell script. */
  static async start(host: string, programs: Readonly<Record<string, string>> = {}): Promise<Cupsd> {
    const cupsd = new Cupsd(host, await freePort(host));
    cupsd.#programs(programs);
    await cupsd.#run();
    return cupsd;
  }

  uri(queue: string): string {
    return `ipp://${this.server}/printers/${queue}`;
  }

  /** Runs one of the spooler's own tools against it. */
  async tool(program: string, ...argv: string[]): Promise<string> {
    const env = { ...process.env, CUPS_SERVER: this.server, LC_ALL: 'C' };
    const { stdout } = await execute(findProgram(program) ?? program, argv, { env, timeout: 15_000 });
    return stdout;
  }

  /** Sends a small job without showing it to anybody. */
  async print(queue: string, ...argv: string[]): Promise<void> {
    const file = join(this.#folder, 'job.txt');
    writeFileSync(file, 'one line\n');
    await this.tool('lp', '-s', '-d', queue, ...argv, file);
  }

  /** Starts it again after it has ended, on the same files: its queues and jobs are still there. */
  async again(): Promise<void> {
    await this.#run();
  }

  /** Ends it without a word, as a crash would. */
  kill(): void {
    this.#child?.kill('SIGKILL');
  }

  /** Resolves when the daemon ends, however it does. */
  async ended(): Promise<void> {
    const child = this.#child;
    if (child === undefined || child.exitCode !== null || child.signalCode !== null) return;
    await new Promise((resolve) => child.once('exit', resolve));
  }

  /** Writes a file beside the daemon's own and gives its path. */
  file(name: string, text: string): string {
    return this.#write(name, text);
  }

  async stop(): Promise<void> {
    const child = this.#child;
    if (child !== undefined && child.exitCode === null && child.signalCode === null) {
      const ended = new Promise((resolve) => child.once('exit', resolve));
      child.kill('SIGTERM');
      const timer = setTimeout(() => child.kill('SIGKILL'), 5_000);
      await ended;
      clearTimeout(timer);
    }
    rmSync(this.#folder, { recursive: true, force: true, maxRetries: 5 });
  }

  async #run(): Promise<void> {
    for (const name of ['spool/tmp', 'cache', 'run', 'log']) mkdirSync(join(this.#folder, name), { recursive: true });
    const configuration = this.#write('cupsd.conf', `Listen ${this.server}\n${CONFIGURATION}`);
    const files = this.#write(
      'cups-files.conf',
      `ServerRoot ${this.#folder}
RequestRoot ${join(this.#folder, 'spool')}
TempDir ${join(this.#folder, 'spool/tmp')}
CacheDir ${join(this.#folder, 'cache')}
StateDir ${join(this.#folder, 'run')}
Printcap ${join(this.#folder, 'run/printcap')}
AccessLog ${join(this.#folder, 'log/access')}
ErrorLog ${join(this.#folder, 'log/error')}
PageLog ${join(this.#folder, 'log/page')}
Sandboxing Relaxed
${existsSync(join(this.#folder, 'bin')) ? `ServerBin ${join(this.#folder, 'bin')}\n` : ''}`,
    );
    const program = findProgram('cupsd') ?? 'cupsd';
    this.#child = spawn(program, ['-f', '-c', configuration, '-s', files], { stdio: 'ignore' });
    const [host = '', port = '0'] = this.server.split(':');
    await untilOpen(host, Number(port), () => this.#log());
  }

  /** The installed programs by link, ours beside them: the daemon runs what lies below its ServerBin and nothing else. */
  #programs(programs: Readonly<Record<string, string>>): void {
    if (Object.keys(programs).length === 0) return;
    for (const kind of ['backend', 'filter', 'daemon', 'monitor', 'notifier', 'driver', 'cgi-bin']) {
      const folder = join(this.#folder, 'bin', kind);
      mkdirSync(folder, { recursive: true, mode: 0o755 });
      const installed = join('/usr/lib/cups', kind);
      for (const name of existsSync(installed) ? readdirSync(installed) : []) {
        symlinkSync(join(installed, name), join(folder, name));
      }
    }
    for (const [name, script] of Object.entries(programs)) {
      const path = join(this.#folder, 'bin', name);
      writeFileSync(path, `#!/bin/sh\n${script}\n`);
      chmodSync(path, 0o755);
    }
  }

  #write(name: string, text: string): string {
    const path = join(this.#folder, name);
    writeFileSync(path, text);
    return path;
  }

  #log(): string {
    try {
      return readFileSync(join(this.#folder, 'log/error'), 'utf8');
    } catch {
      return 'no log';
    }
  }
}

async function freePort(host: string): Promise<number> {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, host, resolve));
  const { port } = server.address() as AddressInfo;
  await new Promise((resolve) => server.close(resolve));
  return port;
}

async function untilOpen(host: string, port: number, log: () => string): Promise<void> {
  for (let attempt = 0; attempt < 150; attempt += 1) {
    const open = await new Promise<boolean>((resolve) => {
      const socket = connect(port, host, () => resolve(true));
      socket.on('error', () => resolve(false));
      socket.once('connect', () => socket.destroy());
    });
    if (open) return;
    await delay(100);
  }
  throw new Error(`the spooler did not start: ${log()}`);
}

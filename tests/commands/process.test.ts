import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));

interface Ended {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

/** The program as a process of its own, as a shell would start it. `script` is run by `sh -c` with the program as "$@". */
function start(argv: readonly string[], script = 'exec "$@"', env: Record<string, string> = {}): Promise<Ended> {
  const program = [process.execPath, '--import', 'tsx', 'src/main.ts', ...argv];
  const child = spawn('sh', ['-c', script, 'sh', ...program], { cwd: ROOT, env: { ...process.env, ...env } });
  let out = '';
  let err = '';
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    out += text;
  });
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    err += text;
  });
  return new Promise((done) => child.on('close', (code) => done({ code, out, err })));
}

describe('the program as a process', () => {
  test('exit codes, stdout and stderr are kept apart', async () => {
    const [help, wrong, nothing] = await Promise.all([
      start(['--help']),
      start(['show', '300.1.2.3', '--json']),
      start(['show', '127.35.3.9', '--json', '--timeout', '200', '--retries', '0']),
    ]);
    expect(help).toMatchObject({ code: 0, err: '' });
    expect(wrong).toMatchObject({ code: 2, out: '' });
    expect(nothing.code).toBe(3);
    expect(JSON.parse(nothing.out)).toMatchObject({ schema: 'outfeed.printer/1' });
  });

  test('a promise that nobody waited for is a bug like any other: one sentence, exit 4', async () => {
    const body =
      'const t=setInterval(()=>{if(process.listenerCount("unhandledRejection")>0){clearInterval(t);Promise.reject(new Error("lost"))}},5)';
    const lost = `data:text/javascript,${encodeURIComponent(body)}`;
    const { code, err } = await start(['why', '127.35.3.9', '--timeout', '5000'], 'exec "$@"', {
      NODE_OPTIONS: `--import "${lost}"`,
    });
    expect(code).toBe(4);
    expect(err).toBe('outfeed failed: lost; please report this, with what --verbose adds.\n');
  });

  test('on a terminal that was never told its size it writes for 80 columns', async () => {
    const body = 'Object.defineProperty(process.stdout,"columns",{value:0})';
    const { out } = await start(['demo'], '"$@" | head -n 5', {
      NODE_OPTIONS: `--import "data:text/javascript,${encodeURIComponent(body)}"`,
      COLUMNS: '',
    });
    expect(out).toContain('The annex of a harbour office:');
  }, 90_000);

  // full(4): every write to it finds the disk full.
  test('no room for complaints changes nothing, no room for results is a failure', async () => {
    const asked = ['show', '127.35.3.9', '--json', '--timeout', '200', '--retries', '0'];
    const [wrong, quiet, lost] = await Promise.all([
      start(['show', '300.1.2.3'], 'exec "$@" 2>/dev/full'),
      start([...asked, '--verbose'], 'exec "$@" 2>/dev/full'),
      start(asked, 'exec "$@" >/dev/full'),
    ]);
    expect(wrong.code).toBe(2);
    expect(quiet.code).toBe(3);
    expect(JSON.parse(quiet.out)).toMatchObject({ schema: 'outfeed.printer/1' });
    expect(lost.code).toBe(4);
  });

  test('a long document reaches a slow pipe whole', async () => {
    const { code, out } = await start(
      ['why', '127.35.3.9', '--json', '--timeout', '200', '--retries', '0'],
      '"$@" | (sleep 1; cat)',
    );
    expect(code).toBe(0);
    expect(JSON.parse(out)).toMatchObject({ schema: 'outfeed.why/1' });
  });

  test('a reader who leaves early is no failure', async () => {
    const { err } = await start(['show', '--help'], '"$@" | true');
    expect(err).toBe('');
  });
});

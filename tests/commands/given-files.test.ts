import { execFileSync } from 'node:child_process';
import { closeSync, existsSync, ftruncateSync, mkdirSync, mkdtempSync, openSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { bundleOf, HEALTHY } from '../ladder/bundle.js';
import { findProgram } from '../peers/peer.js';
import { outfeed } from './captured-io.js';

let folder: string;
const file = (name: string): string => join(folder, name);
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-given-'));
  writeFileSync(file('printer.json'), JSON.stringify(bundleOf(HEALTHY)));
  mkdirSync(file('folder'));
  if (findProgram('mkfifo') !== null) execFileSync('mkfifo', [file('pipe')]);
  // It has a length and takes no room on the disk.
  const sparse = openSync(file('sparse'), 'w');
  ftruncateSync(sparse, 3_000_000_000);
  closeSync(sparse);
  writeFileSync(file('model.yaml'), 'printers: [{ name: a, address: 192.0.2.1, model: pipe }]\n');
  writeFileSync(file('secret.yaml'), 'snmp: [{ version: 2c, communityFile: pipe }]\n');
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const FROM = ['why', '--from', 'printer.json'];
const SWEEP = ['sweep', '127.0.0.0/30', '--listen', '0'];
/** Every place of the command line that takes a file to be read. */
const PLACES: readonly (readonly [name: string, argv: readonly string[]])[] = [
  ['evidence', ['why', '--from']],
  ['configuration', ['supplies', '--config']],
  ['a configuration to check', ['check-config']],
  ['a print host report', [...FROM, '--queue-report']],
  ['events', [...FROM, '--events']],
  ['a job file', [...FROM, '--file']],
  ['an earlier sweep', [...SWEEP, '--since']],
  ['a history', ['supplies', '--history']],
  ['a model', ['defect', '--marks', '10,20', '--model']],
  ['a key', ['show', '127.0.0.1', '--snmp-user', 'reader', '--auth-key-file']],
  ['an archive', ['compare', 'sparse']],
  ['the last visit', ['snapshot', '127.0.0.1', '--last-visit']],
];
/** Take a folder, or a file of any length. */
const TAKES: Readonly<Record<string, readonly string[]>> = {
  folder: ['an archive', 'the last visit'],
  sparse: ['a job file', 'an archive', 'the last visit'],
};
const BAD: readonly (readonly [what: string, name: string, words: RegExp])[] = [
  ['a pipe that nobody writes into', 'pipe', /it is a pipe, not a file|neither a folder nor a file/],
  ['a device that never ends', '/dev/zero', /it is a device, not a file|neither a folder nor a file/],
  ['a folder', 'folder', /it is a folder/],
  ['a file of three gigabytes', 'sparse', /it is larger than any/],
];

describe.each(BAD)('%s', (_what, name, words) => {
  const there = () => existsSync(name.startsWith('/') ? name : file(name));
  test.each(PLACES.filter(([place]) => !TAKES[name]?.includes(place)))(
    'given as %s is refused in one sentence, at once',
    async (_place, argv) => {
      if (!there()) return;
      const given = argv[0] === 'compare' ? ['compare', name, name] : [...argv, name];
      const { code, out, err } = await outfeed(given, { cwd: folder });
      expect({ code, out, err }).toMatchObject({ code: 2, out: '', err: expect.stringMatching(words) });
      expect(err.trim().split('\n')).toHaveLength(1);
    },
  );
});

test.skipIf(findProgram('mkfifo') === null)('files that a configuration names are not waited for either', async () => {
  for (const config of ['model.yaml', 'secret.yaml']) {
    const { code, out } = await outfeed(['check-config', config], { cwd: folder });
    expect({ code, out }).toMatchObject({ code: 2, out: expect.stringContaining('it is a pipe, not a file') });
  }
});

describe.skipIf(process.platform === 'win32')('what a shell hands over', () => {
  const program = [
    process.execPath,
    '--import',
    createRequire(import.meta.url).resolve('tsx'),
    fileURLToPath(new URL('../../src/main.ts', import.meta.url)),
  ].join(' ');

  test.each([
    ['its standard input', 'sh', `cat printer.json | ${program} why --from /dev/stdin --json`],
    ['a file in its place', 'sh', `${program} why --from /dev/stdin --json < printer.json`],
    ['the output of a program', 'bash', `${program} why --from <(cat printer.json) --json`],
  ])('is read: %s', (_name, shell, line) => {
    if (findProgram(shell) === null) return;
    const said = execFileSync(shell, ['-c', line], { cwd: folder, encoding: 'utf8' });
    expect(JSON.parse(said)).toMatchObject({ schema: 'outfeed.why/1', silent: false });
  });

  test('but not without end', () => {
    const line = `cat /dev/zero | ${program} why --from /dev/stdin; echo "exit $?" >&2`;
    const { stderr } = runShell(line);
    expect(stderr).toMatch(
      /^outfeed: Can't read the evidence \/dev\/stdin: it is larger than any saved evidence.*\nexit 2\n$/,
    );
  });

  function runShell(line: string): { readonly stderr: string } {
    const said = execFileSync('sh', ['-c', `(${line}) 2>&1`], { cwd: folder, encoding: 'utf8' });
    return { stderr: said };
  }
});

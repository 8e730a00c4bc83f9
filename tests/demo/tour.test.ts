import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, test } from 'vitest';
import { type RunProgram, runDemo } from '../../src/commands/demo.js';
import type { Io } from '../../src/commands/io.js';
import { run } from '../../src/commands/program.js';
import { parseConfig } from '../../src/config/parse.js';
import { loadOffice } from '../../src/demo/load.js';
import { TOUR } from '../../src/demo/tour.js';
import type { DemoDocument } from '../../src/model/demo.js';
import type { SweepDocument } from '../../src/model/sweep.js';
import type { WhyDocument } from '../../src/model/why.js';
import { createSystemNet } from '../../src/net/system-net.js';

interface Seen {
  readonly io: Io;
  readonly out: string[];
  text(): string;
}

function seeing(signal?: AbortSignal): Seen {
  const out: string[] = [];
  const io: Io = {
    stdout: (text) => out.push(text),
    stderr: () => undefined,
    env: {},
    cwd: '/',
    isTty: false,
    stderrIsTty: false,
    columns: 80,
    color: false,
    net: () => Promise.reject(new Error('the tour itself needs no network')),
    now: () => new Date('2026-01-31T09:00:00Z'),
    ...(signal ? { signal } : {}),
  };
  return { io, out, text: () => out.join('') };
}

describe('the tour', () => {
  test('names only devices of the office', () => {
    const names = loadOffice().map(({ name }) => name);
    for (const { device, argv } of TOUR) {
      if (device !== undefined) expect(names).toContain(device);
      if (argv[0] === 'why' || argv[0] === 'show') expect(names).toContain(argv[1]);
    }
  });

  test('runs each command in a folder that holds the configuration, and leaves nothing behind', async () => {
    const seen = seeing();
    const folders = new Set<string>();
    const commands: string[] = [];
    const program: RunProgram = async (argv, io) => {
      commands.push(argv.join(' '));
      folders.add(io.cwd);
      const read = parseConfig(await readFile(join(io.cwd, 'outfeed.yaml'), 'utf8'), io.cwd);
      expect(read).not.toHaveProperty('problems');
      io.stdout('an answer\n');
      return 1;
    };
    expect(await runDemo({}, seen.io, program)).toBe(0);
    expect(commands).toHaveLength(TOUR.length);
    expect(commands[0]).toMatch(/^sweep 127\.77\.\d\.0\/26 --snmp-port 16161$/);
    for (const command of commands)
      expect(seen.text()).toContain(`$ outfeed ${command}\nan answer\n\n(exit code 1: a fault found)`);
    expect(seen.text()).toContain('On the telephone: "It looks dead, the display is dark."');
    expect([...folders].some((folder) => existsSync(folder))).toBe(false);
  });

  test('a step that fails makes the demo fail, after the others', async () => {
    const seen = seeing();
    expect(await runDemo({}, seen.io, async (argv) => (argv[0] === 'show' ? 4 : 0))).toBe(4);
    expect(seen.text()).toContain('This step did not work: show.');
  });

  test('--json gives one document with what each command answered', async () => {
    const seen = seeing();
    const program: RunProgram = async (argv, io) => {
      expect(argv).toContain('--json');
      io.stdout(JSON.stringify({ asked: argv[0] }));
      return 0;
    };
    expect(await runDemo({ json: true }, seen.io, program)).toBe(0);
    const document = JSON.parse(seen.text());
    expect(document).toMatchObject({
      schema: 'outfeed.demo/1',
      steps: [{ exitCode: 0, document: { asked: 'sweep' } }, {}, {}, {}, {}, {}, {}, {}, {}, {}],
    });
  });

  test('with the program itself: finds all, judges as the device files expect, fits its schema', async () => {
    const net = createSystemNet();
    const seen = seeing();
    const complaints: string[] = [];
    const io: Io = { ...seen.io, stderr: (text) => complaints.push(text), net: async () => net, now: () => new Date() };
    expect(await runDemo({ json: true }, io, run)).toBe(0);
    expect(complaints).toEqual([]);
    const document = JSON.parse(seen.text()) as DemoDocument;
    const ajv = new Ajv2020({ strict: false });
    const fits = ajv.compile(
      JSON.parse(await readFile(new URL('../../shared/schemas/demo-1.json', import.meta.url), 'utf8')),
    );
    expect(fits(document) ? null : fits.errors).toBeNull();

    const answers = document.steps.map(({ command, document: answer }) => ({ command, answer }));
    const swept = answers.find(({ command }) => command[0] === 'sweep')?.answer as SweepDocument;
    const places = (kind: string) =>
      document.devices.filter((device) => device.kind === kind).map(({ address }) => address);
    expect(swept.found.map(({ address }) => address).toSorted()).toEqual(places('printer').toSorted());
    expect(swept.others.map(({ address }) => address).toSorted()).toEqual(
      [...places('spooler'), ...places('other')].toSorted(),
    );
    const verdicts = answers.filter(({ command }) => command[0] === 'why');
    expect(verdicts.length).toBeGreaterThanOrEqual(6);
    for (const { command, answer } of verdicts) {
      const expected = document.devices.find(({ name }) => name === command[1])?.expect;
      expect((answer as WhyDocument).verdict).toMatchObject(expected ?? {});
    }
  }, 60_000);

  test('--stay tells where the office is and ends with Ctrl-C', async () => {
    const ctrlC = new AbortController();
    const seen = seeing(ctrlC.signal);
    const running = runDemo({ stay: true }, seen.io, () => Promise.reject(new Error('nothing is run')));
    await expect.poll(() => seen.text(), { timeout: 10_000 }).toContain('Ctrl-C closes the office.');
    const config = /^ {2}(\S+outfeed\.yaml)$/m.exec(seen.text())?.[1] ?? '';
    expect(existsSync(config)).toBe(true);
    ctrlC.abort();
    expect(await running).toBe(0);
    expect(existsSync(config)).toBe(false);
  });

  test('--stay and --json are refused together', async () => {
    await expect(runDemo({ stay: true, json: true }, seeing().io, async () => 0)).rejects.toThrow(/--stay and --json/);
  });
});

import { mkdtempSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { ScenarioInput } from '../../src/demo/device.js';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import type { CompareDocument } from '../../src/model/compare.js';
import { outfeed } from '../commands/captured-io.js';
import { closed, published } from '../schemas/validator.js';

const ADDRESS = '127.35.64';
const TONER = { name: 'Black toner', type: 'tonerCartridge', capacity: 6000 };
let folder: string;
let devices: RunningDevice[] = [];

/** What stands in the office, by name; its last octet follows the order. */
async function office(printers: Readonly<Record<string, ScenarioInput>>): Promise<string> {
  await Promise.all(devices.map((device) => device.close()));
  const entries = Object.entries(printers);
  devices = await Promise.all(
    entries.map(([, scenario], i) => startDevice(scenario, { address: `${ADDRESS}.${i + 1}` })),
  );
  const lines = entries.map(([name], i) => {
    const { snmpPort, ippUri } = devices[i] as RunningDevice;
    return `  - { name: ${name}, address: ${ADDRESS}.${i + 1}, snmpPort: ${snmpPort}, ippUri: "${ippUri}" }`;
  });
  writeFileSync(
    join(folder, 'outfeed.yaml'),
    `site: { name: Harbour annex, timezone: UTC }\nprinters:\n${lines.join('\n')}\n`,
  );
  return folder;
}

const printer = (serial: string, more: Partial<ScenarioInput> = {}): ScenarioInput =>
  ({ name: serial.toLowerCase(), serial, supplies: [{ ...TONER, level: 3000 }], ...more }) as ScenarioInput;
const run = (...argv: string[]) => outfeed(argv, { cwd: folder });
const compared = async (...argv: string[]): Promise<CompareDocument> => {
  const { out } = await run('compare', ...argv, '--json');
  for (const validate of [published('compare'), closed('compare')]) {
    expect(validate(JSON.parse(out)), JSON.stringify(validate.errors)).toBe(true);
  }
  return JSON.parse(out) as CompareDocument;
};

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-compare-'));
  await office({
    quay: printer('EX-1', { alerts: [{ group: 'mediaPath', code: 'jam' }], lifePages: 1000 } as Partial<ScenarioInput>),
    loft: printer('EX-2', { supplies: [{ ...TONER, level: 120 }] } as Partial<ScenarioInput>),
    cellar: printer('EX-3', { state: 'paused' } as Partial<ScenarioInput>),
    store: printer('EX-4'),
  });
  expect((await run('snapshot', '--out', 'before')).code).toBe(0);
  await office({
    quay: printer('EX-1', { lifePages: 1234 } as Partial<ScenarioInput>),
    loft: printer('EX-2', {
      supplies: [{ ...TONER, level: 6000 }],
      alerts: [{ group: 'cover', code: 'coverOpen' }],
    } as Partial<ScenarioInput>),
    cellar: printer('EX-3', { state: 'paused' } as Partial<ScenarioInput>),
    attic: printer('EX-5'),
  });
  expect((await run('snapshot', '--zip', '--out', 'after.zip')).code).toBe(0);
}, 60_000);
afterAll(async () => {
  await Promise.all(devices.map((device) => device.close()));
  rmSync(folder, { recursive: true, force: true });
});

describe('two snapshots side by side', () => {
  test('what was fixed, broke, stayed, was exchanged, came and went, and the pages', async () => {
    const document = await compared('before', 'after.zip');
    const said = (list: CompareDocument['fixed']) => list.map(({ printer: name, cause }) => `${name} ${cause}`);
    expect(said(document.fixed)).toEqual(['quay media-jam']);
    expect(said(document.broken)).toEqual(['loft cover-open']);
    expect(said(document.still)).toEqual(['cellar paused']);
    const levels = { before: '2 %', after: '100 %' };
    expect(document.replaced).toEqual([
      { printer: 'loft', kind: 'refill', what: 'Black toner: 2 % before, 100 % now', ...levels },
    ]);
    expect([document.appeared, document.gone]).toEqual([['attic'], ['store']]);
    expect(document.pages).toContainEqual({ printer: 'quay', printed: 234 });
  });

  test('for people: what broke stands first; the older one is the old one, whichever was named first', async () => {
    const { code, out } = await run('compare', 'before', 'after.zip');
    expect(code).toBe(1);
    expect(out.replace(/\s+/g, ' ')).toMatch(
      /^Harbour annex, .* and .*: 1 fixed, 1 broken, 1 still not right\. BROKEN SINCE loft: The printer stands still because .* \[device: cover-open \(Front cover\)\] STILL NOT RIGHT cellar: .* FIXED quay: Over now\. It was: Paper is jammed/,
    );
    const turned = await run('compare', 'after.zip', 'before');
    expect(turned.out).toBe(out);
    expect(turned.err).toBe('The first is the newer one: they are compared the other way round.\n');
  });

  test('beside a snapshot of one named printer nobody is called gone, new or broken since', async () => {
    expect((await run('snapshot', 'quay', '--out', 'quay')).code).toBe(0);
    const later = await compared('after.zip', 'quay');
    expect([later.gone, later.notLookedAt]).toEqual([[], ['loft', 'cellar', 'attic']]);
    const told = await run('compare', 'after.zip', 'quay');
    expect(told.out).not.toContain('NO LONGER HERE');
    expect(told.out).toContain('NOT COMPARED: one of the two');
    expect((await run('snapshot', '--out', 'whole')).code).toBe(0);
    const whole = await run('compare', 'quay', 'whole');
    expect(whole.code).toBe(1);
    expect(whole.out).not.toMatch(/NEW HERE|BROKEN SINCE/);
    expect(whole.out.replace(/\s+/g, ' ')).toMatch(
      /0 fixed, 0 broken, 0 still not right, 2 not looked at before\. NOT RIGHT, AND NOT IN THE OLDER SNAPSHOT loft:/,
    );
  }, 30_000);

  test('a snapshot beside itself: nothing differs', async () => {
    const { code, out } = await run('compare', 'after.zip', 'after.zip');
    expect(code).toBe(1);
    expect(out.replace(/\s+/g, ' ')).toContain('0 fixed, 0 broken, 2 still not right.');
    const document = await compared('before', 'before/site.json');
    expect([document.fixed, document.broken, document.unclear, document.replaced, document.moved]).toEqual([
      [],
      [],
      [],
      [],
      [],
    ]);
  });

  test('--html FILE: a page beside the text, with the same in it; a place that can not be written is one sentence', async () => {
    const { code, out } = await run('compare', 'before', 'after.zip', '--html', 'changes.html');
    expect(code).toBe(1);
    expect(out).toContain('BROKEN SINCE');
    const page = readFileSync(join(folder, 'changes.html'), 'utf8');
    for (const part of ['Broken since', 'device: cover-open (Front cover)', 'Exchanged or refilled', '>attic<'])
      expect(page).toContain(part);
    const { code: bad, err } = await run('compare', 'before', 'after.zip', '--html', 'no/such/place.html');
    expect([bad, err]).toEqual([2, expect.stringMatching(/Can't write .*place\.html: its folder does not exist/)]);
  });

  test('files that nobody lists are told of and left alone', async () => {
    writeFileSync(join(folder, 'before', 'notes.txt'), 'tray 2 squeaks');
    const { code, err } = await run('compare', 'before', 'after.zip');
    expect([code, err]).toEqual([
      1,
      'In before the manifest does not list notes.txt: not written by outfeed, and left alone.\n',
    ]);
    expect((await run('compare', 'before', 'after.zip', '--quiet')).err).toBe('');
    rmSync(join(folder, 'before', 'notes.txt'));
  });

  test('a redacted one beside another is refused, beside itself it is the same', async () => {
    for (const name of ['hidden', 'hidden-too']) {
      expect((await run('snapshot', 'cellar', '--redact', '--out', name)).err).toBe('');
    }
    for (const [one, other, words] of [
      ['hidden', 'after.zip', /hidden is redacted, and stand-ins are given anew/],
      ['hidden', 'hidden-too', /Both are redacted, and stand-ins are given anew/],
    ] as const) {
      const { code, err, out } = await run('compare', one, other);
      expect({ code, out }).toEqual({ code: 2, out: '' });
      expect(err).toMatch(words);
    }
    const { out } = await run('compare', 'hidden', 'hidden');
    expect(out.replace(/\s+/g, ' ')).toMatch(/^site-1, .*: 0 fixed, 0 broken, 1 still not right\./);
  });

  test('a printer that does not answer any more is not called mended', async () => {
    await Promise.all(devices.map((device) => device.close()));
    expect((await run('snapshot', '--out', 'silent', '--timeout', '200', '--retries', '0')).code).toBe(0);
    const document = await compared('before', 'silent');
    expect(document.fixed).toEqual([]);
    expect(document.unclear.map(({ cause }) => cause)).toEqual(['media-jam', 'paused']);
  });
});

describe('a damaged snapshot is refused with the name of the file', () => {
  const refused = async (place: string): Promise<string> => {
    const { code, out, err } = await run('compare', place, 'after.zip');
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err.trim().split('\n')).toHaveLength(1);
    return err;
  };
  const table = () => join(folder, 'before', 'printers.csv');

  test('changed, cut, missing, no manifest', async () => {
    const whole = readFileSync(table());
    writeFileSync(table(), whole.toString().replace('quay', 'quax'));
    expect(await refused('before')).toMatch(/before is damaged: printers\.csv: its content was changed/);
    writeFileSync(table(), whole.subarray(0, 9));
    expect(await refused('before')).toMatch(/printers\.csv: it has 9 bytes where \d+ were written/);
    rmSync(table());
    expect(await refused('before')).toMatch(/printers\.csv: it is missing\.$/m);
    writeFileSync(table(), whole);
    const manifest = join(folder, 'before', 'manifest.json');
    renameSync(manifest, `${manifest}.away`);
    expect(await refused('before')).toMatch(/manifest\.json: it is missing, so this is no snapshot/);
    writeFileSync(manifest, readFileSync(`${manifest}.away`, 'utf8').replace('"printers.csv"', '"../outfeed.yaml"'));
    expect(await refused('before')).toMatch(/outfeed\.yaml: it lies outside of the snapshot/);
    renameSync(`${manifest}.away`, manifest);
  });

  test('an archive that is none, and a place where there is nothing', async () => {
    writeFileSync(join(folder, 'broken.zip'), readFileSync(join(folder, 'after.zip')).subarray(0, 900));
    expect(await refused('broken.zip')).toMatch(/broken\.zip is no snapshot, or a damaged one/);
    expect(await refused('nowhere')).toMatch(/nowhere/);
  });
});

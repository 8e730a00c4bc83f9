import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Office, startOffice } from '../../src/demo/office.js';
import { outfeed } from '../commands/captured-io.js';
import { closed, published } from './validator.js';

let office: Office;
let folder: string;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-schemas-'));
  office = await startOffice({ prefix: '127.35.10', basePorts: { snmp: 0, ipp: 0, raw: 0, lpd: 0 } });
  writeFileSync(join(folder, 'outfeed.yaml'), office.configText);
});
afterAll(async () => {
  await office.close();
  rmSync(folder, { recursive: true, force: true });
});

function expectValid(name: string, text: string): void {
  const document: unknown = JSON.parse(text);
  for (const validate of [published(name), closed(name)]) {
    validate(document);
    // A union lists every branch that did not fit; the ones that failed on their constant are not the one that was meant.
    const errors = (validate.errors ?? []).filter(({ keyword }) => keyword !== 'const' && keyword !== 'oneOf');
    expect(errors.slice(-3), name).toEqual([]);
    expect(validate.errors ?? []).toEqual([]);
  }
}

const run = (...argv: string[]) => outfeed(argv, { cwd: folder });

describe('what the program prints is what its schemas say', () => {
  test('show and why, for every printer of the made-up office', async () => {
    const names = office.devices
      .filter(({ kind }) => kind === 'printer')
      .map(({ address, scenario }) => {
        return scenario.kind === 'printer' && scenario.configured ? scenario.name : address;
      });
    const shown = await Promise.all(names.map((name) => run('show', name, '--json')));
    const asked = await Promise.all(names.map((name) => run('why', name, '--json', '--save', `${name}.json`)));
    for (const { out } of shown) expectValid('printer', out);
    for (const { out } of asked) expectValid('why', out);
    for (const name of names) expectValid('evidence', readFileSync(join(folder, `${name}.json`), 'utf8'));
  }, 60_000);

  test('nothing there', async () => {
    const gone = ['127.35.10.250', '--json', '--timeout', '200', '--retries', '0'];
    expectValid('printer', (await run('show', ...gone)).out);
    expectValid('why', (await run('why', ...gone)).out);
  });

  test('sweep', async () => {
    const { out } = await run('sweep', '127.35.10.16/28', '--json', '--quiet', '--timeout', '300', '--retries', '0');
    expectValid('sweep', out);
  });

  test('snapshot and its manifest', async () => {
    const { out } = await run('snapshot', '--out', 'taken', '--json', '--quiet');
    expectValid('snapshot', out);
    expectValid('snapshot', readFileSync(join(folder, 'taken', 'site.json'), 'utf8'));
    expectValid('manifest', readFileSync(join(folder, 'taken', 'manifest.json'), 'utf8'));
    for (const name of readdirSync(join(folder, 'taken', 'evidence'))) {
      expectValid('evidence', readFileSync(join(folder, 'taken', 'evidence', name), 'utf8'));
    }
  }, 60_000);

  test('check-config', async () => {
    expectValid('config-check', (await run('check-config', '--json')).out);
    writeFileSync(join(folder, 'bad.yaml'), 'nonsense: 1\n');
    expectValid('config-check', (await run('check-config', 'bad.yaml', '--json')).out);
  });
});

import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { outfeed } from './captured-io.js';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-config-'));
  mkdirSync(join(folder, 'home', 'outfeed'), { recursive: true });
  writeFileSync(join(folder, 'good.yaml'), 'sweep: { every: 6h }\n');
  writeFileSync(join(folder, 'home', 'outfeed', 'outfeed.yaml'), 'sweep: { every: never }\n');
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const check = (argv: readonly string[], env: Record<string, string> = {}) =>
  outfeed(['check-config', ...argv], { cwd: folder, env: { HOME: folder, ...env } });

describe('outfeed check-config', () => {
  test('a good file: exit 0', async () => {
    const { code, out, err } = await check(['good.yaml']);
    expect({ code, err }).toEqual({ code: 0, err: '' });
    expect(out).toContain('good.yaml: nothing wrong found');
    expect((await check(['--config', 'good.yaml'])).out).toBe(out);
  });

  test('mistakes: a line each with its place, exit 2', async () => {
    writeFileSync(join(folder, 'bad.yaml'), 'sweep: { evry: 6h }\nread: { retries: many }\n');
    const { code, out } = await check(['bad.yaml']);
    expect(code).toBe(2);
    expect(out.trimEnd().split('\n')).toEqual([
      `${folder}/bad.yaml:1:10: sweep has unknown key "evry"; did you mean "every"?`,
      `${folder}/bad.yaml:2:18: read retries takes a whole number from 0 to 10`,
    ]);
  });

  test('--json', async () => {
    const { code, out } = await check(['bad.yaml', '--json']);
    expect(code).toBe(2);
    expect(JSON.parse(out)).toMatchObject({
      schema: 'outfeed.config-check/1',
      problems: [
        { line: 1, column: 10 },
        { line: 2, column: 18 },
      ],
    });
  });

  test('ranges are read as a sweep reads them', async () => {
    writeFileSync(join(folder, 'ranges.yaml'), 'sweep: { ranges: [192.0.2.0/24, 192.0.2.0/99] }\n');
    const { code, out } = await check(['ranges.yaml']);
    expect(code).toBe(2);
    expect(out).toMatch(/ranges\.yaml:1:33: .*192\.0\.2\.0\/99/);
  });

  test('what the file points to must be there', async () => {
    writeFileSync(join(folder, 'model.yaml'), 'parts: [{ part: drum }]\n');
    writeFileSync(
      join(folder, 'points.yaml'),
      [
        'snmp: [{ version: 2c, communityFile: keys/none }]',
        'page: { listen: "0.0.0.0:6310", tokenEnv: PAGE_TOKEN }',
        'printers: [{ name: a, address: 192.0.2.1, model: model.yaml }]',
        '',
      ].join('\n'),
    );
    const { code, out } = await check(['points.yaml']);
    expect(code).toBe(2);
    expect(out).toMatch(/points\.yaml:1:38: .*keys\/none: there is no such file/);
    expect(out).toMatch(/points\.yaml:2:43: The environment variable PAGE_TOKEN .* is not set/);
    expect(out).toMatch(/points\.yaml:3:50: .*model\.yaml:1:9: .*either circumferenceMm or diameterMm/);
    expect((await check(['points.yaml'], { PAGE_TOKEN: 'x' })).out).not.toContain('PAGE_TOKEN');
  });

  test('without a name: the file that every command would use', async () => {
    expect((await check([])).out).toContain('no configuration file');
    const { code, out } = await check([], { XDG_CONFIG_HOME: join(folder, 'home') });
    expect(code).toBe(2);
    expect(out).toContain(join('home', 'outfeed', 'outfeed.yaml'));
    writeFileSync(join(folder, 'outfeed.yaml'), '');
    expect(await check([], { XDG_CONFIG_HOME: join(folder, 'home') })).toMatchObject({ code: 0 });
    rmSync(join(folder, 'outfeed.yaml'));
  });

  test.each<[string, string | Uint8Array, string]>([
    ['latin1.yaml', Uint8Array.of(0x73, 0xe9, 0x0a), 'not UTF-8'],
    ['huge.yaml', '#'.repeat(2_100_000), 'larger than any configuration'],
  ])('%s', async (name, content, words) => {
    writeFileSync(join(folder, name), content);
    const { code, err } = await check([name]);
    expect(code).toBe(2);
    expect(err).toContain(words);
  });

  test('every other command refuses a bad file with its first mistake', async () => {
    const { code, out, err } = await outfeed(['show', 'a', '--config', 'bad.yaml'], { cwd: folder });
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toContain('bad.yaml:1:10: sweep has unknown key "evry"');
    expect(err).toContain('1 more');
    writeFileSync(join(folder, 'near.yaml'), 'site: { nam: x }\n');
    expect((await outfeed(['show', 'a', '--config', 'near.yaml'], { cwd: folder })).err).toMatch(
      /did you mean "name"\?\n$/,
    );
  });
});

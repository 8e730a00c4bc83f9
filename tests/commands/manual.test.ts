import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { VALUES } from '../../src/commands/manual.js';
import { manualFiles } from '../../src/commands/manual-files.js';
import { buildProgram } from '../../src/commands/program.js';
import { roff } from '../../src/render/manual/man-page.js';
import { inShort } from '../../src/render/manual/words.js';
import { outfeed } from './captured-io.js';
import { SILENT } from './silent-io.js';

const files = manualFiles();

describe('what is shipped is made from the commands as they are', () => {
  test.each(Object.keys(files))('shared/%s is current (else: npm run generate)', (path) => {
    expect(readFileSync(new URL(`../../shared/${path}`, import.meta.url), 'utf8')).toBe(files[path]);
  });

  test('the man page names every command that the help names', async () => {
    const { out } = await outfeed(['--help']);
    const named = [...out.matchAll(/^ {2}([a-z][a-z-]+)(?= )/gm)].map((match) => match[1] ?? '');
    expect(named.length).toBeGreaterThan(10);
    for (const name of named.filter((word) => word !== 'help')) {
      expect(files['man/outfeed.1']).toContain(`.SS outfeed ${name.replaceAll('-', '\\-')}`);
    }
  });

  test('an option of which words are known is an option of some command, and takes each of them', () => {
    const program = buildProgram(SILENT, () => undefined);
    for (const [long, words] of Object.entries(VALUES)) {
      const options = program.commands.flatMap((one) => one.options).filter((option) => option.long === long);
      expect(options.length, long).toBeGreaterThan(0);
      for (const word of words) expect(() => options[0]?.parseArg?.(word, undefined), `${long} ${word}`).not.toThrow();
    }
  });
});

describe('text for the typesetter', () => {
  // groff(7), sections "Escape sequence reference" and "Control characters": what begins a line and what an escape is.
  test.each([
    ['a\\b', 'a\\eb'],
    ['--since', '\\-\\-since'],
    ['.TH is no request here', '\\&.TH is no request here'],
    ["'tis", "\\&'tis"],
  ])('%j is set as it stands', (text, wanted) => {
    expect(roff(text)).toBe(wanted);
  });

  test('a line that is broken begins with no request', () => {
    const lines = roff(`${'word '.repeat(15)}.TH ${'word '.repeat(15)}`.trim()).split('\n');
    expect(lines.length).toBeGreaterThan(1);
    expect(lines.every((line) => line.length <= 80 && !/^[.']/.test(line))).toBe(true);
  });

  test('what stands beside a word ends before its remarks', () => {
    expect(inShort('the printers (default: all)')).toBe('the printers');
    expect(inShort('an earlier "sweep --json": tell what is new')).toBe('an earlier "sweep --json"');
  });
});

describe('outfeed completion', () => {
  test.each(['bash', 'zsh', 'fish'])('prints the file for %s', async (shell) => {
    const { code, out, err } = await outfeed(['completion', shell]);
    expect([code, err]).toEqual([0, '']);
    expect(Object.values(files)).toContain(out);
  });

  test('a shell that it does not know is a matter of usage', async () => {
    const { code, err } = await outfeed(['completion', 'csh']);
    expect(code).toBe(2);
    expect(err).toMatch(/^outfeed: .*csh.*bash, zsh, fish.*\n$/);
  });
});

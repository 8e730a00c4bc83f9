import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Office, startOffice } from '../../src/demo/office.js';
import type { SweepDocument } from '../../src/model/sweep.js';
import { outfeed } from './captured-io.js';

describe('outfeed sweep', () => {
  let office: Office;
  let folder = '';

  beforeAll(async () => {
    office = await startOffice({ prefix: '127.34.80', only: ['front-desk', 'drawing-room', 'tide-store'] });
    folder = mkdtempSync(join(tmpdir(), 'outfeed-sweep-'));
    writeFileSync(join(folder, 'outfeed.yaml'), office.configText);
  });
  afterAll(async () => {
    await office?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  test('one document with --json, and not a word beside it', async () => {
    const { code, out, err } = await outfeed(['sweep', '127.34.80.0/26', '--json', '--timeout', '800'], {
      cwd: folder,
      stderrIsTty: true,
    });
    expect(code).toBe(0);
    expect(err).toBe('');
    const document = JSON.parse(out) as SweepDocument;
    expect(document.found.map((printer) => printer.name).sort()).toEqual(['drawing-room', 'front-desk']);
    expect(document.others).toHaveLength(1);
  });

  test('a table for people; the progress line goes to a terminal only, and is wiped', async () => {
    const piped = await outfeed(['sweep', '127.34.80.21-22', '--timeout', '800'], { cwd: folder });
    expect(piped.out).toContain('front-desk');
    expect(piped.err).toBe('');
    const drawn = await outfeed(['sweep', '127.34.80.21-22', '--timeout', '800'], { cwd: folder, stderrIsTty: true });
    expect(drawn.err).toContain('addresses');
    const quiet = await outfeed(['sweep', '127.34.80.21-22', '--timeout', '800', '--quiet'], {
      cwd: folder,
      stderrIsTty: true,
    });
    expect(quiet.err).toBe('');
  });

  test('one that is stopped at once speaks of no firewall, and does not say that nothing is gone', async () => {
    const { out } = await outfeed(['sweep', '127.34.80.0/26'], { cwd: folder, signal: AbortSignal.abort() });
    expect(out).toContain('Stopped before the end: 0 of 62 addresses were tried.');
    expect(out).not.toMatch(/Nothing answered|Nothing new/);
  });

  test('a sweep that finds nothing has still run', async () => {
    const { code, out } = await outfeed(['sweep', '127.34.81.0/30', '--timeout', '200'], { cwd: folder });
    expect(code).toBe(0);
    expect(out).toMatch(/^No printer found/);
  });

  test.each([
    [['sweep', 'front-desk'], /is no address and no range/],
    [['sweep', '10.0.0.0/8'], /--yes-large/],
    [['sweep', '11.0.0.0/24'], /--allow-public/],
  ])('%j: one sentence, exit 2', async (argv, says) => {
    const { code, out, err } = await outfeed(argv, { cwd: folder });
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err).toMatch(says);
    expect(err.trimEnd()).not.toContain('\n');
  });
});

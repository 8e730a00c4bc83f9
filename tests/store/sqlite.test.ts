import { chmodSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { openStore } from '../../src/store/store.js';
import { migrationSuite } from './migration-suite.js';
import { storeSuite } from './suite.js';

const folder = mkdtempSync(join(tmpdir(), 'outfeed-store-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
let count = 0;
const place = async () => ({ url: `sqlite:s${++count}.db`, folder });

describe('a store in a SQLite file', () => storeSuite(place));
describe('migrations of a SQLite file', () => migrationSuite('sqlite', place));

describe('a SQLite file that can not be used is said to be so in one sentence', () => {
  const open = (url: string, readOnly = false) => openStore(url, { site: 'x', folder, readOnly });

  test('not a database', async () => {
    writeFileSync(join(folder, 'text.db'), 'This is no database, however long one looks at it.'.repeat(100));
    await expect(open('sqlite:text.db')).rejects.toThrow(/text\.db can't be used: it is no SQLite database\.$/);
  });

  test('a folder in its place, or a file in place of its folder', async () => {
    await expect(open(`sqlite:${folder}`)).rejects.toThrow(/can't be used/);
    writeFileSync(join(folder, 'file'), '');
    await expect(open('sqlite:file/x.db')).rejects.toThrow();
  });

  test('looking into one that is not there makes none', async () => {
    await expect(open('sqlite:absent.db', true)).rejects.toThrow(/can't be used: it can not be opened/);
  });

  test('another kind of URL', async () => {
    await expect(open('mysql://x')).rejects.toThrow(/sqlite:outfeed\.db/);
  });

  /** Root may write to anything: for this test it takes another user's rights. 65534 is nobody on the systems we know. */
  const asOrdinaryUser = async (body: () => Promise<void>): Promise<void> => {
    if (process.getuid?.() !== 0) return body();
    chmodSync(folder, 0o755);
    process.seteuid?.(65_534);
    try {
      await body();
    } finally {
      process.seteuid?.(0);
    }
  };

  test('a file that may only be read', async () => {
    const store = await open('sqlite:mine.db');
    await store.close();
    chmodSync(join(folder, 'mine.db'), 0o444);
    await asOrdinaryUser(async () => {
      await expect(open('sqlite:mine.db')).rejects.toThrow(/may only be read|can't be used/);
    });
  });
});

import { scryptSync } from 'node:crypto';
import { mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { hashedToken, newToken, tokenCheck } from '../../src/daemon/outside/http/secret.js';
import { Tries } from '../../src/daemon/outside/http/tries.js';
import { outfeed } from '../commands/captured-io.js';

describe('a token that is kept hashed', () => {
  // RFC 7914, section 12: scrypt("pleaseletmein", "SodiumChloride", N=16384, r=8, p=1, 64 octets).
  test('the test vector of the standard is right, and nothing near it', async () => {
    const salt = Buffer.from('SodiumChloride').toString('base64');
    const key = Buffer.from(
      '7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2d5432955613f0fcf62d49705242a9af9e61e85dc0d651e40dfcf017b45575887',
      'hex',
    ).toString('base64');
    const check = tokenCheck(`scrypt$ln=14,r=8,p=1$${salt}$${key}`);
    expect(await check('pleaseletmein')).toBe(true);
    expect(await check('pleaseletmein')).toBe(true);
    expect(await check('pleaseletmein ')).toBe(false);
    expect(await check('')).toBe(false);
  });

  test('a new one is checked by what is kept, which another hand derives too', async () => {
    const { token, hashed } = await newToken();
    expect(token).toMatch(/^[\w-]{32}$/);
    const [, cost, salt = '', key] = hashed.split('$');
    expect(cost).toBe('ln=15,r=8,p=3');
    const limits = { N: 2 ** 15, r: 8, p: 3, maxmem: 2 ** 27 };
    expect(scryptSync(token, Buffer.from(salt, 'base64'), 32, limits).toString('base64')).toBe(key);
    expect(await tokenCheck(hashed)(token)).toBe(true);
    expect(await hashedToken(token)).not.toBe(hashed);
  });

  test.each([
    'scrypt$',
    'scrypt$ln=30,r=8,p=1$c2FsdHNhbHQ=$aaaaaaaaaaaaaaaaaaaaaaaaaaaa',
    'scrypt$ln=4,r=8,p=1$c2FsdHNhbHQ=$aaaaaaaaaaaaaaaaaaaaaaaaaaaa',
    'scrypt$x',
  ])('%s is refused with a sentence', (stored) => {
    expect(() => tokenCheck(stored)).toThrow(/--new-token FILE/);
  });
});

test('guesses from everywhere stop those who were never right, and nobody else', async () => {
  const tries = new Tries(
    async (given) => given === 'right',
    async () => undefined,
  );
  expect(await tries.give('right', '192.0.2.1')).toBe('right');
  for (let i = 0; i < 100; i++) expect(await tries.give('guess', `198.51.100.${i}`)).toBe('wrong');
  expect(await tries.give('guess', '203.0.113.1')).toEqual({ waitSeconds: expect.any(Number) });
  expect(await tries.give('right', '192.0.2.1')).toBe('right');
  expect(await tries.give('guess', '192.0.2.1')).toBe('wrong');
});

describe('outfeed agent --new-token FILE', () => {
  test('shows the token once, keeps what checks it where only its owner reads, and overwrites nothing', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'outfeed-token-'));
    try {
      const file = join(folder, 'page');
      const made = await outfeed(['agent', '--new-token', file]);
      expect(made.code).toBe(0);
      const kept = readFileSync(file, 'utf8').trim();
      expect(kept).not.toContain(made.out.trim());
      expect(await tokenCheck(kept)(made.out.trim())).toBe(true);
      expect(statSync(file).mode & 0o777).toBe(0o600);
      const again = await outfeed(['agent', '--new-token', file]);
      expect({ code: again.code, said: again.err }).toEqual({
        code: 2,
        said: expect.stringContaining('nothing is overwritten'),
      });
      expect(readFileSync(file, 'utf8').trim()).toBe(kept);
      const nowhere = await outfeed(['agent', '--new-token', join(folder, 'nowhere', 'page')]);
      expect(nowhere.err).toMatch(/its folder does not exist; name another file\.\n$/);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });
});

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { credentialsOf } from '../../src/commands/credentials.js';
import { emptyConfig } from '../../src/config/load.js';
import { parseConfig } from '../../src/config/parse.js';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-keys-'));
  writeFileSync(join(folder, 'auth'), 'correct horse\n');
  writeFileSync(join(folder, 'priv'), 'battery staple\r\n');
  writeFileSync(join(folder, 'short'), 'seven..\n');
  writeFileSync(join(folder, 'empty'), '\n');
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

type Options = Parameters<typeof credentialsOf>[0];
function ask(options: Partial<Options>, env: Record<string, string> = {}, config = emptyConfig()) {
  return credentialsOf({ communities: [], ...options }, config, { cwd: folder, env });
}

describe('which SNMP credentials are tried', () => {
  test('nothing said: public as v2c, then as v1', async () => {
    expect(await ask({})).toMatchObject([
      { version: '2c', community: 'public' },
      { version: '1', community: 'public' },
    ]);
    expect(await ask({ snmpVersion: '1' })).toMatchObject([{ version: '1', community: 'public' }]);
  });

  test('communities in the order given, newest version first', async () => {
    const tried = await ask({ communities: ['a', 'b'] }, { OUTFEED_COMMUNITY: 'c' });
    expect(tried.map((one) => [one.version, 'community' in one && one.community])).toEqual([
      ['2c', 'a'],
      ['2c', 'b'],
      ['1', 'a'],
      ['1', 'b'],
    ]);
    expect(await ask({ snmpVersion: '2c' }, { OUTFEED_COMMUNITY: 'c' })).toMatchObject([
      { version: '2c', community: 'c' },
    ]);
  });

  test('a v3 user with keys from files or the environment', async () => {
    expect(await ask({ snmpUser: 'reader', authKeyFile: 'auth', privKeyFile: 'priv' })).toEqual([
      {
        version: '3',
        user: 'reader',
        level: 'authPriv',
        label: 'user reader',
        authKey: 'correct horse',
        authProtocol: 'SHA-256',
        privKey: 'battery staple',
        privProtocol: 'AES-128',
      },
    ]);
    expect(await ask({ snmpUser: 'reader', authProtocol: 'MD5' }, { OUTFEED_AUTH_KEY: 'long enough' })).toMatchObject([
      { level: 'authNoPriv', authKey: 'long enough', authProtocol: 'MD5' },
    ]);
    expect(await ask({ snmpUser: 'reader' })).toMatchObject([{ level: 'noAuthNoPriv' }]);
  });

  test('the configuration, in its order, with its keys beside it', async () => {
    const text = `snmp:
  - { version: 3, user: reader, authKeyFile: auth, privKeyEnv: PRIV }
  - { version: 2c, communityEnv: WORD }
`;
    const reading = parseConfig(text, folder);
    if ('problems' in reading) throw new Error('example');
    const env = { PRIV: 'long enough', WORD: 'w' };
    const tried = await ask({}, env, reading.config);
    expect(tried.map((one) => one.version)).toEqual(['3', '2c']);
    expect(tried[0]).toMatchObject({ level: 'authPriv', authKey: 'correct horse', privKey: 'long enough' });
    expect(await ask({ snmpVersion: '2c' }, env, reading.config)).toMatchObject([{ community: 'w' }]);
  });

  test('no label holds a secret', async () => {
    const tried = [...(await ask({ communities: ['hidden'] })), ...(await ask({ snmpUser: 'r', authKeyFile: 'auth' }))];
    for (const { label } of tried) expect(label).not.toMatch(/hidden|horse/);
  });
});

describe('what can not be', () => {
  test.each<[Partial<Options>, string]>([
    [{ snmpUser: 'r', authKeyFile: 'nowhere' }, 'there is no such file'],
    [{ snmpUser: 'r', authKeyFile: '.' }, 'it is a folder'],
    [{ snmpUser: 'r', authKeyFile: 'short' }, 'shorter than 8'],
    [{ snmpUser: 'r', authKeyFile: 'empty' }, 'is empty'],
    [{ snmpUser: 'r', privKeyFile: 'priv' }, 'needs an authentication key'],
    [{ snmpUser: 'r', authProtocol: 'MD5' }, '--auth-protocol needs a key'],
    [{ snmpUser: 'r', authKeyFile: 'auth', privProtocol: 'DES' }, '--priv-protocol needs a key'],
    [{ authKeyFile: 'auth' }, '--auth-key-file needs --snmp-user'],
    [{ snmpVersion: '3' }, '--snmp-version 3 needs --snmp-user'],
    [{ snmpVersion: '3', communities: ['a'] }, 'belongs to SNMP 1 and 2c'],
    [{ snmpVersion: '2c', snmpUser: 'r' }, 'belongs to SNMP version 3'],
    [{ communities: [''] }, '--community takes a word'],
  ])('%j', async (options, words) => {
    await expect(ask(options)).rejects.toThrow(words);
    await expect(ask(options)).rejects.toMatchObject({ exitCode: 2 });
  });
});

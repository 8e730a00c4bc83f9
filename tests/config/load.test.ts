import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { emptyConfig, ownConfig, readSecret } from '../../src/config/load.js';

describe('where the configuration is looked for', () => {
  const HOME = join('/', 'home', 'someone');
  test.each<[NodeJS.Platform, Record<string, string>, string]>([
    ['linux', { HOME, XDG_CONFIG_HOME: '/x' }, '/x/outfeed/outfeed.yaml'],
    ['linux', { HOME }, `${HOME}/.config/outfeed/outfeed.yaml`],
    ['darwin', { HOME }, `${HOME}/Library/Application Support/outfeed/outfeed.yaml`],
    ['win32', { USERPROFILE: HOME, APPDATA: '/roaming' }, '/roaming/outfeed/outfeed.yaml'],
    ['win32', { USERPROFILE: HOME }, `${HOME}/AppData/Roaming/outfeed/outfeed.yaml`],
  ])('%s with %j', (platform, env, expected) => {
    expect(ownConfig({ cwd: '/', env, platform })).toBe(expected);
  });
});

describe('secrets', () => {
  test('from the environment, never from nothing', async () => {
    expect(await readSecret({ env: 'KEY' }, 'the key', '/', { KEY: 'value' })).toBe('value');
    await expect(readSecret({ env: 'KEY' }, 'the key', '/', { KEY: '' })).rejects.toThrow('KEY (the key) is not set');
  });
});

test('without a file everything has a default', () => {
  expect(emptyConfig()).toEqual({
    folder: null,
    site: {},
    sweep: { ranges: [], everyMs: 21_600_000, pace: 'gentle' },
    snmp: [],
    read: { everyMs: 300_000, inFaultMs: 60_000 },
    printers: [],
    store: { url: 'sqlite:outfeed.db', keepMs: 34_560_000_000 },
    page: { listen: '127.0.0.1:6310', hosts: [] },
    tell: [],
    allowPublic: false,
  });
});

import { execFileSync } from 'node:child_process';
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { sql } from 'kysely';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import { openSqlite } from '../../src/store/sqlite.js';
import { outfeed } from '../commands/captured-io.js';
import { freeTcpPort } from '../daemon/program.js';
import { describeWithPeers } from '../peers/peer.js';
import { blocksOf, commandsOf, DOCUMENTS, ROOT } from './read.js';
import { BY_PEERS, IN_A_SHELL } from './table.js';

const ADDRESS = '127.35.122.1';
/** Stands for the top of a machine. */
const top = mkdtempSync(join(tmpdir(), 'outfeed-service-'));
const config = join(top, 'etc/outfeed/outfeed.yaml');
const memory = join(top, 'var/lib/outfeed/outfeed.db');
const mode = (path: string): string => (statSync(join(top, path)).mode & 0o777).toString(8);
const isThere = (path: string): boolean => existsSync(join(top, path));

let device: RunningDevice;
beforeAll(async () => {
  device = await startDevice({ name: 'front-desk', serial: 'EX-1' }, { address: ADDRESS });
  for (const folder of ['etc/systemd/system', 'etc/logrotate.d', 'var/backups', 'var/lib/outfeed', 'home', 'keys']) {
    mkdirSync(join(top, folder), { recursive: true });
  }
  writeFileSync(join(top, 'keys/hook'), 'hush\n');
  const page = `page: { listen: "127.0.0.1:${await freeTcpPort()}" }\n`;
  const printer = `{ name: front-desk, address: ${ADDRESS}, snmpPort: ${device.snmpPort}, ippUri: "${device.ippUri}" }`;
  const known = `sweep: { ranges: [${ADDRESS}] }\nread: { timeout: 1s, retries: 0 }\nprinters: [${printer}]\n`;
  writeFileSync(
    join(top, 'outfeed.yaml'),
    `site: { name: Annex }\n${known}${page}store: { url: "sqlite:${memory}" }\n`,
  );
});
afterAll(async () => {
  await device?.close();
  rmSync(top, { recursive: true, force: true });
});

/** The command with every path of the machine below `top`. Throws rather than leave one outside. */
function below(text: string): string {
  const line = text
    .replace(/^sudo /, '')
    .replaceAll(/(?<=\s)\/(?=(etc|var)\/)/g, `${top}/`)
    .replaceAll('~/', `${top}/home/`)
    .replaceAll('{config}', `${ROOT}config/`)
    .replaceAll(/(?<=\s)config\/service\//g, `${ROOT}config/service/`)
    .replace(/(?<=chgrp | -g )outfeed/, String(process.getgid?.() ?? 0));
  const outside = line.split(/\s+/).filter((word) => word.startsWith('/') && !word.startsWith(`${top}/`));
  if (outside.some((word) => !word.startsWith(`${ROOT}config/`))) throw new Error(`outside of the test: ${line}`);
  return line;
}

/** What must be so afterwards, and before what else. */
const AFTERWARDS: Readonly<Record<string, () => void | Promise<void>>> = {
  'chmod 600 keys/*': () => expect([mode('keys'), mode('keys/hook')]).toEqual(['700', '600']),
  'sudo cp outfeed.yaml /etc/outfeed/': () => expect(existsSync(config)).toBe(true),
  'sudo chmod 640 /etc/outfeed/keys/page': () =>
    expect([mode('etc/outfeed/keys'), mode('etc/outfeed/keys/page')]).toEqual(['750', '640']),
  'sudo cp config/service/outfeed-agent.service /etc/systemd/system/': () =>
    expect(isThere('etc/systemd/system/outfeed-agent.service')).toBe(true),
  // Something to save, before it is saved.
  'sudo install -d -m 700 /var/backups/outfeed': async () => {
    expect(await outfeed(['agent', '--once', '--config', config])).toMatchObject({ code: 0 });
    expect(await levels()).toBe(1);
  },
  "sudo find /var/lib/outfeed/ -name 'outfeed.db*' -delete": () =>
    expect(['outfeed.db', 'outfeed.db-wal'].filter((name) => isThere(`var/lib/outfeed/${name}`))).toEqual([]),
  'sudo cp -a /var/backups/outfeed/. /var/lib/outfeed/': async () => {
    expect(await levels()).toBe(1);
    await newerIsRefused();
  },
  'sudo rm -f /etc/systemd/system/outfeed-agent.service': () =>
    expect(isThere('etc/systemd/system/outfeed-agent.service')).toBe(false),
  'sudo rm -rf /etc/outfeed /var/lib/outfeed /var/lib/private/outfeed': () =>
    expect(['etc/outfeed', 'var/lib/outfeed'].filter(isThere)).toEqual([]),
};

/** How many supplies the memory knows. */
async function levels(): Promise<number> {
  const { out } = await outfeed(['supplies', '--json', '--config', config]);
  return (JSON.parse(out) as { forecasts: unknown[] }).forecasts.length;
}

/** A memory that a later version wrote: "an older program refuses a newer memory in one sentence". */
async function newerIsRefused(): Promise<void> {
  const database = await openSqlite(memory);
  await sql`insert into outfeed_steps (name, timestamp) values ('9999-later', '2099-01-01')`.execute(database.db);
  await database.close();
  const { code, err } = await outfeed(['agent', '--config', config]);
  expect(code).toBe(2);
  expect(err.trim().split('\n')).toEqual([expect.stringMatching(/written by a newer version/)]);
}

const inOrder = [...new Set(DOCUMENTS.flatMap(commandsOf).map(({ text }) => text))].filter((text) =>
  IN_A_SHELL.includes(text),
);

describe('the agent as a service, below a folder of the test', () => {
  test.each(inOrder)(
    '%s',
    async (text) => {
      const line = below(text);
      if (line.startsWith('outfeed ')) {
        expect(await outfeed(line.split(' ').slice(1), { cwd: top })).toMatchObject({ code: 0 });
      } else {
        execFileSync('sh', ['-ec', line], { cwd: top, stdio: 'pipe' });
      }
      await AFTERWARDS[text]?.();
    },
    120_000,
  );
});

describe('configurations and units that the documents show', () => {
  const folder = join(top, 'shown');
  const shown = DOCUMENTS.flatMap(blocksOf);

  test.each(shown.filter(({ language }) => language === 'yaml'))(
    '$document:$line is a configuration',
    async (block) => {
      mkdirSync(join(folder, 'keys'), { recursive: true });
      for (const name of ['store', 'page', 'hook', 'page.crt', 'page.key'])
        writeFileSync(join(folder, 'keys', name), 'x');
      writeFileSync(join(folder, 'outfeed.yaml'), block.text);
      const { code, out } = await outfeed(['check-config', 'outfeed.yaml'], { cwd: folder });
      expect(out).toMatch(/nothing wrong found/);
      expect(code).toBe(0);
    },
  );

  test('model files are what the configuration takes', async () => {
    mkdirSync(folder, { recursive: true });
    const models = execFileSync('ls', [`${ROOT}config/models`])
      .toString()
      .trim()
      .split('\n');
    const printers = models.map(
      (name, at) => `{ name: p${at}, address: 192.0.2.1, model: ${ROOT}config/models/${name} }`,
    );
    writeFileSync(join(folder, 'outfeed.yaml'), `printers: [${printers.join(', ')}]\n`);
    expect(await outfeed(['check-config'], { cwd: folder })).toMatchObject({ code: 0 });
  });

  describeWithPeers('judged by systemd', ['systemd-analyze'], () => {
    test.each(shown.filter(({ language }) => language === 'ini'))('$document:$line is a part of a unit', ({ text }) => {
      const extra = join(folder, 'units/outfeed-agent.service.d');
      mkdirSync(extra, { recursive: true });
      const unit = join(folder, 'units/outfeed-agent.service');
      copyFileSync(`${ROOT}config/service/outfeed-agent.service`, unit);
      writeFileSync(join(extra, 'secrets.conf'), text);
      const said = execFileSync('systemd-analyze', ['verify', unit], { stdio: ['ignore', 'pipe', 'pipe'] });
      expect(said.toString()).toBe('');
      writeFileSync(join(extra, 'secrets.conf'), text.replace('EnvironmentFile=/', 'EnvironmentFile='));
      const wrong = execFileSync('sh', ['-c', `systemd-analyze verify ${unit} 2>&1 || true`]).toString();
      expect(wrong).toMatch(/not absolute|absolute path/);
    });

    const judging = Object.keys(BY_PEERS).filter((text) => text.startsWith('systemd-analyze '));
    test.each(judging)('%s', (text) => {
      const [program = '', ...args] = text.split(' ');
      expect(execFileSync(program, args, { cwd: ROOT }).toString()).toMatch(/exposure level for outfeed-agent.service/);
    });
  });
});

test('what the installation prints is what stands in config/service', async () => {
  const { out } = await outfeed(['agent', '--install-help']);
  const text = readFileSync(`${ROOT}config/service/install-systemd.txt`, 'utf8');
  const fixed = text.split('\n').filter((line) => !line.includes('{'));
  expect(process.platform === 'linux' ? fixed.filter((line) => !out.includes(line)) : []).toEqual([]);
});

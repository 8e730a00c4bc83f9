import { execFileSync } from 'node:child_process';
import { chownSync, mkdirSync, mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import { openStore } from '../../src/store/store.js';
import { outfeed } from '../commands/captured-io.js';
import { freeTcpPort } from '../daemon/program.js';
import { describeWithPeers, findProgram } from '../peers/peer.js';
import { findPostgres, type Postgres, startPostgres } from '../peers/postgres.js';
import { type Block, blocksOf } from './read.js';
import { BY_PEERS } from './table.js';

const ADDRESS = '127.35.123.1';
const blocks = blocksOf('shared/docs/many-sites.md');
const textOf = (holds: RegExp, language: string): string => {
  const found = blocks.filter((block: Block) => block.language === language && holds.test(block.text));
  expect(found).toHaveLength(1);
  return found[0]?.text ?? '';
};
const HBA = textOf(/^hostssl/, 'text');
const URL_TEXT = textOf(/^postgres:/, 'text');
const COMMANDS = Object.keys(BY_PEERS).filter((text) => /^(sudo -u postgres psql|pg_)/.test(text));

/** psql comes from wherever the server's own programs are. */
const peers = [...(findPostgres() === null ? ['postgres'] : []), 'psql', 'pg_dump', 'pg_restore', 'openssl'];

describeWithPeers('many sites and one database, as the document says', peers, () => {
  let server: Postgres;
  let device: RunningDevice;
  let superuser: URL;
  let pagePort: number;
  const folder = mkdtempSync(join(tmpdir(), 'outfeed-sites-'));
  const certificate = join(folder, 'db-ca.crt');

  /** A command as it is documented, by the superuser, without changing to another account of this machine. */
  const run = (text: string, input = ''): string => {
    const [program = '', ...args] = text.replace(/^sudo -u postgres /, '').split(' ');
    const more = program === 'psql' ? ['-X', '-v', 'ON_ERROR_STOP=1', '-At'] : [];
    const { hostname, port, username } = superuser;
    const env = { ...process.env, PGHOST: hostname, PGPORT: port, PGUSER: username };
    const database = program === 'psql' && args.length === 0 ? ['postgres'] : [];
    return execFileSync(findProgram(program) ?? program, [...more, ...args, ...database], {
      input,
      env,
      cwd: folder,
      stdio: 'pipe',
    }).toString();
  };
  const as = (user: string, password: string, from = URL_TEXT): string =>
    from
      .replace('annex:change%20me', `${user}:${encodeURIComponent(password)}`)
      .replace('db.example', `localhost:${superuser.port}`)
      .replace('/etc/outfeed/keys/db-ca.crt', certificate);
  /** The configuration of a site, NAME.yaml, with the URL in a file. */
  const site = (name: string, url: string, of = 'Harbour annex'): void => {
    mkdirSync(join(folder, 'keys'), { recursive: true });
    writeFileSync(join(folder, `keys/${name}`), `${url}\n`);
    const printer = `{ name: front-desk, address: ${ADDRESS}, snmpPort: ${device.snmpPort}, ippUri: "${device.ippUri}" }`;
    writeFileSync(
      join(folder, `${name}.yaml`),
      `site: { name: ${of} }
sweep: { ranges: [${ADDRESS}], every: 1d, pace: brisk }
read: { every: 2s, timeout: 1s, retries: 0 }
page: { listen: "127.0.0.1:${pagePort}" }
store: { urlFile: keys/${name}, keep: 400d }
printers: [${printer}]
`,
    );
  };
  const at = (name: string, ...argv: readonly string[]) =>
    outfeed([...argv, '--config', `${name}.yaml`], { cwd: folder });
  const supplies = async (name: string): Promise<readonly { printer: string }[]> => {
    const { out } = await at(name, 'supplies', '--json');
    return (JSON.parse(out) as { forecasts: { printer: string }[] }).forecasts;
  };

  beforeAll(async () => {
    server = await startPostgres();
    superuser = new URL(await server.database());
    device = await startDevice({ name: 'front-desk', serial: 'EX-1' }, { address: ADDRESS });
    pagePort = await freeTcpPort();
    serveTls();
  }, 60_000);
  afterAll(async () => {
    await device?.close();
    await server?.stop();
    rmSync(folder, { recursive: true, force: true });
  });

  /** Gives the server a certificate, and the line of the document in front of the superuser's own. */
  function serveTls(): void {
    const rules = run('psql', 'show hba_file').trim();
    const [key, cert] = [join(dirname(rules), 'server.key'), join(dirname(rules), 'server.crt')];
    const name = ['-subj', '/CN=localhost', '-addext', 'subjectAltName=DNS:localhost'];
    const made = ['-newkey', 'rsa:2048', '-nodes', '-keyout', key, '-out', cert, '-days', '30'];
    execFileSync('openssl', ['req', '-x509', ...made, ...name], { stdio: 'ignore' });
    const { uid, gid } = statSync(rules);
    for (const file of [key, cert]) chownSync(file, uid, gid);
    execFileSync('cp', [cert, certificate]);
    const own = `host all ${superuser.username} 127.0.0.1/32 trust\n`;
    writeFileSync(rules, `${HBA.replace('198.51.100.0/24', '127.0.0.1/32')}\n${own}`);
    run('psql', 'alter system set ssl = on');
    run('psql', 'select pg_reload_conf()');
  }

  test('the SQL makes the users and the database, and the line for pg_hba.conf is one', async () => {
    const [own = '', reading = ''] = blocks.filter(({ language }) => language === 'sql').map(({ text }) => text);
    run('sudo -u postgres psql', own);
    run('sudo -u postgres psql annex', reading);
    expect(run('psql', 'select count(*) from pg_hba_file_rules where error is not null')).toBe('0\n');
    expect(COMMANDS).toContain('sudo -u postgres psql annex');
  });

  test('the agent of a site makes its tables and writes, over TLS to a server it can verify', async () => {
    site('annex', as('annex', 'change me'));
    expect(await at('annex', 'agent', '--once')).toMatchObject({ code: 0 });
    expect(await supplies('annex')).toMatchObject([{ printer: 'front-desk' }]);
    site('unknown', as('annex', 'change me', URL_TEXT.replace(/&.*$/, '')));
    const refused = await at('unknown', 'agent', '--once');
    expect(refused.code).toBe(2);
    expect(refused.err).toMatch(/nobody known vouches for its certificate/);
    expect(refused.err).not.toMatch(/change/);
  }, 120_000);

  test('who only looks sees what is there, and changes nothing', async () => {
    site('desk', as('annex_reader', 'change me too'));
    expect(await supplies('desk')).toMatchObject([{ printer: 'front-desk' }]);
    expect(await at('desk', 'why', 'front-desk')).toMatchObject({ code: 0, err: '' });
    const planned = await at('desk', 'agent', '--plan', '2026-02-01T18:00/2026-02-01T20:00');
    expect(planned).toMatchObject({ code: 2, err: expect.stringMatching(/may not write there\.$/m) });
    const grants = `select bool_or(has_table_privilege('annex_reader', c.oid, 'insert,update,delete,truncate'))
      from pg_class c where relnamespace = 'public'::regnamespace and relkind in ('r', 'p')`;
    expect(run('psql annex', grants)).toBe('f\n');
  }, 120_000);

  test('another customer has a database that this one can not open', () => {
    const [own = ''] = blocks.filter(({ language }) => language === 'sql').map(({ text }) => text);
    run('sudo -u postgres psql', own.replaceAll('annex', 'quay'));
    const may = (user: string, database: string): string =>
      run('psql', `select has_database_privilege('${user}', '${database}', 'connect')`);
    expect([may('quay', 'quay'), may('annex', 'quay'), may('quay', 'annex')]).toEqual(['t\n', 'f\n', 'f\n']);
  });

  test('sites of one database with the same names and addresses stay apart; one agent for each', async () => {
    site('branch', as('annex', 'change me'), 'Branch');
    expect(await at('branch', 'agent', '--once')).toMatchObject({ code: 0 });
    expect(await supplies('branch')).toHaveLength(1);
    expect(await supplies('annex')).toHaveLength(1);
    const store = await openStore(as('annex', 'change me'), { site: 'Branch', folder });
    const lock = await store.lock();
    const second = await at('branch', 'agent', '--once');
    expect(second).toMatchObject({ code: 2, err: expect.stringMatching(/Another agent already watches this site/) });
    expect(await at('annex', 'agent', '--once')).toMatchObject({ code: 0 });
    await lock?.release();
    await store.close();
  }, 120_000);

  test('what was saved can be put back', async () => {
    const [dump = '', restore = ''] = COMMANDS.filter((text) => text.startsWith('pg_'));
    const kept = (): string => run('psql annex', 'select count(*) from samples');
    const before = kept();
    expect(Number(before)).toBeGreaterThan(0);
    run(dump);
    run('psql annex', 'delete from samples');
    run(restore);
    expect(kept()).toBe(before);
    expect(run('psql', "select has_database_privilege('quay', 'annex', 'connect')")).toBe('f\n');
    expect(await supplies('desk')).toHaveLength(1);
    expect(await at('annex', 'agent', '--once')).toMatchObject({ code: 0 });
  }, 120_000);

  test('while the database is away the agent goes on, says so, and finds back', async () => {
    const over = new AbortController();
    const ended = outfeed(['agent', '--config', 'annex.yaml'], { cwd: folder, signal: over.signal });
    const asked = async (path: string): Promise<number> =>
      (await fetch(`http://127.0.0.1:${pagePort}${path}`).catch(() => undefined))?.status ?? 0;
    const until = async (path: string, status: number): Promise<void> => {
      for (let tries = 0; tries < 300 && (await asked(path)) !== status; tries++) await delay(100);
      expect({ path, status: await asked(path) }).toEqual({ path, status });
    };
    await until('/readyz', 200);
    await server.kill();
    await until('/readyz', 503);
    const paths = ['/healthz', '/', '/api/v1/printers', '/api/v1/incidents', '/api/v1/supplies'];
    expect(await Promise.all(paths.map(asked))).toEqual([200, 200, 200, 503, 503]);
    expect(await at('desk', 'why', 'front-desk')).toMatchObject({ code: 0, err: '' });
    expect(await at('desk', 'supplies')).toMatchObject({
      code: 2,
      err: expect.stringMatching(/nothing listens there/),
    });
    expect(await at('branch', 'agent')).toMatchObject({ code: 2, err: expect.stringMatching(/nothing listens there/) });
    await server.start();
    await until('/readyz', 200);
    over.abort();
    expect(await ended).toMatchObject({ code: 0 });
  }, 120_000);
});

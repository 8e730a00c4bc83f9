import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { createConnection, createServer, type Server } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { mail } from '../../src/daemon/outside/mail.js';
import { Teller } from '../../src/daemon/teller.js';
import { timesBefore } from '../../src/daemon/times-before.js';
import { openStore, type Store } from '../../src/store/store.js';
import { FakeWorld, keptLog, tellerOf } from '../daemon/worlds.js';
import { event, HOUR, incident, T0 } from '../store/samples.js';
import { describeWithPeers, findProgram } from './peer.js';

/** A server that says what it is told to, for what a well-behaved one never says. */
function unfriendly(greeting: string): Promise<Server> {
  return new Promise((resolve) => {
    const server = createServer((socket) => {
      socket.on('error', () => undefined);
      socket.end(`${greeting}\r\n`);
      setTimeout(() => socket.destroy(), 200);
    }).listen(0, '127.0.0.1', () => resolve(server));
  });
}

const portOf = (server: Server) => (server.address() as { port: number }).port;

describeWithPeers('mail through a real server', ['aiosmtpd'], () => {
  let folder: string;
  let port: number;
  let server: ChildProcess | undefined;
  let store: Store;
  let world: FakeWorld;

  const startServer = async () => {
    const box = `${folder}/box`;
    server = spawn(
      findProgram('aiosmtpd') ?? '',
      ['-n', '-l', `127.0.0.1:${port}`, '-c', 'aiosmtpd.handlers.Mailbox', box],
      {
        stdio: 'ignore',
      },
    );
    for (let i = 0; i < 100 && !(await answers(port)); i++) await delay(100);
  };
  const stopServer = async () => {
    const ended = new Promise((resolve) => server?.once('exit', resolve));
    server?.kill('SIGKILL');
    await ended;
    server = undefined;
  };
  beforeEach(async () => {
    folder = mkdtempSync(join(tmpdir(), 'outfeed-smtp-'));
    const probe = await unfriendly('');
    port = portOf(probe);
    await new Promise((resolve) => probe.close(resolve));
    store = await openStore('sqlite:s.db', { site: 'x', folder });
    world = new FakeWorld();
  });
  afterEach(async () => {
    if (server !== undefined) await stopServer();
    await store.close();
    rmSync(folder, { recursive: true, force: true });
  });

  const to = { kind: 'mail', smtp: '', from: 'outfeed@site.example', to: ['it@site.example'] } as const;
  const tellerAt = (smtp: string, perHour = 20) => {
    const send = mail({
      ...to,
      smtp,
      site: 'Harbour annex',
      clock: (at) => at.slice(0, 16),
      before: timesBefore(store, (at) => at.slice(0, 10)),
    });
    return new Teller(tellerOf({ to, perHour }), store, send, world, keptLog());
  };
  const here = () => `smtp://127.0.0.1:${port}`;
  const put = async (ids: readonly string[]) => {
    for (const id of ids) await store.apply([event(id, T0, [tellerOf({ to }).id])]);
  };
  const mails = () => {
    const box = join(folder, 'box', 'new');
    return readdirSync(box)
      .map((name) => readFileSync(join(box, name), 'utf8'))
      .sort();
  };

  test('an event comes as text and HTML, with what is known of earlier times', async () => {
    await startServer();
    await store.apply([incident('i1', T0 - 24 * HOUR, { endedAt: T0 - 23 * HOUR })]);
    await store.acknowledge('i1', T0, 'The tray was not pushed in.');
    await put(['e1']);
    await tellerAt(here()).run();
    const [text] = mails();
    expect(text).toMatch(/^Subject: Fault: Tray 2 of front-desk is empty\.$/m);
    expect(text).toMatch(/^From: outfeed@site\.example$/m);
    expect(text).toMatch(/^To: it@site\.example$/m);
    expect(text).toMatch(/^Message-ID: <e1@outfeed\.invalid>$/m);
    expect(text).toMatch(/^Auto-Submitted: auto-generated$/m);
    expect(text).toMatch(/Content-Type: text\/plain; charset=utf-8/);
    expect(text).toMatch(/Content-Type: text\/html; charset=utf-8/);
    const plain = (text ?? '').replaceAll(/=\r?\n/g, '');
    expect(plain).toContain('This happened once before, last on 2026-03-01. What helped: The tray was not pushed in.');
  });

  test('no more mails an hour than allowed, none of the events is lost', async () => {
    await startServer();
    await put(Array.from({ length: 30 }, (_, at) => `e${at}`));
    await tellerAt(here(), 4).run();
    expect(mails()).toHaveLength(4);
    expect(mails().join('')).toContain('Harbour annex: 27 messages about printers');
    expect(await store.waiting()).toBe(0);
  });

  test('a server that is gone, busy or refusing is tried again until it takes the mail', async () => {
    await put(['e1']);
    await tellerAt(here()).run();
    for (const greeting of ['421 too busy', '554 not you', '220 ready then gone']) {
      const rude = await unfriendly(greeting);
      await tellerAt(`smtp://127.0.0.1:${portOf(rude)}`).run();
      await new Promise((resolve) => rude.close(resolve));
      expect(await store.waiting(), greeting).toBe(1);
    }
    await startServer();
    await tellerAt(here()).run();
    expect(mails()).toHaveLength(1);
    expect(await store.waiting()).toBe(0);
  });

  test("a printer's words make neither headers nor markup", async () => {
    await startServer();
    const made = event('e1', T0, [tellerOf({ to }).id]);
    if (made.kind !== 'event') throw new Error('no event');
    const summary = 'Tray\r\nBcc: all@site.example\r\n\r\n<script>alert(1)</script> \u001b[31m';
    await store.apply([{ ...made, event: { ...made.event, summary } }]);
    await tellerAt(here()).run();
    const [text = ''] = mails();
    const headers = text.slice(0, text.search(/\r?\n\r?\n/));
    expect(headers).not.toMatch(/^Bcc/m);
    expect(text.slice(text.indexOf('text/html'))).not.toContain('<script>');
    expect(text).toContain('&lt;script&gt;');
    expect(text).not.toContain('\u001b');
  });
});

function answers(port: number): Promise<boolean> {
  return new Promise((resolve) => {
    const socket = createConnection(port, '127.0.0.1');
    socket.once('data', () => {
      socket.destroy();
      resolve(true);
    });
    socket.once('error', () => resolve(false));
  });
}

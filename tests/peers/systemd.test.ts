import { execFileSync, spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, test } from 'vitest';
import { supervisor } from '../../src/daemon/outside/systemd.js';
import { describeWithPeers } from './peer.js';

const UNITS = fileURLToPath(new URL('../../config/service/', import.meta.url));

describeWithPeers('the units, looked at by systemd itself', ['systemd-analyze'], () => {
  test.each(['outfeed-agent.service', 'outfeed-once.service', 'outfeed-once.timer'])('%s has no mistake', (unit) => {
    const said = execFileSync('systemd-analyze', ['verify', `${UNITS}${unit}`], { stdio: ['ignore', 'pipe', 'pipe'] });
    expect(said.toString()).toBe('');
  });

  test.each(['outfeed-agent.service', 'outfeed-once.service'])('%s is shut in well', (unit) => {
    const said = execFileSync('systemd-analyze', ['security', '--offline=true', '--threshold=20', `${UNITS}${unit}`]);
    const level = Number(/exposure level for \S+: ([\d.]+)/.exec(said.toString())?.[1]);
    expect(level).toBeLessThanOrEqual(2);
  });
});

/** Prints each datagram that comes to a Unix socket: what systemd does with them is its own affair. */
const LISTENER = `
import socket, sys
s = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM); s.bind(sys.argv[1]); print('open', flush=True)
while True: print(s.recv(4096).decode().replace('\\n', ' '), flush=True)
`;

describeWithPeers('telling the supervisor', ['systemd-notify', 'python3'], () => {
  const folder = mkdtempSync(join(tmpdir(), 'outfeed-notify-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  test('it hears that the agent is ready and that it lives', async () => {
    const socket = join(folder, 'notify');
    const listener = spawn('python3', ['-c', LISTENER, socket]);
    let heard = '';
    listener.stdout.on('data', (part) => {
      heard += part;
    });
    const until = async (words: RegExp) => {
      for (let i = 0; i < 100 && !words.test(heard); i++) await delay(50);
      expect(heard).toMatch(words);
    };
    await until(/open/);
    const systemd = supervisor({ NOTIFY_SOCKET: socket, WATCHDOG_USEC: '180000000', PATH: process.env.PATH });
    expect(systemd.watchdogMs).toBe(180_000);
    void systemd.tell('READY=1', 'STATUS=watching 3 printers');
    await until(/READY=1 STATUS=watching 3 printers/);
    void systemd.tell('WATCHDOG=1');
    await until(/WATCHDOG=1/);
    listener.kill('SIGKILL');
  });
});

describe('without systemd', () => {
  test('nothing is told, and that is no failure', async () => {
    const systemd = supervisor({});
    expect(systemd.watchdogMs).toBeNull();
    await systemd.tell('READY=1');
  });
});

describe('the task for Windows', () => {
  test('is the XML that its task scheduler takes, as far as can be told here', () => {
    const text = readFileSync(`${UNITS}outfeed-agent.xml`, 'utf8');
    expect(text).toContain('http://schemas.microsoft.com/windows/2004/02/mit/task');
    const open = [...text.matchAll(/<(\w+)[^>]*>/g)].map((match) => match[1]);
    const closed = [...text.matchAll(/<\/(\w+)>/g)].map((match) => match[1]);
    expect(open.sort()).toEqual(closed.sort());
  });
});

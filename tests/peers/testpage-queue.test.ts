import { spawn } from 'node:child_process';
import { chmodSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { type AddressInfo, createServer, type Server } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { TestPageDocument } from '../../src/model/testpage.js';
import { outfeed } from '../commands/captured-io.js';
import { Cupsd } from './cupsd.js';
import { describeWithPeers } from './peer.js';

const HOST = '127.0.0.1';
const DAEMON = '/usr/lib/cups/daemon/cups-lpd';

/** A spooler of its own; its backend keeps what a printer would get. */
describeWithPeers(
  'the test page through a real spooler',
  ['cupsd', 'lpadmin', ...(existsSync(DAEMON) ? [] : ['cups-lpd'])],
  () => {
    let cups: Cupsd;
    let folder: string;
    beforeAll(async () => {
      folder = mkdtempSync(join(tmpdir(), 'outfeed-page-queue-'));
      chmodSync(folder, 0o777);
      const kept = join(folder, 'kept');
      writeFileSync(kept, '');
      chmodSync(kept, 0o666);
      cups = await Cupsd.start(HOST, {
        'backend/keep': `cat $6 > ${kept}; exit 0`,
        'backend/fails': 'cat $6 > /dev/null; exit 4',
      });
      await cups.tool('lpadmin', '-p', 'front', '-E', '-v', 'keep://x', '-m', 'raw');
      await cups.tool('lpadmin', '-p', 'closed', '-v', 'keep://x', '-m', 'raw', '-u', 'deny:all');
    }, 60_000);
    afterAll(async () => {
      await cups?.stop();
      rmSync(folder, { recursive: true, force: true });
    });

    const send = async (queue: string) => {
      const argv = [
        'testpage',
        '127.35.66.1',
        '--via',
        'queue',
        '--queue',
        cups.uri(queue),
        '--print',
        '--out',
        'page.pdf',
        '--json',
      ];
      const ran = await outfeed([...argv, '--timeout', '500', '--retries', '0', '--quiet'], { cwd: folder });
      return { ...ran, document: JSON.parse(ran.out) as TestPageDocument };
    };

    test('the job is watched to its end, and the printer gets the very octets', async () => {
      const { code, document } = await send('front');
      expect(document.sent).toMatchObject({ taken: true, job: { state: 'completed' } });
      expect(code).toBe(0);
      expect(document.proves.at(-1)).toBe('job');
      expect(readFileSync(join(folder, 'kept')).equals(readFileSync(join(folder, 'page.pdf')))).toBe(true);
    }, 90_000);

    test('through the line printer daemon that comes with the spooler: the very octets', async () => {
      // It speaks for one connection on its standard streams.
      const server: Server = createServer({ allowHalfOpen: true }, (socket) => {
        const daemon = spawn(DAEMON, ['-n', '-h', cups.server], { stdio: ['pipe', 'pipe', 'ignore'] });
        daemon.stdin.on('error', () => undefined);
        socket.on('error', () => daemon.kill());
        socket.pipe(daemon.stdin);
        daemon.stdout.pipe(socket);
      });
      await new Promise<void>((resolve) => server.listen(0, HOST, resolve));
      const uri = `lpd://${HOST}:${(server.address() as AddressInfo).port}/front`;
      writeFileSync(join(folder, 'kept'), '');
      const argv = ['testpage', uri, '--via', 'lpd', '--print', '--format', 'pcl5', '--out', 'page.pcl', '--json'];
      const { out } = await outfeed([...argv, '--timeout', '500', '--retries', '0', '--quiet'], { cwd: folder });
      server.close();
      const { sent } = JSON.parse(out) as TestPageDocument;
      expect(sent).toMatchObject({ taken: true, job: null });
      const page = readFileSync(join(folder, 'page.pcl'));
      await expect
        .poll(() => readFileSync(join(folder, 'kept')).length, { timeout: 30_000, interval: 300 })
        .toBe(page.length);
      expect(readFileSync(join(folder, 'kept')).equals(page)).toBe(true);
    }, 90_000);

    test('a queue that refuses says so in its own words', async () => {
      const { code, document } = await send('closed');
      expect(code).toBe(1);
      expect(document.sent?.taken).toBe(false);
      expect(document.sent?.because).toMatch(/^It did not take the page: (client-error|server-error)-/);
    }, 90_000);
  },
);

import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { beforeAll, expect, test } from 'vitest';
import type { QueueEntry } from '../../src/model/queue.js';
import { describeWithPeers } from './peer.js';
import { type ask, causes } from './queue-command.js';

type Asked = Awaited<ReturnType<typeof ask>>;
type Seen = Readonly<Record<'open' | 'choosy' | 'astray', Asked>> & { readonly printed: QueueEntry };
const PROGRAMS = [
  'cupsd',
  'lpadmin',
  'lp',
  'ippeveprinter',
  'avahi-daemon',
  'dbus-daemon',
  'unshare',
  'timeout',
  'namespaces',
];

describeWithPeers('a real spooler before the IPP reference printer', PROGRAMS, () => {
  let seen: Seen;
  beforeAll(async () => {
    const folder = mkdtempSync(join(tmpdir(), 'outfeed-route-'));
    const here = (name: string): string => fileURLToPath(new URL(name, import.meta.url));
    const reader = [process.execPath, '--import', 'tsx', here('queue-route-reader.ts'), folder];
    const namespace = ['--net', '--mount', '--pid', '--fork', '--kill-child', 'bash', here('ipp-namespace.sh'), folder];
    try {
      const { stdout, stderr } = await promisify(execFile)('timeout', ['100', 'unshare', ...namespace, ...reader]);
      if (stdout === '') throw new Error(`nothing could be read: ${stderr}`);
      seen = JSON.parse(stdout);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  }, 110_000);

  const routeOf = ({ document }: Asked) => document.queues[0]?.route;

  test('both ways take a job: it stops nowhere', () => {
    expect(seen.open.code).toBe(0);
    expect(routeOf(seen.open)).toMatchObject({
      user: 'mira',
      direct: { taken: true, code: 'successful-ok' },
      throughQueue: { taken: true },
      stopsAt: 'nowhere',
    });
  });

  test('the queue refuses the user, the printer would not', () => {
    expect(routeOf(seen.choosy)).toMatchObject({
      direct: { taken: true },
      throughQueue: { taken: false },
      stopsAt: 'queue',
    });
    expect(causes(seen.choosy.document.queues[0])).toEqual(['user-refused']);
  });

  test('a queue that sends to a port where nobody listens', () => {
    expect(routeOf(seen.astray)).toMatchObject({
      direct: { taken: false },
      throughQueue: { taken: true },
      stopsAt: 'printer',
    });
    expect(seen.astray.code).toBe(1);
    expect(causes(seen.astray.document.queues[0])).toEqual(['print-ports-closed']);
  });

  test('a job that came out leaves the queue empty and blocked by nothing', () => {
    expect(seen.printed).toMatchObject({ jobs: [], findings: [], clears: { byItself: true, inSeconds: 0 } });
  });
});

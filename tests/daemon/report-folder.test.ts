import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { ReportFolder } from '../../src/daemon/outside/report-folder.js';
import { findProgram } from '../peers/peer.js';
import { ADDRESS, hostReport, MADE_AT } from '../printhost/report-builder.js';
import { FakeWorld, type KeptLog, keptLog } from './worlds.js';

const HOUR = 3_600_000;
let folder: string;
let world: FakeWorld;
let log: KeptLog;
let woken: string[];
let reports: ReportFolder;

const put = (name: string, content: unknown) =>
  writeFileSync(join(folder, name), typeof content === 'string' ? content : JSON.stringify(content));
const twice = async () => {
  await reports.look();
  await reports.look();
};

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-reports-'));
  world = new FakeWorld();
  world.set(Date.parse(MADE_AT) - world.now());
  log = keptLog();
  woken = [];
  reports = new ReportFolder({ folder, maxAgeMs: 2 * HOUR, world, log, onNew: (found) => woken.push(...found) });
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

describe('a folder of print host reports', () => {
  test('a report is read once it is no longer being written, and says whose printers it speaks of', async () => {
    put('host.json', hostReport());
    await reports.look();
    expect(reports.evidence()).toEqual([]);
    await reports.look();
    expect(reports.evidence()).toMatchObject([{ source: 'spooler', what: 'print-host report', at: MADE_AT }]);
    expect(woken).toEqual([ADDRESS]);
    await twice();
    expect(woken).toEqual([ADDRESS]);
  });

  test('one that is still growing keeps what it said before', async () => {
    put('host.json', hostReport());
    await twice();
    put('host.json', `${JSON.stringify(hostReport()).slice(0, 200)}`);
    await reports.look();
    expect(reports.evidence()).toHaveLength(1);
    put('host.json', hostReport({ host: 'PRINTHOST-2' }));
    await twice();
    expect(reports.evidence()).toMatchObject([{ subject: 'PRINTHOST-2' }]);
  });

  test('an old report says nothing of now; the newest stands last', async () => {
    put('a.json', hostReport({ host: 'NEW', madeAt: new Date(world.now() + HOUR).toISOString() }));
    put('b.json', hostReport({ host: 'OLD' }));
    await twice();
    expect(reports.evidence().map(({ subject }) => subject)).toEqual(['OLD', 'NEW']);
    world.advance(2.5 * HOUR);
    expect(reports.evidence().map(({ subject }) => subject)).toEqual(['NEW']);
  });

  test('of too many the last by name are read, and that is told once', async () => {
    for (let day = 0; day < 257; day++) put(`${String(day).padStart(3, '0')}.json`, '');
    put('000.json', hostReport({ host: 'FIRST' }));
    put('256.json', hostReport({ host: 'LAST' }));
    await twice();
    await twice();
    expect(reports.evidence().map(({ subject }) => subject)).toEqual(['LAST']);
    expect(log.lines.filter((line) => line.includes('too many reports'))).toHaveLength(1);
  });

  test('what is no report is told once, other files not at all; a removed report is forgotten', async () => {
    put('host.json', hostReport());
    put('broken.json', '{');
    put('notes.txt', 'call back');
    await twice();
    await twice();
    const warned = log.lines.filter((line) => line.startsWith('warn'));
    expect(warned).toEqual([
      'warn a print host report can not be used {"file":"broken.json","why":"it is not JSON, or cut short"}',
    ]);
    rmSync(join(folder, 'host.json'));
    await reports.look();
    expect(reports.evidence()).toEqual([]);
  });

  test('what lies there beside a report keeps nobody from reading it: a folder, a link to nowhere, a pipe', async () => {
    put('host.json', hostReport());
    mkdirSync(join(folder, 'a.json'));
    symlinkSync('nowhere.json', join(folder, 'b.json'));
    if (findProgram('mkfifo') !== null) execFileSync('mkfifo', [join(folder, 'c.xml')]);
    await twice();
    await twice();
    expect(reports.evidence()).toMatchObject([{ at: MADE_AT }]);
    expect(log.lines.filter((line) => line.startsWith('warn'))).toEqual([
      expect.stringContaining('"file":"a.json","why":"Can\'t read'),
      ...(findProgram('mkfifo') === null ? [] : [expect.stringContaining('it is a pipe, not a file')]),
    ]);
  });

  test('who looks while a look goes on waits for the same one', async () => {
    put('host.json', hostReport());
    await Promise.all([reports.look(), reports.look()]);
    expect(reports.evidence()).toEqual([]);
    await reports.look();
    expect(reports.evidence()).toHaveLength(1);
  });

  test('a folder that is away is told once, and read again when it is back', async () => {
    rmSync(folder, { recursive: true });
    await twice();
    expect(log.lines).toHaveLength(1);
    expect(log.lines[0]).toContain('the folder of print host reports can not be read');
  });
});

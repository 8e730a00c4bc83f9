import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Office, startOffice } from '../../src/demo/office.js';
import type { QueueDocument } from '../../src/model/queue.js';
import { createSystemNet } from '../../src/net/system-net.js';
import { crashing, hostJob, hostReport, ordinary } from '../printhost/report-builder.js';
import { closed, published } from '../schemas/validator.js';
import { outfeed } from './captured-io.js';

let folder: string;
let office: Office;
let server: string;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-queue-'));
  office = await startOffice({ prefix: '127.35.72', basePorts: { snmp: 0, ipp: 0, raw: 0, lpd: 0 } });
  writeFileSync(join(folder, 'outfeed.yaml'), office.configText);
  server = Object.values(office.device('print-server').queueUris)[0]?.replace(/printers\/.*$/, '') ?? '';
});
afterAll(async () => {
  await office.close();
  rmSync(folder, { recursive: true, force: true });
});

const env = { OUTFEED_SPOOLER: 'none' };
const queue = (...argv: string[]) => outfeed(['queue', ...argv], { cwd: folder, env });
const VALIDATORS = [published('queue'), closed('queue')];

async function ask(...argv: string[]): Promise<{ code: number; document: QueueDocument }> {
  const { code, out } = await queue(...argv, '--json');
  const document = JSON.parse(out) as QueueDocument;
  for (const validate of VALIDATORS) {
    validate(document);
    expect(validate.errors ?? []).toEqual([]);
  }
  return { code, document };
}

describe('queues of the configuration', () => {
  test.each([
    ['drawing-room', 0, []],
    ['dispatch', 1, ['queue-paused']],
    ['survey', 1, ['job-held']],
    ['quay-office', 1, ['queue-points-elsewhere']],
    ['lamp-store', 1, ['head-job-stuck']],
    ['slipway', 1, ['media-empty', 'queue-rejecting']],
  ])('%s', async (name, code, causes) => {
    const asked = await ask(name);
    expect(asked.document.queues.map((entry) => entry.name)).toEqual([name]);
    const faults = asked.document.queues[0]?.findings.filter(({ severity }) => severity === 'fault');
    expect(faults?.map(({ cause }) => cause)).toEqual(causes);
    expect(asked.code).toBe(code);
    expect(asked.document.queues[0]?.leadsTo).toBe(name === 'quay-office' ? null : name);
  });

  test('both ways are tried in the name of a user, and no job is made', async () => {
    const { document } = await ask('drawing-room', '--user', 'mira');
    expect(document.queues[0]?.route).toMatchObject({
      user: 'mira',
      direct: { taken: true },
      throughQueue: { taken: true },
      stopsAt: 'nowhere',
    });
  });

  test('several at once, for people', async () => {
    const { out, code } = await queue('dispatch', 'lamp-store');
    expect(code).toBe(1);
    expect(out).toContain('dispatch: stopped (paused), leads to dispatch');
    expect(out).toContain('Test without paper: The queue and the printer itself would both take a job.');
    expect(out).toContain('"Inventory"');
    expect(Math.max(...out.split('\n').map((line) => line.length))).toBeLessThanOrEqual(80);
  });
});

describe('queues found otherwise', () => {
  test('by URI: the device behind it is asked over its own', async () => {
    const uri = office.device('print-server').queueUris['front-desk'] ?? '';
    const { out } = await outfeed(['queue', uri, '--json'], { cwd: '/nonexistent', env });
    expect(JSON.parse(out).queues[0]).toMatchObject({
      uri,
      name: 'front-desk',
      leadsTo: null,
      route: { direct: { taken: true }, stopsAt: 'nowhere' },
    });
  });

  test('in a spooler’s own list, and only those that lead to the printer asked about', async () => {
    const config = join(folder, 'bare.yaml');
    const { address, ippUri, snmpPort } = office.device('front-desk');
    writeFileSync(
      config,
      `printers:\n  - { name: counter, address: ${address}, ippUri: "${ippUri}", snmpPort: ${snmpPort} }\n`,
    );
    const all = await ask('--config', config, '--spooler', server);
    expect(all.document.queues.length).toBeGreaterThan(5);
    expect(all.document.queues.find(({ name }) => name === 'front-desk')?.leadsTo).toBe('counter');
    const one = await ask('counter', '--config', config, '--spooler', server);
    expect(one.document.queues.map(({ name }) => name)).toEqual(['front-desk']);
  });

  test('by their announcements, when nothing is named', async () => {
    const [, host = '', port = '0'] = /^ipp:\/\/([^:/]+):(\d+)/.exec(server) ?? [];
    const heard = (name: string, rp: string) => ({
      name,
      type: '_ipp._tcp',
      host: null,
      port: Number(port),
      addresses: [host],
      txt: { rp },
    });
    const net = {
      ...createSystemNet(),
      browse: async () => [heard('Dispatch @ print-server', 'printers/dispatch'), heard('A printer', 'ipp/print')],
    };
    // Loopback port 631 of this machine is not asked: the list is looked for where nobody listens.
    const http = (request: Parameters<typeof net.http>[0]) =>
      net.http(
        request.url.startsWith('http://127.0.0.1:631/') ? { ...request, url: 'http://127.35.72.250:9/' } : request,
      );
    const { out } = await outfeed(['queue', '--json'], {
      cwd: '/nonexistent',
      env: {},
      net: async () => ({ ...net, http }),
    });
    expect(JSON.parse(out).queues.map(({ name }: { name: string }) => name)).toEqual(['dispatch']);
  });

  test('none at all: exit 3 and a hint', async () => {
    const { code, out } = await outfeed(['queue', '127.35.72.251', '--timeout', '200'], { cwd: '/nonexistent', env });
    expect(code).toBe(3);
    expect(out).toContain('No print queue is known here');
  });

  test('a spooler that was named and is not there', async () => {
    const { code, document } = await ask('drawing-room', '--spooler', 'ipp://127.35.72.251:9/');
    expect(code).toBe(1);
    expect(document.queues[0]?.findings).toMatchObject([{ cause: 'spooler-down' }]);
    expect(document.problems[0]).toContain('gave no list of its queues');
  });

  test('a spooler that was named, answers and refuses is not down', async () => {
    const net = createSystemNet();
    const http = async (request: Parameters<typeof net.http>[0]) => ({
      ...(await net.http({ ...request, url: 'http://127.35.72.251:9/' })),
      status: 400,
    });
    const { code, out } = await outfeed(['queue', '--spooler', 'ipp://127.35.72.251/'], {
      cwd: '/nonexistent',
      env: {},
      net: async () => ({ ...net, http }),
    });
    expect(code).toBe(3);
    expect(out).not.toContain('spooler-down');
    expect(out).toMatch(/HTTP status\s+400/);
  });

  test('a report beside the queues of a printer', async () => {
    const file = join(folder, 'report.json');
    writeFileSync(file, JSON.stringify(hostReport({ queues: [], ports: [] })));
    const { document } = await ask('drawing-room', '--queue-report', file);
    expect(document.queues.map(({ name }) => name)).toEqual(['drawing-room']);
    expect(document.crashLoop).toBeNull();
  });
});

describe('mistakes are one sentence, exit 2', () => {
  test.each([
    [['--queue', 'socket://192.0.2.21'], /--queue takes an ipp, ipps, http or https URI/],
    [['http://'], /URI/],
    [['--queue-report', 'nowhere.json'], /there is no such file/],
    [['--apply', 'purge'], /hold, cancel/],
    [['dispatch', '--apply', 'hold', '--yes', 'all'], /--yes takes a whole number/],
    [['drawing-room', '--apply', 'hold', '--yes', '4'], /no job stands out as the one to hold/],
    [['drawing-room', '--apply', 'hold', '--job', '9', '--yes', '9'], /no queue that was asked over IPP holds job 9/],
    [['dispatch', '--apply', 'cancel', '--job', '311'], /nobody can be asked here; say --yes 311/],
  ])('%j', async (argv, says) => {
    const { code, err } = await queue(...argv);
    expect(code).toBe(2);
    expect(err).toMatch(says);
    expect(err.trim().split('\n')).toHaveLength(1);
  });

  // RFC 8011 5.3.2: a number tells jobs apart within one spooler only.
  test('a job that another spooler accuses is not taken for the one of the same number here', async () => {
    const file = join(folder, 'crashes.json');
    const report = hostReport({
      jobs: [hostJob(331, { document: 'Brine' })],
      events: [...ordinary(20), ...crashing(6, () => 331)],
    });
    writeFileSync(file, JSON.stringify(report));
    const argv = ['lamp-store', '--queue-report', file, '--apply', 'hold', '--yes', '331'];
    const { code, err } = await queue(...argv);
    expect(err).toContain('no queue that was asked over IPP holds job 331 "Brine"');
    expect(code).toBe(2);
  });

  test('what the spooler refuses is said, and nothing is claimed', async () => {
    const { code, err } = await queue('dispatch', '--apply', 'cancel', '--job', '311', '--yes', '311');
    expect(code).toBe(1);
    expect(err).toContain('was not changed: the spooler says');
  });
});

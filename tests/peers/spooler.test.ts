import { createServer } from 'node:net';
import { setTimeout as delay } from 'node:timers/promises';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { IppAttributes, IppExchangeValue, Observation } from '../../src/model/evidence.js';
import { createSystemNet } from '../../src/net/system-net.js';
import { spoolerProbe } from '../../src/probes/spooler/spooler.js';
import { limits, lines, target } from '../probes/ipp/office.js';
import { Cupsd } from './cupsd.js';
import { differences, ipptoolAttributes } from './ipptool.js';
import { describeWithPeers } from './peer.js';

/** On loopback the spooler takes no other name for itself: a request with another Host field gets HTTP 400. */
const HOST = '127.0.0.1';

/** A spooler put into each state by its own tools; what is expected was seen on Debian's 2.4 and not decreed. */
describeWithPeers('a real spooler', ['cupsd', 'lpadmin', 'lp', 'cupsdisable', 'cupsreject', 'cancel'], () => {
  let cups: Cupsd;
  beforeAll(async () => {
    cups = await Cupsd.start(HOST);
  });
  afterAll(() => cups?.stop());

  /** Makes a raw queue; nothing listens at its device unless the test sees to that. */
  async function queue(name: string, device = `socket://${HOST}:1`, ...argv: string[]): Promise<void> {
    await cups.tool('lpadmin', '-p', name, '-E', '-v', device, '-m', 'raw', ...argv);
  }

  async function read(name: string, user?: string) {
    const uri = cups.uri(name);
    const all = await spoolerProbe.run(
      target({ queues: [uri] }),
      createSystemNet(),
      limits(user === undefined ? {} : { user }),
    );
    for (const each of all) expect(each).toMatchObject({ about: 'queue', subject: uri });
    return { all, state: exchange(all, 0).attributes, waiting: jobsOf(all, 1), ended: jobsOf(all, 2) };
  }

  const ANSWERED = [
    'spooler Get-Printer-Attributes answered',
    'spooler Get-Jobs answered',
    'spooler Get-Jobs answered',
    'spooler Validate-Job answered',
  ];

  test('idle and well', async () => {
    await queue('well');
    const { all, state, waiting, ended } = await read('well');
    expect(lines(all)).toEqual(ANSWERED);
    expect(plain(state)).toMatchObject({
      'printer-name': ['well'],
      'printer-state': [3],
      'printer-state-reasons': ['none'],
      'printer-is-accepting-jobs': [true],
      'device-uri': [`socket://${HOST}:1`],
      'queued-job-count': [0],
    });
    expect([waiting, ended]).toEqual([[], []]);
    expect(exchange(all, 1).whichJobs).toBe('not-completed');
    expect(exchange(all, 2).whichJobs).toBe('completed');
    for (const each of all) expect((each.value as IppExchangeValue).problems).toEqual([]);
  });

  test('paused, with a job behind it', async () => {
    await queue('paused');
    await cups.tool('cupsdisable', '-r', 'toner is on its way', 'paused');
    await cups.print('paused', '-t', 'minutes');
    const { state, waiting } = await read('paused');
    expect(plain(state)).toMatchObject({
      'printer-state': [5],
      'printer-state-reasons': ['paused'],
      'printer-state-message': ['toner is on its way'],
      'queued-job-count': [1],
    });
    expect(waiting.map(plain)).toMatchObject([{ 'job-state': [3], 'job-name': ['minutes'] }]);
  });

  test('rejecting', async () => {
    await queue('rejecting');
    await cups.tool('cupsreject', 'rejecting');
    const { all, state } = await read('rejecting');
    expect(plain(state)['printer-is-accepting-jobs']).toEqual([false]);
    // A job would be refused, yet Validate-Job is answered well: only the attribute tells.
    expect(lines(all)).toEqual(ANSWERED);
  });

  test('a held job, and one that its user cancelled', async () => {
    await queue('holding');
    await cups.print('holding', '-H', 'hold', '-t', 'kept');
    await cups.print('holding', '-H', 'hold', '-t', 'given up');
    await cups.tool('cancel', await jobId('given up', 'holding'));
    const { waiting, ended } = await read('holding');
    expect(waiting.map(plain)).toMatchObject([
      { 'job-state': [4], 'job-name': ['kept'], 'job-state-reasons': ['job-hold-until-specified'] },
    ]);
    // Named attributes give `processing-to-stop-point` as the reason of an ended job; its state is the sure sign.
    expect(ended.map(plain)).toMatchObject([{ 'job-state': [7], 'job-name': ['given up'] }]);
  });

  test('a device where nobody listens: only the message tells', async () => {
    await queue('dead');
    await cups.print('dead');
    const { state, waiting } = await until(
      () => read('dead'),
      (seen) => plain(seen.state)['printer-state-message']?.[0] !== '',
    );
    expect(plain(state)).toMatchObject({ 'printer-state': [4], 'printer-is-accepting-jobs': [true] });
    expect(waiting.map(plain)).toMatchObject([{ 'job-state': [5] }]);
  });

  test('a device that takes the call and reads nothing', async () => {
    const server = createServer((socket) => socket.pause());
    await new Promise<void>((resolve) => server.listen(0, HOST, resolve));
    const address = server.address();
    const port = typeof address === 'object' ? address?.port : 0;
    await queue('stuck', `socket://${HOST}:${port}`);
    await cups.print('stuck');
    const { waiting } = await until(
      () => read('stuck'),
      (seen) => plain(seen.waiting[0] ?? {})['job-state']?.[0] === 5,
    );
    expect(Number(plain(waiting[0] ?? {})['time-at-processing']?.[0])).toBeGreaterThan(1_000_000_000);
    await cups.tool('cancel', '-a', 'stuck');
    server.close();
  });

  test('a user on the deny list', async () => {
    await queue('choosy', undefined, '-u', 'deny:ana');
    const { all, state } = await read('choosy', 'ana');
    expect(plain(state)['requesting-user-name-denied']).toEqual(['ana']);
    expect(exchange(all, 3).user).toBe('ana');
  });

  test('a sign-in demanded before a job', async () => {
    await queue('guarded', undefined, '-o', 'printer-op-policy=signin');
    const { all } = await read('guarded', 'ana');
    expect(lines(all)).toEqual([...ANSWERED.slice(0, 3), 'spooler Validate-Job denied']);
    expect(exchange(all, 3).httpStatus).toBe(401);
  });

  test('no such queue', async () => {
    const { all } = await read('nowhere');
    expect(lines(all)).toEqual(['spooler Get-Printer-Attributes answered']);
    expect(exchange(all, 0)).toMatchObject({ httpStatus: 200, status: 'client-error-not-found' });
  });

  test('a device given by name is looked up', async () => {
    await queue('named', 'socket://localhost:1');
    const { all } = await read('named');
    expect(lines(all).at(-1)).toBe('dns localhost answered');
    expect(all.at(-1)?.value).toMatchObject({ addresses: expect.arrayContaining(['127.0.0.1']) });
  });

  test('a privacy rule: the job is there, its name is not', async () => {
    await queue('discreet', undefined, '-o', 'printer-op-policy=private');
    await cups.print('discreet', '-H', 'hold', '-t', 'salary');
    const { waiting } = await read('discreet');
    expect(waiting.map(plain)).toMatchObject([{ 'job-state': [4], 'job-state-reasons': ['job-hold-until-specified'] }]);
    expect(waiting[0]?.['job-name']).toBeUndefined();
  });

  test('hostile text in names comes as it is, and breaks nothing', async () => {
    await queue('odd', undefined, '-D', 'desk \u202e\u009b<script>');
    await cups.print('odd', '-H', 'hold', '-t', 'a\u001b[2Jb');
    const { state, waiting } = await read('odd');
    expect(plain(state)['printer-info']).toEqual(['desk \u202e\u009b<script>']);
    expect(plain(waiting[0] ?? {})['job-name']?.[0]).toBe('a\u001b[2Jb');
  });

  describeWithPeers('beside the reference client', ['ipptool', 'timeout'], () => {
    test('every attribute read is the same', async () => {
      await queue('compared', undefined, '-D', 'Zweite Straße', '-L', '3rd floor');
      const { state } = await read('compared');
      const theirs = await ipptoolAttributes(cups.uri('compared'), (text) =>
        text.replaceAll('//localhost:', `//${HOST}:`),
      );
      expect(Object.keys(state).length).toBeGreaterThan(20);
      expect(differences(state, theirs)).toEqual([]);
    });
  });

  async function jobId(title: string, name: string): Promise<string> {
    const { waiting } = await read(name);
    const job = waiting.map(plain).find((each) => each['job-name']?.[0] === title);
    return String(job?.['job-id']?.[0]);
  }
});

describeWithPeers('a spooler that has ended', ['cupsd'], () => {
  test('is refused', async () => {
    const cups = await Cupsd.start(HOST);
    await cups.stop();
    const all = await spoolerProbe.run(target({ queues: [cups.uri('any')] }), createSystemNet(), limits());
    expect(lines(all)).toEqual(['spooler Get-Printer-Attributes refused']);
  });
});

function exchange(all: readonly Observation[], index: number): IppExchangeValue {
  const found = all[index];
  if (found?.source !== 'spooler' || found.value === null || 'kind' in found.value)
    throw new Error(`no record of a spooler at ${index}`);
  return found.value;
}

function jobsOf(all: readonly Observation[], index: number): readonly IppAttributes[] {
  const found = all[index];
  if (found?.source !== 'spooler' || found.value === null || 'kind' in found.value) return [];
  return found.value.jobs ?? [];
}

/** Values without their tags. */
function plain(attributes: IppAttributes): Record<string, unknown[]> {
  return Object.fromEntries(Object.entries(attributes).map(([name, set]) => [name, set.map((each) => each.value)]));
}

async function until<T>(get: () => Promise<T>, done: (seen: T) => boolean): Promise<T> {
  for (let attempt = 0; attempt < 80; attempt += 1) {
    const seen = await get();
    if (done(seen)) return seen;
    await delay(200);
  }
  return get();
}

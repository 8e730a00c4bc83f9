import { describe, expect, test } from 'vitest';
import type { LpdEvidence } from '../../../src/model/evidence.js';
import type { LpdQueue, Target } from '../../../src/model/target.js';
import { createSystemNet } from '../../../src/net/system-net.js';
import { lpdProbe } from '../../../src/probes/lpd/lpd.js';
import type { Limits } from '../../../src/probes/probe.js';
import { MOST_STATE_OCTETS } from '../../../src/wire/lpd/state.js';
import { drip, flood, type Manners, talker } from '../pjl/talker.js';

const HOST = '127.36.1.1';
const net = createSystemNet();
const LIMITS: Limits = { timeoutMs: 900, retries: 0, deadlineMs: 2000, credentials: [] };
// RFC 1179 5.3 and 5.4, octets computed from the form `03 queue SP list LF`.
const SHORT = '036c70200a';
const LONG = '046c70200a';

const target = (lpdQueues: readonly LpdQueue[], host = HOST): Target => ({
  label: 'front-desk',
  host,
  snmpPort: 161,
  printPorts: [],
  queues: [],
  lpdQueues,
});

async function ask(manners: Manners, more: Partial<LpdQueue> = {}) {
  const daemon = await talker(manners, HOST);
  const uri = `lpd://${HOST}:${daemon.port}/lp`;
  const started = net.monotonic();
  const queue = { uri, port: daemon.port, queue: 'lp', ...more };
  const records = (await lpdProbe.run(target([queue]), net, LIMITS)) as LpdEvidence[];
  return { daemon, uri, records, took: net.monotonic() - started };
}

const says = (short: string, long = short): Manners => ({
  onData: (socket, soFar) => {
    const asked = soFar.toString('hex');
    if (asked === SHORT) socket.end(short);
    if (asked === LONG) socket.end(long);
  },
});

describe('a daemon that answers', () => {
  test('an idle queue is asked once', async () => {
    const { daemon, uri, records } = await ask(says('lp is ready\nno entries\n'));
    expect(records).toHaveLength(1);
    expect(records[0]).toMatchObject({ source: 'lpd', what: 'short state', about: 'target', subject: uri });
    expect(records[0]).toMatchObject({ outcome: 'answered', value: { text: 'lp is ready\nno entries' } });
    expect(records[0]?.value?.problems).toBeUndefined();
    expect(daemon.received().map((octets) => octets.toString('hex'))).toEqual([SHORT]);
    expect(daemon.resets()).toBe(0);
  });

  test('a queue with jobs is asked for their files too', async () => {
    const row = 'Rank Owner Job Files Total Size\nactive mira 12 report.ps 20480 bytes\n';
    const long = 'mira: active [job 012harbour.example]\n        report.ps 20480 bytes\n';
    const { daemon, records } = await ask(says(row, long), { host: HOST });
    expect(records.map((r) => [r.what, r.about])).toEqual([
      ['short state', 'queue'],
      ['long state', 'queue'],
    ]);
    expect(daemon.received().map((octets) => octets.toString('hex'))).toEqual([SHORT, LONG]);
  });

  test('an answer that only comes after our FIN', async () => {
    const { records } = await ask({ onEnd: (socket) => socket.end('no entries\n') });
    expect(records[0]).toMatchObject({ outcome: 'answered', value: { text: 'no entries' } });
    expect(records[0]?.value?.problems).toBeUndefined();
  });

  test('a daemon that leaves its side open', async () => {
    const { records } = await ask({ onData: (socket) => socket.write('no entries\n'), onEnd: () => undefined });
    expect(records[0]).toMatchObject({ outcome: 'answered', value: { text: 'no entries' } });
    expect(records[0]?.value?.problems?.join(' ')).toContain('did not close');
  });

  test('an answer of more than is read, and one whose connection is cut, are told as such', async () => {
    const long = await ask({ onData: (socket) => socket.end(Buffer.alloc(MOST_STATE_OCTETS + 1, 'x\n')) });
    expect(long.records[0]?.value?.problems).toEqual(['The first 65536 octets were read: more may have followed.']);
    const cut = await ask({
      onData: (socket) => socket.write('lp is ready\n', () => setTimeout(() => socket.resetAndDestroy(), 50)),
    });
    expect(cut.records[0]?.value?.problems?.join(' ')).toContain('was cut');
  });
});

describe('a hostile daemon', () => {
  test.each<[string, Manners, string]>([
    ['silent', { onEnd: () => undefined }, 'silent'],
    ['closes without a word', { onData: (socket) => socket.end() }, 'silent'],
    ['cuts the connection', { onData: (socket) => socket.resetAndDestroy() }, 'refused'],
    ['refuses with an octet', { onData: (socket) => socket.end(Buffer.from([1])) }, 'garbled'],
    ['drips for ever', { onConnect: (s) => drip(s, 'lp is ready\n', 20), onEnd: () => undefined }, 'answered'],
    [
      'pours without end',
      { onConnect: (s) => flood(s, Buffer.alloc(65_536, 'x')), onEnd: () => undefined },
      'answered',
    ],
    ['sends noise', { onConnect: (s) => s.end(Buffer.alloc(3000, '\u0000\u00f1\u0002\u0099', 'latin1')) }, 'garbled'],
  ])('%s', async (_name, manners, outcome) => {
    const { daemon, records, took } = await ask(manners);
    expect(records.at(0)?.outcome).toBe(outcome);
    expect(took).toBeLessThan(LIMITS.deadlineMs + 1000);
    expect(JSON.stringify(records).length).toBeLessThan(70_000);
    for (const octets of daemon.received()) expect(['', SHORT]).toContain(octets.toString('hex'));
  });

  test('a closed port', async () => {
    const daemon = await talker({}, HOST);
    await daemon.close();
    const queue = { uri: `lpd://${HOST}:${daemon.port}/lp`, port: daemon.port, queue: 'lp' };
    expect(await lpdProbe.run(target([queue]), net, LIMITS)).toMatchObject([{ outcome: 'refused', value: null }]);
  });
});

describe('nothing without being named', () => {
  test('no queue, no call', async () => {
    const daemon = await talker({}, HOST);
    expect(await lpdProbe.run(target([]), net, LIMITS)).toEqual([]);
    expect(daemon.received()).toEqual([]);
  });

  test('a name that could smuggle a command in is not sent', async () => {
    const { daemon, records } = await ask({}, { queue: 'lp\n\u0002lp' });
    expect(records).toMatchObject([{ outcome: 'failed', value: null }]);
    expect(daemon.received()).toEqual([]);
  });

  test('a queue of the target itself waits until its name is known', async () => {
    const queue = { uri: 'lpd://nowhere.example/lp', port: 515, queue: 'lp' };
    expect(await lpdProbe.run(target([queue], 'nowhere.example'), net, LIMITS)).toEqual([]);
  });
});

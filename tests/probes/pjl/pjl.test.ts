import { describe, expect, test } from 'vitest';
import type { PjlEvidence } from '../../../src/model/evidence.js';
import type { Target } from '../../../src/model/target.js';
import type { Net } from '../../../src/net/net.js';
import { createSystemNet } from '../../../src/net/system-net.js';
import { collectEvidence } from '../../../src/probes/collect.js';
import { pjlProbe } from '../../../src/probes/pjl/pjl.js';
import type { Limits } from '../../../src/probes/probe.js';
import { tcpProbe } from '../../../src/probes/tcp/tcp.js';
import { statusRequest } from '../../../src/wire/pjl/request.js';
import { drip, flood, type Manners, talker } from './talker.js';

const HOST = '127.36.0.1';
const net = createSystemNet();
const LIMITS: Limits = { timeoutMs: 900, retries: 0, deadlineMs: 1500, credentials: [] };
const QUESTION = statusRequest().toString('hex');
const READY = '@PJL INFO STATUS\r\nCODE=10001\r\nDISPLAY="READY"\r\nONLINE=TRUE\r\n\f';

const target = (port: number, pjl = true): Target => ({
  label: 'front-desk',
  host: HOST,
  snmpPort: 161,
  printPorts: [port],
  queues: [],
  ...(pjl ? { pjl: { port } } : {}),
});

async function ask(manners: Manners, limits = LIMITS) {
  const device = await talker(manners);
  const started = net.monotonic();
  const [record] = (await pjlProbe.run(target(device.port), net, limits)) as PjlEvidence[];
  return { device, record, took: net.monotonic() - started };
}

const whole = (reply: string | Buffer) => ({
  onData: (socket: import('node:net').Socket, soFar: Buffer) => {
    if (soFar.toString('hex') === QUESTION) socket.write(reply);
  },
});

describe('a printer that answers', () => {
  test('is asked with exactly the question, read, and left with a FIN', async () => {
    const { device, record } = await ask(whole(READY));
    expect(record).toMatchObject({ source: 'pjl', what: 'INFO STATUS', about: 'target', outcome: 'answered' });
    expect(record?.subject).toBe(`socket://${HOST}:${device.port}`);
    expect(record?.value).toEqual({ code: 10001, display: 'READY', online: true, problems: [] });
    await expect.poll(device.properlyClosed).toBe(1);
    expect(device.resets()).toBe(0);
    expect(device.received().map((octets) => octets.toString('hex'))).toEqual([QUESTION]);
  });

  test('in pieces, one octet at a time', async () => {
    const { device, record } = await ask({
      onData: (socket) => {
        for (const [i, octet] of [...READY].entries()) setTimeout(() => socket.write(octet), i);
      },
    });
    expect(record?.value).toMatchObject({ code: 10001, online: true, problems: [] });
    expect(device.received().map((octets) => octets.toString('hex'))).toEqual([QUESTION]);
  });

  test('only after it has seen our FIN', async () => {
    const { record } = await ask({ onEnd: (socket) => socket.end(READY) });
    expect(record?.value).toMatchObject({ code: 10001, online: true });
  });

  test('and closes at once, its reply cut short', async () => {
    const { record } = await ask({ onData: (socket) => socket.end(READY.slice(0, 40)) });
    expect(record).toMatchObject({ outcome: 'answered', value: { code: 10001, online: null } });
    expect(record?.value?.problems.join(' ')).toContain('cut short');
  });
});

describe('a hostile printer', () => {
  test.each<[string, Manners, string]>([
    ['silent', {}, 'silent'],
    ['silent, and never closes its half', { onEnd: () => undefined }, 'silent'],
    ['closes without a word', { onData: (socket) => socket.end() }, 'silent'],
    ['cuts the connection', { onData: (socket) => socket.resetAndDestroy() }, 'refused'],
    ['drips noise for ever', { onConnect: (s) => drip(s, 'x', 20), onEnd: () => undefined }, 'garbled'],
    [
      'drips status lines for ever',
      { onConnect: (s) => drip(s, 'CODE=10001\r\n', 20), onEnd: () => undefined },
      'answered',
    ],
    [
      'pours noise without end',
      { onConnect: (s) => flood(s, Buffer.alloc(65_536, 0xa5)), onEnd: () => undefined },
      'garbled',
    ],
    [
      'pours form feeds without end',
      { onConnect: (s) => flood(s, Buffer.alloc(65_536, '\f')), onEnd: () => undefined },
      'garbled',
    ],
    ['speaks another protocol', { onConnect: (s) => s.write('HTTP/1.1 400 Bad Request\r\n\r\n') }, 'garbled'],
  ])('%s', async (_name, manners, outcome) => {
    const { device, record, took } = await ask(manners);
    expect(record?.outcome).toBe(outcome);
    expect(took).toBeLessThan(LIMITS.deadlineMs + 1000);
    expect(JSON.stringify(record).length).toBeLessThan(2000);
    for (const octets of device.received()) expect(octets.toString('hex')).toBe(QUESTION);
  });

  test('a closed port', async () => {
    const device = await talker({});
    await device.close();
    const [record] = await pjlProbe.run(target(device.port), net, LIMITS);
    expect(record).toMatchObject({ outcome: 'refused', value: null });
  });
});

describe('no octet without leave', () => {
  test('a whole look at a target that allows nothing sends none to its print ports', async () => {
    const raw = await talker({});
    const lpd = await talker({});
    const whole = { ...target(raw.port, false), printPorts: [raw.port, lpd.port] };
    const bundle = await collectEvidence(whole, net, { ...LIMITS, timeoutMs: 300, deadlineMs: 600 });
    expect(bundle.evidence.map((e) => e.source)).not.toContain('pjl');
    expect(bundle.evidence.map((e) => e.source)).not.toContain('lpd');
    const tried = bundle.evidence.filter((e) => e.source === 'tcp' && e.value === 'open').map((e) => e.what);
    expect(tried).toEqual(expect.arrayContaining([`${raw.port}/tcp`, `${lpd.port}/tcp`]));
    await expect.poll(() => raw.received().length).toBeGreaterThan(0);
    for (const device of [raw, lpd]) for (const octets of device.received()) expect(octets.length).toBe(0);
  });

  test('where it is allowed, it is asked once, after the others are done with the port', async () => {
    const raw = await talker(whole(READY));
    const order: string[] = [];
    const watched: Net = {
      ...net,
      tcpConnect: async (host, port, timeoutMs) => {
        const result = await net.tcpConnect(host, port, timeoutMs);
        if (port === raw.port) order.push('tried');
        return result;
      },
      tcpExchange: (request) => {
        order.push('asked');
        return net.tcpExchange(request);
      },
    };
    const limits = { ...LIMITS, timeoutMs: 600, deadlineMs: 900 };
    const bundle = await collectEvidence(target(raw.port), watched, limits, [pjlProbe, tcpProbe]);
    expect(bundle.evidence.at(-1)).toMatchObject({ source: 'pjl', outcome: 'answered', value: { code: 10001 } });
    expect(raw.received().map((octets) => octets.toString('hex'))).toEqual(['', QUESTION]);
    expect(order).toEqual(['tried', 'asked']);
  });

  test('a port that gave no answer is not called again; one that refused is', async () => {
    const late = pjlProbe.late ?? (() => undefined);
    const tcp = (outcome: 'answered' | 'refused' | 'silent' | 'failed') =>
      ({
        source: 'tcp',
        what: '9100/tcp',
        about: 'target',
        subject: HOST,
        outcome,
        value: 'x',
        at: '',
        tookMs: 1,
      }) as const;
    expect(late(target(9100), [tcp('answered')])).toBe(true);
    expect(late(target(9100), [tcp('refused')])).toBe(true);
    expect(late(target(9100), [tcp('silent')])).toBe(false);
    expect(late(target(9100), [tcp('failed')])).toBe(false);
    expect(late(target(9100), [])).toBe(true);
    expect(late(target(9100, false), [tcp('answered')])).toBe(false);
  });
});

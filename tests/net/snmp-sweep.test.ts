import { Buffer } from 'node:buffer';
import { createSocket, Socket } from 'node:dgram';
import { afterEach, describe, expect, test, vi } from 'vitest';
import type { SnmpCredential } from '../../src/net/net.js';
import { type SweepReply, type SweepTarget, sweepSnmp } from '../../src/net/snmp-sweep.js';
import { octets } from './ber.js';
import { type Agent, type Handler, honest, response, startAgent, Tree } from './snmp-agent.js';
import { printerObjects } from './snmp-printer.js';

const PUBLIC: SnmpCredential = { version: '2c', community: 'public', label: 'community 1' };
const V1: SnmpCredential = { version: '1', community: 'public', label: 'community 1' };
const printer = new Tree(printerObjects());
const host = new Tree({ '1.3.6.1.2.1.1.1.0': octets('A host'), '1.3.6.1.2.1.1.5.0': octets('host') });

const open: Agent[] = [];
afterEach(async () => {
  vi.restoreAllMocks();
  for (const agent of open.splice(0)) await agent.close();
});

/** Agents at 127.32.3.N, all on one port. */
async function agents(handlers: Readonly<Record<number, Handler>>): Promise<number> {
  let port = 0;
  for (const [last, handler] of Object.entries(handlers)) {
    const agent = await startAgent(`127.32.3.${last}`, handler, 0, port);
    port = agent.port;
    open.push(agent);
  }
  return port;
}

async function sweep(
  targets: Iterable<SweepTarget> | AsyncIterable<SweepTarget>,
  credential = PUBLIC,
  options: { maxInFlight?: number; timeoutMs?: number; retries?: number; signal?: AbortSignal } = {},
): Promise<Map<string, SweepReply>> {
  const out = new Map<string, SweepReply>();
  const onReply = (reply: SweepReply) => out.set(reply.address, reply);
  await sweepSnmp(targets, credential, { timeoutMs: 400, retries: 0, maxInFlight: 100, onReply, ...options });
  return out;
}

function* range(port: number, from: number, to: number): Iterable<SweepTarget> {
  for (let i = from; i <= to; i++) yield { address: `127.32.3.${i}`, port };
}

describe('asking many addresses', () => {
  test.each([PUBLIC, V1])('finds printers and other hosts among the silent, version $version', async (credential) => {
    const port = await agents({ 7: (r) => honest(printer, r), 9: (r) => honest(host, r), 11: () => undefined });
    const replies = await sweep(range(port, 1, 20), credential);
    expect(replies.size).toBe(20);
    expect([...replies.values()].filter(({ outcome }) => outcome === 'answered')).toHaveLength(2);
    const found = replies.get('127.32.3.7')?.values ?? {};
    expect(Object.keys(found).sort()).toEqual([
      'hrDeviceDescr',
      'hrPrinterStatus',
      'prtGeneralPrinterName',
      'prtGeneralSerialNumber',
      'sysDescr',
      'sysName',
      'sysObjectID',
    ]);
    expect(found.prtGeneralSerialNumber?.value).toEqual(Buffer.from('Value 1'));
    const other = replies.get('127.32.3.9')?.values ?? {};
    expect(Object.keys(other).sort()).toEqual(['sysDescr', 'sysName']);
  });

  test('uses one socket for all of them', async () => {
    const port = await agents({ 7: (r) => honest(printer, r) });
    const bind = vi.spyOn(Socket.prototype, 'bind');
    await sweep(range(port, 1, 120), PUBLIC, { timeoutMs: 100 });
    expect(bind.mock.calls).toHaveLength(1);
  });

  test('keeps to the number in flight', async () => {
    let waiting = 0;
    let most = 0;
    const slow: Handler = (request, from, socket) => {
      most = Math.max(most, ++waiting);
      setTimeout(() => {
        waiting--;
        const reply = honest(host, request);
        if (reply) socket.send(reply, from.port, from.address);
      }, 20);
      return undefined;
    };
    const port = await agents(Object.fromEntries(Array.from({ length: 12 }, (_, i) => [i + 1, slow])));
    const replies = await sweep(range(port, 1, 12), PUBLIC, { maxInFlight: 4, timeoutMs: 5000 });
    expect([...replies.values()].every(({ outcome }) => outcome === 'answered')).toBe(true);
    expect(most).toBeLessThanOrEqual(4);
  });

  test('a reply that comes from another address is told to the one that was asked', async () => {
    const other = createSocket('udp4');
    await new Promise<void>((resolve) => other.bind(0, '127.32.3.99', resolve));
    const port = await agents({
      7: (request, from) => {
        other.send(response(request, { bindings: [] }), from.port, from.address);
        return undefined;
      },
    });
    const replies = await sweep(range(port, 7, 7));
    other.close();
    expect(replies.get('127.32.3.7')).toMatchObject({ outcome: 'silent', values: {} });
    expect(replies.get('127.32.3.7')?.problems.join()).toContain('a reply came from 127.32.3.99');
  });

  test('garbage, v4 and v6, and a lost first try', async () => {
    let tries = 0;
    const port = await agents({
      7: () => Buffer.from('garbage'),
      8: (request) => (++tries === 1 ? undefined : honest(host, request)),
    });
    const six = await startAgent('::1', (request) => honest(host, request), 0, port);
    open.push(six);
    const targets = [...range(port, 7, 8), { address: '::1', port }];
    const replies = await sweep(targets, PUBLIC, { retries: 1, timeoutMs: 300 });
    expect([...replies].map(([address, { outcome }]) => [address, outcome]).sort()).toEqual([
      ['127.32.3.7', 'silent'],
      ['127.32.3.8', 'answered'],
      ['::1', 'answered'],
    ]);
  });

  test('can be stopped', async () => {
    const stop = new AbortController();
    async function* endless(): AsyncIterable<SweepTarget> {
      for (let i = 0; ; i++) {
        if (i === 50) stop.abort();
        yield { address: '127.32.3.200', port: 9 };
      }
    }
    const replies = await sweep(endless(), PUBLIC, { signal: stop.signal, timeoutMs: 20_000 });
    expect(replies.size).toBe(1);
  });

  test('what the caller throws comes back to the caller', async () => {
    const onReply = () => {
      throw new RangeError('mine');
    };
    const options = { timeoutMs: 50, retries: 0, maxInFlight: 2, onReply };
    await expect(sweepSnmp(range(9, 1, 9), PUBLIC, options)).rejects.toThrow('mine');
  });

  test('an unusable credential asks nobody', async () => {
    const broken: SnmpCredential = { version: '3', user: 'x', level: 'authNoPriv', label: 'user x' };
    const replies = await sweep(range(9, 1, 3), broken);
    expect([...replies.values()].map(({ outcome, error }) => [outcome, error])).toEqual(
      Array.from({ length: 3 }, () => ['failed', 'not-available']),
    );
  });
});

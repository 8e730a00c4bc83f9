import { Buffer } from 'node:buffer';
import { createSocket, Socket } from 'node:dgram';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterEach, describe, expect, test, vi } from 'vitest';
import type { SnmpCredential } from '../../src/net/net.js';
import { readEnvelope } from '../../src/net/snmp-envelope.js';
import { SnmpFinder, type SnmpFound } from '../../src/net/snmp-finder.js';
import { questionWith } from '../../src/net/snmp-question.js';
import { octets } from './ber.js';
import { type Agent, type Handler, honest, response, startAgent, Tree } from './snmp-agent.js';

const PUBLIC: SnmpCredential = { version: '2c', community: 'public', label: 'community 1' };
const V1: SnmpCredential = { version: '1', community: 'public', label: 'community 1' };
const host = new Tree({ '1.3.6.1.2.1.1.1.0': octets('A host'), '1.3.6.1.2.1.1.5.0': octets('host') });

const open: Agent[] = [];
let finder: SnmpFinder | undefined;
afterEach(async () => {
  vi.restoreAllMocks();
  finder?.close();
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

function find(
  port: number,
  lasts: readonly number[],
  own: { credentials?: readonly SnmpCredential[]; timeoutMs?: number; retries?: number } = {},
): Promise<readonly (SnmpFound | undefined)[]> {
  const search = { credentials: [PUBLIC], timeoutMs: 400, retries: 0, ...own };
  const made = new SnmpFinder(search);
  finder = made;
  return Promise.all(lasts.map((last) => made.find(`127.32.3.${last}`, [port])));
}

const upTo = (count: number): number[] => Array.from({ length: count }, (_, index) => index + 1);

describe('looking for agents at many addresses', () => {
  test.each([PUBLIC, V1])('finds them among the silent, version $version', async (credential) => {
    const port = await agents({ 7: (r) => honest(host, r), 9: (r) => honest(host, r), 11: () => undefined });
    const found = await find(port, upTo(20), { credentials: [credential] });
    expect(upTo(20).filter((_, index) => found[index] !== undefined)).toEqual([7, 9]);
    expect(found[6]).toEqual({ port, credentials: [credential] });
  });

  test('uses one socket for all of them', async () => {
    const port = await agents({ 7: (r) => honest(host, r) });
    const bind = vi.spyOn(Socket.prototype, 'bind');
    await find(port, upTo(120), { timeoutMs: 100, credentials: [PUBLIC, V1] });
    expect(bind.mock.calls).toHaveLength(1);
  });

  test('asks again what got lost, all within the time for an answer', async () => {
    let tries = 0;
    const port = await agents({ 8: (request) => (++tries < 3 ? undefined : honest(host, request)) });
    const [found] = await find(port, [8], { retries: 2, timeoutMs: 900 });
    expect(found).toBeDefined();
    expect(tries).toBe(3);
  });

  test('a slow answer to the first question counts while later ones are out', async () => {
    let asked = 0;
    const port = await agents({
      8: (request, from, socket) => {
        asked += 1;
        const reply = honest(host, request);
        if (asked === 1 && reply) setTimeout(() => socket.send(reply, from.port, from.address), 500);
        return undefined;
      },
    });
    const [found] = await find(port, [8], { retries: 2, timeoutMs: 1200 });
    expect(found).toBeDefined();
  });

  test('a better credential whose question got lost is asked again before a lesser one counts', async () => {
    let lost = 0;
    const port = await agents({
      8: (request, from, socket) => {
        if (request.version === 1 && lost++ === 0) return undefined;
        const reply = honest(host, request);
        if (reply) setTimeout(() => socket.send(reply, from.port, from.address), 400);
        return undefined;
      },
    });
    const [found] = await find(port, [8], { credentials: [PUBLIC, V1], retries: 3, timeoutMs: 1200 });
    expect(found?.credentials).toEqual([PUBLIC, V1]);
    // What is still on its way is let out before the agent closes.
    await sleep(450);
  });

  test('tells every credential that was answered, in their order', async () => {
    const port = await agents({ 7: (r) => honest(host, r) });
    const other: SnmpCredential = { version: '2c', community: 'other', label: 'community 2' };
    const [found] = await find(port, [7], { credentials: [V1, PUBLIC, other] });
    expect(found?.credentials).toEqual([V1, PUBLIC]);
  });

  test('believes no reply from another address, no wrong id, no other version, no garbage', async () => {
    const other = createSocket('udp4');
    await new Promise<void>((resolve) => other.bind(0, '127.32.3.99', resolve));
    const port = await agents({
      5: () => Buffer.from('garbage'),
      6: (request) => {
        const reply = honest(host, request);
        reply?.writeUInt8(0, 4); // version 1 in answer to 2c
        return reply;
      },
      7: (request, from) => {
        other.send(response(request, { bindings: [] }), from.port, from.address);
        return undefined;
      },
    });
    const found = await find(port, [5, 6, 7]);
    other.close();
    expect(found).toEqual([undefined, undefined, undefined]);
  });

  test('IPv6 too', async () => {
    const six = await startAgent('::1', (request) => honest(host, request), 0, 0);
    open.push(six);
    finder = new SnmpFinder({ credentials: [PUBLIC], timeoutMs: 400, retries: 0 });
    expect(await finder.find('::1', [six.port])).toMatchObject({ port: six.port });
  });

  test('closing it tells whoever waits that nobody answered', async () => {
    const asking = find(9, upTo(50), { timeoutMs: 60_000 });
    finder?.close();
    expect(await asking).toEqual(Array(50).fill(undefined));
    expect(await finder?.find('127.32.3.1', [9])).toBeUndefined();
  });

  test('a credential that can’t be used asks nobody', async () => {
    const broken: SnmpCredential = { version: '3', user: 'x', level: 'authNoPriv', label: 'user x' };
    expect(questionWith(broken)).toBeNull();
    expect(await find(9, [1], { credentials: [broken], timeoutMs: 60_000 })).toEqual([undefined]);
  });
});

test.each<SnmpCredential>([PUBLIC, V1, { version: '3', user: 'reader', level: 'noAuthNoPriv', label: 'user reader' }])(
  'the question differs in its id alone, version $version',
  (credential) => {
    const question = questionWith(credential);
    const [a, b] = [0x1234_5678, 0x7fff_ffff].map((id) => question?.(id) ?? Buffer.alloc(0)) as [Buffer, Buffer];
    expect(readEnvelope(a)).toMatchObject({ version: credential.version, id: 0x1234_5678, damage: null });
    expect(readEnvelope(b)).toMatchObject({ id: 0x7fff_ffff, damage: null });
    expect([...a].filter((octet, at) => octet !== b[at]).length).toBeLessThanOrEqual(4);
  },
);

import { Buffer } from 'node:buffer';
import { createSocket } from 'node:dgram';
import { afterEach, describe, expect, test } from 'vitest';
import type { SnmpClient, SnmpCredential } from '../../src/net/net.js';
import { openSnmp } from '../../src/net/snmp-guard.js';
import { END_OF_MIB_VIEW, integer, NO_SUCH_OBJECT, octets, oid, sequence, tlv } from './ber.js';
import { type Agent, type Handler, type Request, response, startAgent } from './snmp-agent.js';
import { VALUES } from './snmp-check-values.js';

const ADDRESS = '127.32.1.1';
const DESCR = '1.3.6.1.2.1.1.1.0';
const NAME = '1.3.6.1.2.1.1.5.0';
const COMMUNITY: SnmpCredential = { version: '2c', community: 'public', label: 'community 1' };

const open: { close(): unknown }[] = [];
afterEach(async () => {
  for (const one of open.splice(0).reverse()) await one.close();
});

function client(
  port: number,
  given: Partial<{ credential: SnmpCredential; timeoutMs: number; retries: number }> = {},
): SnmpClient {
  const made = openSnmp({ address: ADDRESS, port, credential: COMMUNITY, timeoutMs: 300, retries: 0, ...given });
  open.push(made);
  return made;
}

async function agent(handler: Handler, address = ADDRESS): Promise<Agent> {
  const started = await startAgent(address, handler);
  open.push(started);
  return started;
}

async function asked(handler: Handler) {
  const { port } = await agent(handler);
  return client(port).get([DESCR]);
}

function descr(request: Request, text = 'A printer'): Buffer {
  return response(request, { bindings: [[DESCR, octets(text)]] });
}

describe('what is believed', () => {
  test('an honest reply', async () => {
    const reply = await asked((request) => descr(request));
    expect(reply).toEqual({
      outcome: 'answered',
      varbinds: [{ oid: DESCR, type: 'OctetString', value: Buffer.from('A printer') }],
      problems: [],
    });
  });

  test('each value of the check table', async () => {
    const names = VALUES.map((_, i) => `1.3.6.1.4.1.99999.${i}`);
    const { port } = await agent((request) =>
      response(request, { bindings: VALUES.map(({ hex }, i) => [names[i] ?? '', Buffer.from(hex, 'hex')] as const) }),
    );
    const reply = await client(port).get(names);
    expect(reply.varbinds).toEqual(VALUES.map(({ type, value }, i) => ({ oid: names[i], type, value })));
  });

  test('a reply from another address of the same machine is told and not believed', async () => {
    const other = createSocket('udp4');
    await new Promise<void>((resolve) => other.bind(0, '127.32.1.2', resolve));
    open.push({ close: () => new Promise<void>((resolve) => other.close(() => resolve())) });
    const { port } = await agent((request, from) => {
      other.send(descr(request, 'not me'), from.port, from.address);
      return undefined;
    });
    const reply = await client(port).get([DESCR]);
    expect(reply.outcome).toBe('silent');
    expect(reply.problems.join()).toContain('a reply came from 127.32.1.2 port');
  });

  test('a reply from another port of the agent is not believed either', async () => {
    const other = createSocket('udp4');
    await new Promise<void>((resolve) => other.bind(0, ADDRESS, resolve));
    open.push({ close: () => new Promise<void>((resolve) => other.close(() => resolve())) });
    const { port } = await agent((request, from) => {
      other.send(descr(request, 'not me'), from.port, from.address);
      return descr(request, 'me');
    });
    const reply = await client(port).get([DESCR]);
    expect(reply.varbinds[0]?.value).toEqual(Buffer.from('me'));
  });

  test('a stale request id is passed over and the right one still taken', async () => {
    const reply = await asked((request) => [response(request, { id: request.id + 1 }), descr(request)]);
    expect(reply.outcome).toBe('answered');
    expect(reply.problems).toEqual(['a reply that belongs to no open question (late, repeated or stale)']);
  });

  test('a repeated reply is told with the next one', async () => {
    const { port } = await agent((request) => [descr(request), descr(request)]);
    const session = client(port);
    await session.get([DESCR]);
    const second = await session.get([DESCR]);
    expect(second.outcome).toBe('answered');
    expect(second.problems).toEqual(['a reply that belongs to no open question (late, repeated or stale)']);
  });

  test('a reply in another version is passed over', async () => {
    const reply = await asked((request) => [response(request, { version: 0 }), descr(request)]);
    expect(reply.outcome).toBe('answered');
    expect(reply.problems).toEqual(['a version 1 message to a version 2c question']);
  });

  test('a reply with another community is not believed', async () => {
    const reply = await asked((request) =>
      response(request, { community: 'private', bindings: [[DESCR, octets('x')]] }),
    );
    expect(reply.outcome).toBe('garbled');
  });
});

describe('wrong and missing objects', () => {
  test('a value for an object that was not asked is left out', async () => {
    const reply = await asked((request) => response(request, { bindings: [[NAME, octets('x')]] }));
    expect(reply).toMatchObject({ outcome: 'garbled', error: 'other-objects', varbinds: [] });
  });

  test('fewer values than asked', async () => {
    const { port } = await agent((request) => descr(request));
    const reply = await client(port).get([DESCR, NAME]);
    expect(reply.outcome).toBe('answered');
    expect(reply.varbinds).toHaveLength(1);
    expect(reply.problems).toEqual(['fewer values came than objects were asked for']);
  });

  test('more values than a GETBULK allows, and none of its repeaters', async () => {
    const many = Array.from({ length: 9 }, (_, i) => [`1.3.6.1.2.1.2.2.1.1.${i + 1}`, integer(i)] as const);
    const { port } = await agent((request) => response(request, { bindings: many }));
    const session = client(port);
    const reply = await session.getBulk(['1.3.6.1.2.1.2.2.1.1'], 1, 4);
    expect(reply.varbinds).toHaveLength(1);
    expect(reply.problems).toEqual(['9 values where at most 1 were asked: cut']);
    expect((await session.getBulk(['1.3.6.1.2.1.2.2.1.1'], 0, 9)).varbinds).toHaveLength(9);
  });

  test('an exception is no value', async () => {
    const reply = await asked((request) => response(request, { bindings: [[DESCR, NO_SUCH_OBJECT]] }));
    expect(reply.varbinds[0]).toEqual({ oid: DESCR, type: 'NoSuchObject', value: null });
    const { port } = await agent((request) => response(request, { bindings: [[DESCR, END_OF_MIB_VIEW]] }));
    expect((await client(port).getNext([DESCR])).varbinds[0]?.type).toBe('EndOfMibView');
  });

  test('asking for nothing asks nothing', async () => {
    const { port, seen } = await agent((request) => descr(request));
    const session = client(port);
    for (const reply of [await session.get([]), await session.getNext([]), await session.getBulk([], 0, 5)])
      expect(reply).toEqual({ outcome: 'answered', varbinds: [], problems: [] });
    expect(seen).toHaveLength(0);
  });
});

describe('error statuses (RFC 3416 3)', () => {
  test.each([
    [1, 'tooBig', 'answered'],
    [2, 'noSuchName', 'answered'],
    [5, 'genErr', 'answered'],
    [6, 'noAccess', 'denied'],
    [16, 'authorizationError', 'denied'],
  ])('%i is %s', async (status, error, outcome) => {
    const reply = await asked((request) => response(request, { status, index: 1, bindings: [[DESCR, octets('')]] }));
    expect(reply).toMatchObject({ outcome, error, errorIndex: 1, varbinds: [] });
  });

  test('a number that nobody registered', async () => {
    const reply = await asked((request) => response(request, { status: 99 }));
    expect(reply).toMatchObject({ outcome: 'answered', error: 'error-status 99' });
    expect(reply.problems).toEqual(['error status 99, which no standard knows']);
  });
});

describe('broken replies', () => {
  test('garbage and an empty datagram do not end the program, and the reply behind them is taken', async () => {
    const reply = await asked((request) => [Buffer.alloc(0), Buffer.from('garbage'), descr(request)]);
    expect(reply.outcome).toBe('answered');
    expect(reply.problems).toEqual(['0 octets that are no SNMP message', '7 octets that are no SNMP message']);
  });

  test('nothing but garbage is garbled, not silent', async () => {
    expect((await asked(() => Buffer.from('garbage'))).outcome).toBe('garbled');
  });

  test('a cut reply is not taken as a short one', async () => {
    const names = [DESCR, NAME];
    const { port } = await agent((request) => {
      const whole = response(request, { bindings: names.map((name) => [name, octets('x')] as const) });
      return whole.subarray(0, whole.length - 15);
    });
    const reply = await client(port, { timeoutMs: 5000 }).get(names);
    expect(reply).toMatchObject({ outcome: 'garbled', error: 'undecodable', varbinds: [] });
    expect(reply.problems.join()).toMatch(/a damaged reply/);
  });

  test.each([
    ['a type that SNMP does not have', tlv(0x47, Buffer.from([1]))],
    ['an integer without octets', tlv(0x02, Buffer.alloc(0))],
    ['an integer beyond every range', tlv(0x02, Buffer.alloc(9, 0x7f))],
    ['an address of three octets', tlv(0x40, Buffer.from([1, 2, 3]))],
  ])('%s ends the question at once', async (_, value) => {
    const { port } = await agent((request) => response(request, { bindings: [[DESCR, value]] }));
    const reply = await client(port, { timeoutMs: 20_000 }).get([DESCR]);
    expect(reply).toMatchObject({ outcome: 'garbled', error: 'undecodable' });
  });

  test('an OID of no octets', async () => {
    const { port } = await agent((request) =>
      sequence(
        integer(1),
        octets('public'),
        tlv(
          0xa2,
          Buffer.concat([
            integer(request.id),
            integer(0),
            integer(0),
            sequence(sequence(tlv(6, Buffer.alloc(0)), integer(1))),
          ]),
        ),
      ),
    );
    expect((await client(port).get([DESCR])).outcome).toBe('garbled');
  });

  test('a request or a trap in place of a reply', async () => {
    for (const tag of [0xa0, 0xa7]) {
      const reply = await asked((request) => response(request, { tag, bindings: [[DESCR, octets('x')]] }));
      expect(reply.outcome).toBe('garbled');
    }
  });

  test('a report to a community question is none of its replies', async () => {
    const report = '1.3.6.1.6.3.15.1.1.3.0';
    const reply = await asked((request) => response(request, { tag: 0xa8, bindings: [[report, integer(1, 0x41)]] }));
    expect(reply).toMatchObject({ outcome: 'garbled', error: 'undecodable' });
    expect(reply.problems).toEqual(['a message that is no reply']);
  });

  test('a string as long as a datagram can hold', async () => {
    const reply = await asked((request) => descr(request, 'x'.repeat(60_000)));
    expect(reply.outcome).toBe('answered');
    expect(reply.varbinds[0]?.value).toHaveLength(60_000);
  });

  test('octets behind a reply are told, the reply is taken', async () => {
    const reply = await asked((request) => Buffer.concat([descr(request), Buffer.from('more')]));
    expect(reply.outcome).toBe('answered');
    expect(reply.problems).toEqual(['4 octets behind the message']);
  });

  test('an OID with large sub-identifiers comes through', async () => {
    const reply = await asked((request) => response(request, { bindings: [[DESCR, oid('1.3.6.1.4.1.4294967295.7')]] }));
    expect(reply.varbinds[0]?.value).toBe('1.3.6.1.4.1.4294967295.7');
  });
});

describe('what the system says', () => {
  test('a closed port is refused', async () => {
    const { port, close } = await startAgent(ADDRESS, () => undefined);
    await close();
    const session = client(port, { timeoutMs: 20_000 });
    expect(await session.get([DESCR])).toMatchObject({ outcome: 'refused', error: 'ECONNREFUSED' });
    expect(await session.get([DESCR])).toMatchObject({ outcome: 'refused', error: 'ECONNREFUSED' });
  });

  test('no answer is silent, after each try', async () => {
    const { port, seen } = await agent(() => undefined);
    const session = client(port, { timeoutMs: 60, retries: 2 });
    expect(await session.get([DESCR])).toEqual({ outcome: 'silent', varbinds: [], problems: [] });
    expect(seen).toHaveLength(3);
    expect(session.requests).toBe(3);
  });

  test('an address that the system will not send to has failed', async () => {
    const session = openSnmp({
      address: '255.255.255.255',
      port: 161,
      credential: COMMUNITY,
      timeoutMs: 20_000,
      retries: 0,
    });
    open.push(session);
    expect(await session.get([DESCR])).toMatchObject({ outcome: 'failed', error: 'EACCES' });
  });

  test('closing ends what is open, and what is asked afterwards', async () => {
    const { port } = await agent(() => undefined);
    const session = client(port, { timeoutMs: 20_000 });
    const waiting = session.get([DESCR]);
    await session.get([]);
    session.close();
    session.close();
    expect(await waiting).toMatchObject({ outcome: 'failed', error: 'closed' });
    expect(await session.get([DESCR])).toMatchObject({ outcome: 'failed', error: 'closed' });
  });

  test('IPv6', async () => {
    const started = await startAgent('::1', (request) => descr(request));
    open.push(started);
    const session = openSnmp({
      address: '::1',
      port: started.port,
      credential: COMMUNITY,
      timeoutMs: 2000,
      retries: 0,
    });
    open.push(session);
    expect((await session.get([DESCR])).outcome).toBe('answered');
  });
});

describe('credentials', () => {
  test('an empty community is refused here, since the library would send another', async () => {
    const reply = await client(1, { credential: { version: '2c', community: '', label: 'x' } }).get([DESCR]);
    expect(reply).toMatchObject({ outcome: 'failed', error: 'not-available', problems: ['the community is empty'] });
  });

  test('many questions at once find their own answers', async () => {
    const { port } = await agent((request) =>
      response(request, { bindings: request.oids.map((name) => [name, octets(name)]) }),
    );
    const session = client(port, { timeoutMs: 5000 });
    const names = Array.from({ length: 60 }, (_, i) => `1.3.6.1.2.1.1.${i}.0`);
    const replies = await Promise.all(names.map((name) => session.get([name])));
    expect(replies.map((reply) => String(reply.varbinds[0]?.value))).toEqual(names);
  });
});

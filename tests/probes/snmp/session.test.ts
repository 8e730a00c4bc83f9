import { createSocket } from 'node:dgram';
import { describe, expect, test } from 'vitest';
import type { SnmpClient, SnmpCredential } from '../../../src/net/net.js';
import { readEnvelope } from '../../../src/net/snmp-envelope.js';
import { snmpProbe } from '../../../src/probes/snmp/snmp-probe.js';
import { integer, octets, oid, sequence } from '../../net/ber.js';
import { type Handler, honest, response, startAgent, Tree } from '../../net/snmp-agent.js';
import { printerObjects } from '../../net/snmp-printer.js';
import { ENGINE, readV3, scoped, v3Message } from '../../net/snmp-v3-message.js';
import { net, PUBLIC, PUBLIC_1, readFrom, target } from './reading.js';

const ADDRESS = '127.32.5.1';
const printer = new Tree(printerObjects());

function community(name: string, label: string): SnmpCredential {
  return { version: '2c', community: name, label };
}
const FIRST = community('first', 'community 1');
const SECOND = community('second', 'community 2');

/** An agent that knows several communities. */
function knows(...names: readonly string[]): Handler {
  return (request) =>
    names.includes(request.community) ? honest(printer, request, { community: request.community }) : undefined;
}

describe('credentials', () => {
  test('the second one, where the first gives silence', async () => {
    const reading = await readFrom(ADDRESS, knows('second'), { credentials: [FIRST, SECOND], timeoutMs: 2000 });
    expect(reading.session).toMatchObject({ version: '2c', label: 'community 2' });
    expect(reading.session.attempts).toContainEqual({ version: '2c', label: 'community 2', outcome: 'answered' });
  });

  // On a busy machine the answer may come after the second one's turn.
  test('the first one, where both would do, and the second is not even tried', { retry: 4 }, async () => {
    const communities = new Set<string>();
    const both = knows('first', 'second');
    const handler: Handler = (request, from, socket) => {
      communities.add(request.community);
      return both(request, from, socket);
    };
    const reading = await readFrom(ADDRESS, handler, { credentials: [FIRST, SECOND], timeoutMs: 5000 });
    expect(reading.session.label).toBe('community 1');
    expect([...communities]).toEqual(['first']);
  });

  test('the first one, where it is a little slower', async () => {
    const both = knows('first', 'second');
    let held: (() => void) | undefined;
    const handler: Handler = (request, from, socket) => {
      if (request.community === 'first' && held === undefined) {
        const reply = honest(printer, request, { community: 'first' });
        held = () => {
          if (reply) socket.send(reply, from.port, from.address);
        };
        return undefined;
      }
      if (request.community === 'second') setImmediate(() => held?.());
      return both(request, from, socket);
    };
    const reading = await readFrom(ADDRESS, handler, { credentials: [FIRST, SECOND], timeoutMs: 5000 });
    expect(reading.session.label).toBe('community 1');
  });

  test('the one that worked before is tried first the next time, and the others still when it fails', async () => {
    const asked: string[] = [];
    let known = 'second';
    const agent = await startAgent(ADDRESS, (request, from, socket) => {
      if (request.version === 1) asked.push(request.community);
      return knows(known)(request, from, socket);
    });
    const limits = { timeoutMs: 500, retries: 0, deadlineMs: 5_000, credentials: [FIRST, SECOND], worked: new Map() };
    const read = async () => {
      asked.length = 0;
      const [record] = await snmpProbe.run(target(ADDRESS, agent.port), net, limits);
      return [record?.outcome, asked[0], new Set(asked).size];
    };
    expect(await read()).toEqual(['answered', 'first', 2]);
    expect(await read()).toEqual(['answered', 'second', 1]);
    known = 'first';
    expect(await read()).toEqual(['answered', 'second', 2]);
    expect(await read()).toEqual(['answered', 'first', 1]);
    await agent.close();
  });

  test('version 1 behind version 2c on an old agent', async () => {
    const handler: Handler = (request) => honest(printer, request, { versions: [0] });
    const reading = await readFrom(ADDRESS, handler, { credentials: [PUBLIC, PUBLIC_1], timeoutMs: 2000 });
    expect(reading.session).toMatchObject({ version: '1', label: 'community 1' });
    expect(Object.keys(reading.table('prtMarkerSuppliesTable').rows)).toHaveLength(7);
  });

  test('silence is one record that claims nothing', async () => {
    const { records } = await readFrom(ADDRESS, () => undefined, {
      credentials: [FIRST, SECOND],
      timeoutMs: 100,
      retries: 1,
    });
    expect(records).toHaveLength(1);
    expect(records[0]).toMatchObject({
      source: 'snmp',
      what: 'session',
      about: 'target',
      subject: ADDRESS,
      outcome: 'silent',
      value: {
        kind: 'session',
        version: null,
        label: null,
        requests: 6,
        attempts: [
          { version: '2c', label: 'community 1', outcome: 'silent' },
          { version: '2c', label: 'community 2', outcome: 'silent' },
        ],
      },
    });
  });

  test('an agent that tells its engine and nothing more to strangers: denied, by nobody’s question alone', async () => {
    const agent = await startAgent(ADDRESS, {
      raw: (bytes) => {
        const asked = readEnvelope(bytes);
        if (asked?.version !== '3' || asked.engineId !== '') return undefined;
        const request = readV3(bytes);
        // RFC 3414 3.2 and 5: usmStatsUnknownEngineIDs.
        const binding = sequence(oid('1.3.6.1.6.3.15.1.1.4.0'), integer(1, 0x41));
        const body = scoped(0xa8, request.requestId ?? 0, [binding]);
        return v3Message({ msgId: request.msgId, flags: 0, engineId: ENGINE, body });
      },
    });
    const limits = { timeoutMs: 200, retries: 0, deadlineMs: 5_000, credentials: [FIRST] };
    const [record] = await snmpProbe.run(target(ADDRESS, agent.port), net, limits);
    await agent.close();
    expect(record).toMatchObject({
      outcome: 'denied',
      value: {
        attempts: [
          { label: 'community 1', outcome: 'silent' },
          { version: '3', label: 'without a name', outcome: 'denied', detail: 'no-answer-after-discovery' },
        ],
      },
    });
  });

  test('nobody’s question is spared where a credential is answered, refused or of version 3', async () => {
    const versions: number[] = [];
    const watching: Handler = (request, from, socket) => {
      versions.push(request.version);
      return knows('first')(request, from, socket);
    };
    await readFrom(ADDRESS, watching, { credentials: [FIRST], timeoutMs: 2000 });
    const denying: Handler = (request) => {
      versions.push(request.version);
      return response(request, { status: 16, index: 1 });
    };
    await readFrom(ADDRESS, denying, { credentials: [FIRST], timeoutMs: 150 });
    expect(new Set(versions)).toEqual(new Set([1]));
  });

  test('a closed port is refused', async () => {
    const agent = await startAgent(ADDRESS, () => undefined);
    await agent.close();
    const limits = { timeoutMs: 20_000, retries: 1, deadlineMs: 60_000, credentials: [FIRST, SECOND] };
    const [record] = await snmpProbe.run(target(ADDRESS, agent.port), net, limits);
    expect(record).toMatchObject({ what: 'session', outcome: 'refused' });
  });

  test('a denial says more than silence', async () => {
    const handler: Handler = (request) =>
      request.community === 'second' ? response(request, { status: 16, index: 1 }) : undefined;
    const { sessionRecord, session } = await readFrom(ADDRESS, handler, {
      credentials: [FIRST, SECOND],
      timeoutMs: 150,
    });
    expect(sessionRecord.outcome).toBe('denied');
    expect(session.attempts[1]).toMatchObject({ outcome: 'denied', detail: 'authorizationError' });
  });

  test('a credential that can not be used here is told, and the next one is used', async () => {
    const broken: SnmpCredential = {
      version: '3',
      user: 'reader',
      level: 'authNoPriv',
      authProtocol: 'SHA-3',
      authKey: 'secret key',
      label: 'user reader',
    };
    const { session, records } = await readFrom(ADDRESS, knows('second'), { credentials: [broken, SECOND] });
    expect(session.label).toBe('community 2');
    expect(session.attempts[0]).toMatchObject({ outcome: 'failed', detail: 'not-available' });
    expect(session.problems).toEqual(['authentication protocol SHA-3 is not known']);
    expect(JSON.stringify(records)).not.toContain('secret key');
  });

  test('no credentials, no question', async () => {
    const limits = { timeoutMs: 100, retries: 0, deadlineMs: 1000, credentials: [] };
    expect(await snmpProbe.run(target(ADDRESS, 9), net, limits)).toEqual([]);
  });

  test('a deadline before any answer', async () => {
    const { records, session } = await readFrom(ADDRESS, () => undefined, {
      credentials: [FIRST, SECOND],
      timeoutMs: 60_000,
      deadlineMs: 250,
    });
    expect(records).toHaveLength(1);
    expect(records[0]).toMatchObject({ what: 'session', outcome: 'silent', value: { version: null } });
    expect(session.attempts.map(({ outcome }) => outcome)).toEqual(['silent', 'silent']);
  });

  test('nothing but garbage, until the deadline', async () => {
    const { sessionRecord, session } = await readFrom(ADDRESS, () => Buffer.from('no SNMP at all'), {
      credentials: [FIRST, SECOND],
      timeoutMs: 2000,
      deadlineMs: 3500,
    });
    expect(sessionRecord.outcome).toBe('garbled');
    expect(session.attempts.map(({ outcome }) => outcome)).toEqual(['garbled', 'garbled']);
  });

  test('a printer that answers from its other address', async () => {
    const other = createSocket('udp4');
    await new Promise<void>((resolve) => other.bind(0, '127.32.5.2', resolve));
    const handler: Handler = (request, from) => {
      const reply = honest(printer, request);
      if (reply) other.send(reply, from.port, from.address);
      return undefined;
    };
    const { sessionRecord, session } = await readFrom(ADDRESS, handler, { timeoutMs: 200 });
    other.close();
    expect(sessionRecord.outcome).toBe('silent');
    expect(session.problems.join()).toContain('a reply came from 127.32.5.2 port');
  });
});

describe('scalars', () => {
  test('an agent that answers a GET one value at a time', async () => {
    const handler: Handler = (request) => honest(printer, request, request.kind === 'get' ? { maxValues: 1 } : {});
    const reading = await readFrom(ADDRESS, handler);
    expect(Object.keys(reading.table('system').rows['0'] ?? {})).toHaveLength(7);
  });

  test('an agent that finds a GET too big', async () => {
    const handler: Handler = (request) =>
      request.kind === 'get' && request.oids.length > 2 ? response(request, { status: 1 }) : honest(printer, request);
    const reading = await readFrom(ADDRESS, handler);
    expect(Object.keys(reading.table('system').rows['0'] ?? {})).toHaveLength(7);
    expect(Object.keys(reading.table('hrSystem').rows['0'] ?? {})).toHaveLength(3);
  });

  test('an agent that answers version 2c with the errors of version 1', async () => {
    const handler: Handler = (request) => {
      const missing = request.kind === 'get' ? request.oids.findIndex((oid) => printer.get(oid)[1].length === 2) : -1;
      return missing < 0 ? honest(printer, request) : response(request, { status: 2, index: missing + 1 });
    };
    const reading = await readFrom(ADDRESS, handler);
    expect(Object.keys(reading.table('system').rows['0'] ?? {})).toHaveLength(7);
    expect(reading.session.problems).toEqual([]);
  });

  test('an object with an error of its own', async () => {
    const handler: Handler = (request) => {
      const at = request.oids.indexOf('1.3.6.1.2.1.1.4.0');
      return at < 0 ? honest(printer, request) : response(request, { status: 5, index: at + 1 });
    };
    const reading = await readFrom(ADDRESS, handler);
    expect(Object.keys(reading.table('system').rows['0'] ?? {})).toHaveLength(6);
    expect(reading.session.problems).toEqual(['sysContact: answered genErr']);
  });

  test('an agent whose every answer is for something else', async () => {
    const handler: Handler = (request) => response(request, { bindings: [['1.3.6.1.4.1.99999.1', octets('x')]] });
    const { sessionRecord } = await readFrom(ADDRESS, handler);
    expect(sessionRecord.outcome).toBe('garbled');
  });
});

test('a session is closed even when the reading breaks', async () => {
  let closed = 0;
  const client: SnmpClient = {
    version: '2c',
    requests: 0,
    get: async (oids) => {
      const varbinds = oids.map((name) => ({ oid: name, type: 'Integer', value: 1 }));
      return { outcome: 'answered', varbinds, problems: [] };
    },
    getNext: () => Promise.reject(new Error('broken')),
    getBulk: () => Promise.reject(new Error('broken')),
    close: () => {
      closed += 1;
    },
  };
  const limits = { timeoutMs: 500, retries: 0, deadlineMs: 5_000, credentials: [PUBLIC] };
  await expect(snmpProbe.run(target(ADDRESS, 161), { ...net, snmp: () => client }, limits)).rejects.toThrow('broken');
  expect(closed).toBe(1);
});

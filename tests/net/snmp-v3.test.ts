import { Buffer } from 'node:buffer';
import { afterEach, describe, expect, test } from 'vitest';
import type { SnmpCredential } from '../../src/net/net.js';
import { openSnmp } from '../../src/net/snmp-guard.js';
import { localizedKey, type V3Credential, v3User } from '../../src/net/snmp-v3.js';
import { integer, octets, oid, sequence } from './ber.js';
import { type Agent, startAgent } from './snmp-agent.js';
import { ENGINE_ID, LOCALIZED_KEYS, PASSWORD } from './snmp-check-values.js';
import { ENGINE, readV3, scoped, v3Message } from './snmp-v3-message.js';

const ADDRESS = '127.32.1.3';
const DESCR = '1.3.6.1.2.1.1.1.0';

const USER: V3Credential = {
  version: '3',
  user: 'reader',
  level: 'authPriv',
  authProtocol: 'SHA-256',
  authKey: 'a key for tests',
  privProtocol: 'AES-128',
  privKey: 'another for tests',
  label: 'user reader',
};
const PLAIN: V3Credential = { version: '3', user: 'reader', level: 'noAuthNoPriv', label: 'user reader' };

describe('keys', () => {
  test.each(LOCALIZED_KEYS)('$protocol ($source)', ({ protocol, key }) => {
    expect(localizedKey(protocol, PASSWORD, ENGINE_ID).toString('hex')).toBe(key);
  });

  test('a protocol that nobody knows', () => {
    expect(() => localizedKey('SHA-3', PASSWORD, ENGINE_ID)).toThrow(RangeError);
  });
});

describe('the user for a credential', () => {
  test.each(['SHA-256', 'sha256', 'SHA256', 'sha_256'])('%s is understood', (authProtocol) => {
    expect(v3User({ ...USER, authProtocol })).toEqual(v3User(USER));
  });

  test.each(['DES', 'AES', 'AES-128', 'aes128', 'AES-192', 'AES-192-C', 'AES-256', 'AES-256-C'])(
    '%s',
    (privProtocol) => {
      expect(v3User({ ...USER, privProtocol })).toHaveProperty('user');
    },
  );

  const offered = { hashes: ['sha256'], ciphers: ['aes-128-cfb'] };
  test.each<[Partial<V3Credential>, string]>([
    [{ privProtocol: 'DES' }, 'privacy protocol DES is not available here'],
    [{ authProtocol: 'MD5' }, 'authentication protocol MD5 is not available here'],
    [{ authProtocol: 'SHA-3' }, 'authentication protocol SHA-3 is not known'],
    [{ privProtocol: 'ROT13' }, 'privacy protocol ROT13 is not known'],
    [{ authKey: '' }, 'level authPriv needs an authentication key'],
    [{ privKey: '' }, 'level authPriv needs a privacy key'],
  ])('%o: %s', (change, problem) => {
    expect(v3User({ ...USER, ...change }, offered)).toEqual({ problem });
  });

  test('a client for a user that can not be says so with each answer and sends nothing', async () => {
    const credential = { ...USER, privProtocol: 'ROT13' };
    const client = openSnmp({ address: ADDRESS, port: 1, credential, timeoutMs: 100, retries: 0 });
    expect(await client.get([DESCR])).toEqual({
      outcome: 'failed',
      varbinds: [],
      error: 'not-available',
      problems: ['privacy protocol ROT13 is not known'],
    });
    expect(client.requests).toBe(0);
    client.close();
  });
});

const open: { close(): unknown }[] = [];
afterEach(async () => {
  for (const one of open.splice(0).reverse()) await one.close();
});

type Respond = (request: ReturnType<typeof readV3>, count: number) => Buffer | undefined;

/** Asks once an agent that answers discovery as it should and everything else as `respond` says. */
async function ask(credential: SnmpCredential, respond: Respond, timeoutMs = 300) {
  let count = 0;
  const agent: Agent = await startAgent(ADDRESS, {
    raw: (bytes) => {
      const request = readV3(bytes);
      count++;
      return count === 1 ? report(request, 4) : respond(request, count);
    },
  });
  open.push(agent);
  const client = openSnmp({ address: ADDRESS, port: agent.port, credential, timeoutMs, retries: 0 });
  open.push(client);
  return { reply: await client.get([DESCR]), agent };
}

/** A report of one of the usmStats counters (RFC 3414 5). */
function report(request: ReturnType<typeof readV3>, counter: number, time = 100, boots = 1): Buffer {
  const binding = sequence(oid(`1.3.6.1.6.3.15.1.1.${counter}.0`), integer(1, 0x41));
  const body = scoped(0xa8, request.requestId ?? 0, [binding]);
  return v3Message({ msgId: request.msgId, flags: 0, engineId: ENGINE, boots, time, body });
}

function plainReply(request: ReturnType<typeof readV3>, flags = 0, engineId = ENGINE): Buffer {
  const body = scoped(0xa2, request.requestId ?? 1, [sequence(oid(DESCR), octets('forged'))]);
  const mac = flags & 1 ? Buffer.alloc(24, 7) : Buffer.alloc(0);
  return v3Message({ msgId: request.msgId, flags, engineId, user: 'reader', mac, body });
}

describe('replies below the level asked for', () => {
  test('a plaintext reply to an encrypted question is not believed', async () => {
    const { reply } = await ask(USER, (request) => plainReply(request));
    expect(reply).toMatchObject({ outcome: 'silent', varbinds: [] });
    expect(reply.problems).toEqual(['a reply at level noAuthNoPriv to a question at level authPriv: not believed']);
  });

  test('an authenticated but readable reply to an encrypted question', async () => {
    const { reply } = await ask(USER, (request) => plainReply(request, 1));
    expect(reply.problems).toEqual(['a reply at level authNoPriv to a question at level authPriv: not believed']);
    expect(reply.varbinds).toEqual([]);
  });

  test('a reply with a wrong digest is not believed', async () => {
    const { reply } = await ask({ ...USER, level: 'authNoPriv' }, (request) => plainReply(request, 1));
    expect(reply).toMatchObject({ outcome: 'garbled', varbinds: [] });
  });

  test('a level that was not asked for, which the library has no key for', async () => {
    const { reply } = await ask(PLAIN, (request) => plainReply(request, 1));
    expect(reply).toMatchObject({ outcome: 'silent', varbinds: [] });
  });

  test('a reply in the name of another engine', async () => {
    const { reply } = await ask(PLAIN, (request) => plainReply(request, 0, Buffer.from('80000000ff', 'hex')));
    expect(reply.problems).toEqual(['a reply in the name of another engine: not believed']);
  });

  test('an honest reply without protection, where none was asked', async () => {
    const { reply } = await ask(PLAIN, (request) => plainReply(request));
    expect(reply).toMatchObject({ outcome: 'answered', varbinds: [{ oid: DESCR }] });
  });

  test('a reply that carries another request id inside', async () => {
    const { reply } = await ask(PLAIN, (request) =>
      plainReply({ ...request, requestId: (request.requestId ?? 0) + 1 }),
    );
    expect(reply).toMatchObject({ outcome: 'garbled', varbinds: [] });
  });
});

describe('reports', () => {
  test.each([
    [1, 'usmStatsUnsupportedSecLevels'],
    [2, 'usmStatsNotInTimeWindows'],
    [3, 'usmStatsUnknownUserNames'],
    [4, 'usmStatsUnknownEngineIDs'],
    [5, 'usmStatsWrongDigests'],
    [6, 'usmStatsDecryptionErrors'],
    [9, 'report 1.3.6.1.6.3.15.1.1.9.0'],
  ])('counter %i is %s', async (counter, error) => {
    const { reply } = await ask(USER, (request) => report(request, counter));
    expect(reply).toMatchObject({ outcome: 'denied', error });
  });

  test('an agent that reports for ever, with a clock at zero, is not asked for ever', async () => {
    const { reply, agent } = await ask(USER, (request) => report(request, 2, 0, 0));
    expect(reply).toMatchObject({ outcome: 'denied', error: 'usmStatsNotInTimeWindows' });
    expect(agent.seen.length).toBeLessThan(20);
  });
});

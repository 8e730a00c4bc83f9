import { Buffer } from 'node:buffer';
import { describe, expect, test } from 'vitest';
import { OUTCOMES } from '../../src/model/evidence.js';
import type { SnmpClient, SnmpCredential, SnmpReply } from '../../src/net/net.js';
import { readEnvelope } from '../../src/net/snmp-envelope.js';
import { openSnmpOver } from '../../src/net/snmp-guard.js';
import type { SnmpChannel, SnmpChannelEvents } from '../../src/net/snmp-socket.js';
import { integer, octets, oid, sequence } from './ber.js';
import { honest, readRequest, Tree } from './snmp-agent.js';
import { printerObjects } from './snmp-printer.js';
import { ENGINE, readV3, scoped, v3Message } from './snmp-v3-message.js';

/** `FUZZ_COUNT=250000 FUZZ_SEED=7 npx vitest run tests/net/snmp-fuzz.test.ts` for a longer run. */
const COUNT = Number(process.env.FUZZ_COUNT ?? 6000);
const SEED = Number(process.env.FUZZ_SEED ?? 20_260_131);

/** Numbers from a seed: a 32-bit xorshift, so that a failing run can be repeated. */
function numbers(seed: number): (below: number) => number {
  let state = seed | 1;
  return (below) => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) % below;
  };
}

type Draw = ReturnType<typeof numbers>;

const EDGES = [0x00, 0x7f, 0x80, 0x81, 0x82, 0x84, 0xff, 0x02, 0x04, 0x06, 0x30, 0xa2, 0xa8];

/** Changes, cuts, repeats and inserts octets. */
function mutate(bytes: Buffer, draw: Draw): Buffer {
  let out = Buffer.from(bytes);
  for (let i = draw(4); i >= 0; i--) {
    const at = draw(Math.max(1, out.length));
    const kind = draw(6);
    if (kind === 0) out = out.subarray(0, at);
    else if (kind === 1) out = Buffer.concat([out.subarray(0, at), Buffer.from([draw(256)]), out.subarray(at)]);
    else if (kind === 2) out = Buffer.concat([out.subarray(0, at), out.subarray(at + draw(8))]);
    else if (kind === 3) out = Buffer.concat([out, out.subarray(at)]);
    else if (out.length > 0) out[at] = kind === 4 ? draw(256) : (EDGES[draw(EDGES.length)] ?? 0);
  }
  return out;
}

/** A channel whose agent sends a mutated reply and then the honest one. */
function channel(answer: (bytes: Buffer) => Buffer | undefined, draw: Draw): SnmpChannel {
  let events: SnmpChannelEvents | undefined;
  return {
    send: (bytes, done) => {
      done(null);
      const reply = answer(bytes);
      queueMicrotask(() => {
        if (reply === undefined) return;
        events?.datagram(mutate(reply, draw));
        events?.datagram(reply);
      });
    },
    listen: (given) => {
      events = given;
    },
    ref: () => undefined,
    unref: () => undefined,
    close: () => undefined,
  };
}

const tree = new Tree(printerObjects());
const ASKED = ['1.3.6.1.2.1.1.1.0', '1.3.6.1.2.1.1.2.0', '1.3.6.1.2.1.1.3.0', '1.3.6.1.2.1.43.5.1.1.17.1'];

function version3(bytes: Buffer): Buffer {
  const request = readV3(bytes);
  const discovery = (request.flags & 4) !== 0 && readEnvelope(bytes)?.engineId === '';
  const binding = discovery
    ? sequence(oid('1.3.6.1.6.3.15.1.1.4.0'), integer(1, 0x41))
    : sequence(oid(ASKED[0] ?? ''), octets('A printer'));
  const body = scoped(discovery ? 0xa8 : 0xa2, request.requestId ?? 0, [binding]);
  return v3Message({ msgId: request.msgId, flags: 0, engineId: ENGINE, user: discovery ? '' : 'reader', body });
}

function session(credential: SnmpCredential, draw: Draw): SnmpClient {
  const community = (bytes: Buffer) => honest(tree, readRequest(bytes));
  const made = channel(credential.version === '3' ? version3 : community, draw);
  return openSnmpOver({ address: '192.0.2.1', port: 161, credential, timeoutMs: 8, retries: 0 }, () => made);
}

function isSound(reply: SnmpReply): boolean {
  return OUTCOMES.includes(reply.outcome) && reply.problems.length < 40 && reply.varbinds.length <= 40;
}

describe(`${COUNT} mutated replies from seed ${SEED}`, () => {
  test.each<SnmpCredential>([
    { version: '1', community: 'public', label: 'community 1' },
    { version: '2c', community: 'public', label: 'community 1' },
    { version: '3', user: 'reader', level: 'noAuthNoPriv', label: 'user reader' },
    {
      version: '3',
      user: 'reader',
      level: 'authNoPriv',
      authProtocol: 'SHA-1',
      authKey: 'a key for tests',
      label: 'user reader',
    },
  ])('version $version: every question ends, nothing is thrown', async (credential) => {
    const draw = numbers(SEED);
    // Each session of authNoPriv localises a key, a hash over a mebibyte, and waits for its time-out.
    const share = 'level' in credential && credential.level === 'authNoPriv' ? 60 : 3;
    for (let i = 0; i < COUNT / share; i++) {
      const client = session(credential, draw);
      const reply = await (i % 3 === 0
        ? client.get(ASKED)
        : i % 3 === 1
          ? client.getNext(ASKED)
          : client.getBulk(ASKED, 1, 12));
      client.close();
      if (!isSound(reply)) expect({ seed: SEED, turn: i, reply }).toBe('sound');
    }
  });

  test('the outside of a message never throws', () => {
    const draw = numbers(SEED);
    const seed = honest(
      tree,
      readRequest(
        Buffer.from('302602010104067075626c6963a019020101020100020100300e300c06082b060102010101000500', 'hex'),
      ),
    );
    for (let i = 0; i < COUNT * 5; i++) readEnvelope(mutate(seed ?? Buffer.alloc(0), draw));
  });
});

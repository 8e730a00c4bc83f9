import type { Buffer } from 'node:buffer';
import { OUTCOMES } from '../../src/model/evidence.js';
import type { Net, SnmpCredential, SnmpReply } from '../../src/net/net.js';
import { readEnvelope } from '../../src/net/snmp-envelope.js';
import { openSnmpOver } from '../../src/net/snmp-guard.js';
import type { SnmpChannel, SnmpChannelEvents } from '../../src/net/snmp-socket.js';
import { FINISHER_OBJECTS } from '../../src/probes/snmp/finisher.js';
import { snmpProbe } from '../../src/probes/snmp/snmp-probe.js';
import { integer, octets, oid, sequence } from '../net/ber.js';
import { honest, readRequest, Tree } from '../net/snmp-agent.js';
import { printerObjects } from '../net/snmp-printer.js';
import { ENGINE, readV3, scoped, v3Message } from '../net/snmp-v3-message.js';
import { mutate } from './mutate.js';
import { ADDRESS, type Case, type FuzzTarget, mustBeSound } from './target.js';

/** RFC 3806 section 8: a stapler and a puncher, with their supplies. */
const FINISHERS = Object.values(FINISHER_OBJECTS).flatMap(({ oid: column, syntax }) =>
  [1, 2].map((row) => [
    `${column}.1.${row}`,
    /Integer32|TC$|OnOff/.test(syntax) ? integer(row) : octets(`Value ${row}`),
  ]),
);
const PRINTER = new Tree({ ...printerObjects(), ...Object.fromEntries(FINISHERS) });
const ASKED = ['1.3.6.1.2.1.1.1.0', '1.3.6.1.2.1.1.2.0', '1.3.6.1.2.1.1.3.0', '1.3.6.1.2.1.43.5.1.1.17.1'];
const CREDENTIALS: readonly SnmpCredential[] = [
  { version: '1', community: 'public', label: 'community 1' },
  { version: '2c', community: 'public', label: 'community 1' },
  { version: '3', user: 'reader', level: 'noAuthNoPriv', label: 'user reader' },
];
/** One case in this many reads a whole printer; the others ask one question. */
const WHOLE = 40;

function version3(bytes: Buffer): Buffer {
  const request = readV3(bytes);
  const discovery = (request.flags & 4) !== 0 && readEnvelope(bytes)?.engineId === '';
  const binding = discovery
    ? sequence(oid('1.3.6.1.6.3.15.1.1.4.0'), integer(1, 0x41))
    : sequence(oid(ASKED[0] ?? ''), octets('A printer'));
  const body = scoped(discovery ? 0xa8 : 0xa2, request.requestId ?? 0, [binding]);
  return v3Message({ msgId: request.msgId, flags: 0, engineId: ENGINE, user: discovery ? '' : 'reader', body });
}

/** A channel whose agent sends a mutated reply and then the honest one, so that no question waits for its time-out. */
export function channel(version: string, { draw, served }: Case, from: number, tree = PRINTER): SnmpChannel {
  let events: SnmpChannelEvents | undefined;
  return {
    send: (bytes, done) => {
      done(null);
      const reply = version === '3' ? version3(bytes) : honest(tree, readRequest(bytes));
      queueMicrotask(() => {
        if (reply === undefined) return;
        if (served.length < from || draw(4) === 0) {
          const spoilt = mutate(reply, draw);
          served.push(spoilt);
          events?.datagram(spoilt);
        }
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

function mustBeReply(reply: SnmpReply): void {
  const sound = OUTCOMES.includes(reply.outcome) && reply.problems.length < 40 && reply.varbinds.length <= 40;
  if (!sound) throw new Error(`unsound reply ${JSON.stringify(reply).slice(0, 500)}`);
}

async function oneQuestion(one: Case): Promise<void> {
  const credential = CREDENTIALS[one.draw(CREDENTIALS.length)] ?? CREDENTIALS[0];
  if (credential === undefined) return;
  const made = channel(credential.version, one, 4);
  const options = { address: ADDRESS, port: 161, credential, timeoutMs: 8, retries: 0 };
  const client = openSnmpOver(options, () => made);
  const kind = one.draw(3);
  const asked = kind === 0 ? client.get(ASKED) : kind === 1 ? client.getNext(ASKED) : client.getBulk(ASKED, 1, 12);
  mustBeReply(await asked);
  client.close();
}

async function wholeReading(one: Case): Promise<void> {
  const net = {
    now: () => new Date(),
    monotonic: () => performance.now(),
    snmp: (options) => openSnmpOver({ ...options, timeoutMs: 8 }, () => channel(options.credential.version, one, 12)),
  } as Partial<Net> as Net;
  const target = { label: 'printer', host: ADDRESS, snmpPort: 161, printPorts: [], queues: [] };
  const credentials = CREDENTIALS.slice(1, 2);
  mustBeSound(await snmpProbe.run(target, net, { timeoutMs: 8, retries: 0, deadlineMs: 2000, credentials }));
}

export const snmpTarget: FuzzTarget = {
  name: 'snmp',
  share: 0.2,
  run: (one) => (one.draw(WHOLE) === 0 ? wholeReading(one) : oneQuestion(one)),
};

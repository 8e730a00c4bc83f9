import { createSocket, type Socket } from 'node:dgram';
import { isIPv4 } from 'node:net';
import { setTimeout as sleep } from 'node:timers/promises';
import multicastDns from 'multicast-dns';
import type { ServiceInstance } from '../model/evidence.js';
import { encodeQuery } from './dns-sd/question.js';
import { type HeardRecord, HeardRecords, type Question } from './dns-sd/records.js';
import { ownSubnets } from './subnets.js';

/** RFC 6762 section 3. */
const GROUP = '224.0.0.251';
const PORT = 5353;

/** What is missing is asked for this often; the same question at most three times. */
const ROUND_MS = 150;
const MOST_ASKED = 3;
/** A browse question is repeated a second after the first (RFC 6762 5.2). */
const AGAIN_MS = 1000;

/**
 * Listens for service instances of these types (`_ipp._tcp` …) for `listenMs` on every interface, and asks for what an
 * announcement left out. A machine without multicast, or with the port taken, hears nothing: that is no error.
 */
export async function browse(types: readonly string[], listenMs: number): Promise<readonly ServiceInstance[]> {
  const browseQuestions = types.map((type): Question => ({ name: `${type}.local`, type: 'PTR' }));
  const heard = await converse(
    browseQuestions,
    listenMs,
    (records, now) => records.missing(types, now),
    () => false,
  );
  return heard.instances(types, performance.now());
}

/** The addresses of a `.local` name by multicast DNS, as soon as one is heard, at most `timeoutMs` later. */
export async function resolveLocal(name: string, timeoutMs: number): Promise<readonly string[]> {
  const questions: readonly Question[] = [
    { name, type: 'A' },
    { name, type: 'AAAA' },
  ];
  const known = (records: HeardRecords, now: number): boolean => records.addresses(name, now).length > 0;
  const heard = await converse(questions, timeoutMs, () => [], known);
  const addresses = heard.addresses(name, performance.now());
  // Without its zone a link-local address leads nowhere.
  return addresses.filter((address) => !/^fe[89ab]/i.test(address));
}

type Follow = (records: HeardRecords, now: number) => readonly Question[];

async function converse(
  questions: readonly Question[],
  listenMs: number,
  follow: Follow,
  done: (records: HeardRecords, now: number) => boolean,
): Promise<HeardRecords> {
  const records = new HeardRecords();
  const ears = openEars((answers) => records.hear(answers, performance.now()));
  if (ears.length === 0) return records;
  const start = performance.now();
  const asked = new Map<string, number>();
  let browsedAt = Number.NEGATIVE_INFINITY;
  try {
    for (let now = start; now - start < listenMs && !done(records, now); now = performance.now()) {
      if (now - browsedAt >= AGAIN_MS) {
        for (const ear of ears) ear.ask(questions);
        browsedAt = now;
      }
      const open = follow(records, now).filter((question) => countUp(asked, question) <= MOST_ASKED);
      for (let first = 0; first < open.length; first += 12) {
        for (const ear of ears) ear.ask(open.slice(first, first + 12));
      }
      await sleep(Math.max(1, Math.min(ROUND_MS, listenMs - (now - start))));
    }
  } finally {
    for (const ear of ears) ear.close();
  }
  return records;
}

function countUp(counts: Map<string, number>, question: Question): number {
  const key = `${question.type} ${question.name}`;
  const count = (counts.get(key) ?? 0) + 1;
  counts.set(key, count);
  return count;
}

interface Ear {
  readonly ask: (questions: readonly Question[]) => void;
  readonly close: () => void;
}

function openEars(onAnswers: (answers: readonly HeardRecord[]) => void): readonly Ear[] {
  const own = ownSubnets()
    .map((subnet) => subnet.address)
    .filter((address) => isIPv4(address));
  return own.map((address) => openEar(address, onAnswers));
}

/** One socket for one interface: bound to every address of the port, sending by that interface only. */
function openEar(address: string, onAnswers: (answers: readonly HeardRecord[]) => void): Ear {
  const socket = createSocket({ type: 'udp4', reuseAddr: true });
  const waiting: Buffer[] = [];
  let state: 'opening' | 'open' | 'closed' = 'opening';
  const mdns = multicastDns({ socket, interface: address, bind: '0.0.0.0' });
  mdns.on('ready', () => {
    if (state === 'opening') state = 'open';
    for (const query of waiting.splice(0)) send(socket, query);
  });
  mdns.on('response', (packet) =>
    onAnswers([...(packet.answers ?? []), ...(packet.additionals ?? [])] as readonly HeardRecord[]),
  );
  // The library reports what it could not parse and what the network refused; neither is news to a listener.
  mdns.on('warning', () => undefined);
  mdns.on('error', () => undefined);
  return {
    ask: (questions) => {
      const query = encodeQuery(questions);
      if (state === 'open') send(socket, query);
      else if (state === 'opening' && waiting.length < 20) waiting.push(query);
    },
    close: () => {
      if (state === 'closed') return;
      state = 'closed';
      mdns.destroy();
    },
  };
}

function send(socket: Socket, query: Buffer): void {
  socket.send(query, PORT, GROUP, () => undefined);
}

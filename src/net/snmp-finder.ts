import type { Buffer } from 'node:buffer';
import { createSocket, type RemoteInfo, type Socket } from 'node:dgram';
import { isIPv6 } from 'node:net';
import type { SnmpCredential } from './net.js';
import { readEnvelope } from './snmp-envelope.js';
import { type Question, questionWith } from './snmp-question.js';
import { plainAddress } from './snmp-socket.js';

/** An SNMP agent that answered: where, and under which of the credentials, in their order. */
export interface SnmpFound {
  readonly port: number;
  readonly credentials: readonly SnmpCredential[];
}

export interface SnmpSearch {
  readonly credentials: readonly SnmpCredential[];
  /** For an answer, all repeats included. Milliseconds. */
  readonly timeoutMs: number;
  /** How often a question without an answer is asked again. */
  readonly retries: number;
}

/** One address under question. */
interface Asked {
  readonly address: string;
  readonly ids: number[];
  /** Who has answered: index of the credential and port. */
  readonly answers: { readonly index: number; readonly port: number }[];
  readonly askedAt: number;
  dueAt: number;
  left: number;
  settle: ((found: SnmpFound | undefined) => void) | undefined;
}

interface Waiting {
  readonly asked: Asked;
  readonly port: number;
  readonly index: number;
}

/**
 * Credentials that answer a little later than the first still count. A better one than the first that answered, whose question may have
 * been lost, has as long again as that first answer took.
 */
const GRACE_MS = 60;
/** Room for what many agents answer at the same time. Octets. */
const BUFFER = 4 * 1024 * 1024;
/** Four octets, always positive. */
const FIRST_ID = 0x1000_0000;
const LAST_ID = 0x7fff_ffff;

/**
 * Looks for agents at any number of addresses over one UDP socket for each address family: a reply finds its question by the id
 * that it carries and the address it comes from. The library makes the question, once for each credential; for each address only
 * its id is changed, so that an address that stays silent costs next to nothing. Version 3 is asked for its engine, which
 * an agent tells to everybody (RFC 3414 section 4): whether it takes the user is told by the reading that follows.
 */
export class SnmpFinder {
  private readonly lines: readonly { readonly index: number; readonly question: Question }[];
  private readonly sockets = new Map<'udp4' | 'udp6', Socket>();
  private readonly waiting = new Map<number, Waiting>();
  private queue: Asked[] = [];
  private head = 0;
  private nextId = FIRST_ID + Math.floor(Math.random() * FIRST_ID);
  private timer: NodeJS.Timeout | undefined;
  private closed = false;
  private readonly spacingMs: number;

  constructor(private readonly search: SnmpSearch) {
    this.lines = search.credentials.flatMap((credential, index) => {
      const question = questionWith(credential);
      return question === null ? [] : [{ index, question }];
    });
    this.spacingMs = Math.max(1, search.timeoutMs / (search.retries + 1));
  }

  /** The agent at one of these ports, undefined when none answered in time. */
  find(address: string, ports: readonly number[]): Promise<SnmpFound | undefined> {
    if (this.closed || this.lines.length === 0) return Promise.resolve(undefined);
    return new Promise((settle) => {
      const askedAt = performance.now();
      const dueAt = askedAt + this.spacingMs;
      const asked: Asked = { address, ids: [], answers: [], askedAt, dueAt, left: this.search.retries, settle };
      for (const { index } of this.lines) {
        for (const port of ports) {
          asked.ids.push(this.nextId);
          this.waiting.set(this.nextId, { asked, port, index });
          this.nextId = this.nextId >= LAST_ID ? FIRST_ID : this.nextId + 1;
        }
      }
      this.say(asked);
      this.queue.push(asked);
      this.wind();
    });
  }

  /** Whoever still waits is told that nobody answered. */
  close(): void {
    if (this.closed) return;
    this.closed = true;
    clearTimeout(this.timer);
    for (const socket of this.sockets.values()) socket.close();
    for (const { asked } of [...this.waiting.values()]) this.finish(asked);
  }

  private say(asked: Asked): void {
    const socket = this.socket(isIPv6(asked.address) ? 'udp6' : 'udp4');
    for (const id of asked.ids) {
      const waiting = this.waiting.get(id);
      const line = this.lines.find(({ index }) => index === waiting?.index);
      if (waiting === undefined || line === undefined) continue;
      socket.send(line.question(id), waiting.port, asked.address, () => undefined);
    }
  }

  private socket(family: 'udp4' | 'udp6'): Socket {
    const known = this.sockets.get(family);
    if (known !== undefined) return known;
    const socket = createSocket({ type: family, sendBufferSize: BUFFER, recvBufferSize: BUFFER });
    // An error here speaks of no one address: whoever can't be reached is silent.
    socket.on('error', () => undefined);
    socket.on('message', (bytes, from) => this.hear(bytes, from));
    this.sockets.set(family, socket);
    return socket;
  }

  private hear(bytes: Buffer, from: RemoteInfo): void {
    const envelope = readEnvelope(bytes);
    const waiting = envelope === null ? undefined : this.waiting.get(envelope.id);
    if (envelope === null || waiting === undefined || envelope.kind === 'other') return;
    const { asked, port, index } = waiting;
    if (envelope.version !== this.search.credentials[index]?.version || from.port !== port) return;
    if (plainAddress(from.address) !== plainAddress(asked.address)) return;
    this.waiting.delete(envelope.id);
    asked.answers.push({ index, port });
    const all = asked.ids.every((id) => !this.waiting.has(id));
    const first = asked.answers.length === 1;
    if (all || (!first && index === 0)) this.finish(asked);
    else if (first) {
      const tookMs = this.lacksBetter(asked) ? performance.now() - asked.askedAt : 0;
      setTimeout(() => this.finish(asked), Math.max(GRACE_MS, tookMs));
    }
  }

  /** Whether a credential that goes before all that answered has not. */
  private lacksBetter({ ids, answers }: Asked): boolean {
    const best = Math.min(...answers.map(({ index }) => index));
    return ids.some((id) => (this.waiting.get(id)?.index ?? best) < best);
  }

  private finish(asked: Asked): void {
    for (const id of asked.ids) this.waiting.delete(id);
    const { settle } = asked;
    if (settle === undefined) return;
    asked.settle = undefined;
    const [first] = asked.answers.sort((a, b) => a.index - b.index);
    const here = asked.answers.filter(({ port }) => port === first?.port);
    const credentials = here.flatMap(({ index }) => this.search.credentials[index] ?? []);
    settle(first === undefined ? undefined : { port: first.port, credentials });
  }

  /** One timer for all: they are due in the order in which they were asked. */
  private wind(): void {
    const next = this.queue[this.head];
    if (this.timer !== undefined || next === undefined || this.closed) return;
    const ring = (): void => {
      this.timer = undefined;
      this.ring();
      this.wind();
    };
    // Answers that lie there unread, on a machine that had no time for this program, are read before the time is called up.
    this.timer = setTimeout(() => setImmediate(ring), Math.max(1, next.dueAt - performance.now()));
  }

  private ring(): void {
    const now = performance.now();
    for (let asked = this.queue[this.head]; asked !== undefined && asked.dueAt <= now; asked = this.queue[this.head]) {
      this.head += 1;
      if (asked.settle === undefined) continue;
      // Whoever has answered ends by itself, once the better credentials have had their chance.
      if (asked.answers.length > 0 && !(asked.left > 0 && this.lacksBetter(asked))) continue;
      if (asked.left === 0) {
        this.finish(asked);
        continue;
      }
      asked.left -= 1;
      asked.dueAt = now + this.spacingMs;
      this.say(asked);
      this.queue.push(asked);
    }
    if (this.head > 1024) {
      this.queue = this.queue.slice(this.head);
      this.head = 0;
    }
  }
}

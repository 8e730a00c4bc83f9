import type { Buffer } from 'node:buffer';
import snmp from 'net-snmp';
import type { SnmpVersion } from '../model/evidence.js';
import type { RawVarbind, SnmpClient, SnmpOptions, SnmpReply } from './net.js';
import { type Envelope, readEnvelope, type SecurityLevelName } from './snmp-envelope.js';
import { Closed, failedReply, outcomeOfStatus, reportName, statusName, Undecodable } from './snmp-errors.js';
import { rule } from './snmp-gate.js';
import { LibrarySocket } from './snmp-library-socket.js';
import type { SnmpChannel } from './snmp-socket.js';
import { atMost, type LibraryVarbind, matched, rawVarbind } from './snmp-varbinds.js';

/** Reports in a row after which an agent is no longer listened to: an honest one needs two. */
const MAX_REPORTS = 8;
/** Notes kept until a reply takes them along. */
const MAX_NOTES = 16;

/** A reply as the library decoded it. */
interface LibraryPdu {
  readonly id: number;
  readonly errorStatus: number;
  readonly errorIndex: number;
  readonly varbinds: readonly LibraryVarbind[];
}
type Answer = (error: unknown, pdu?: LibraryPdu) => void;
type Check = (got: readonly RawVarbind[]) => Pick<SnmpReply, 'varbinds' | 'problems'>;

/**
 * A session of the library with its weak places fenced in. Two members of the library's session are used that its
 * manual does not name: `onSimpleGetResponse`, replaced so that every decoded reply is judged here, and
 * `unregisterRequest`, to end a question whose reply can't be decoded. Both are typed by the library and its version
 * is pinned.
 *
 * There is no walk here: each call is one question and one answer, so nothing can loop.
 */
export class GuardedSession implements SnmpClient {
  readonly version: SnmpVersion;
  readonly #level: SecurityLevelName;
  readonly #socket: LibrarySocket;
  readonly #session: snmp.Session;
  /** Ids of messages that wait for a reply, and whom to tell. */
  readonly #open = new Map<number, Answer>();
  /** The question on whose behalf the library sends just now. */
  #asking: Answer | undefined;
  #notes: string[] = [];
  #requests = 0;
  #reports = 0;
  #report: string | undefined;
  #garbled = 0;
  #closed = false;
  /** What the library called an error while it read the last datagram. */
  #libraryError: unknown;

  constructor(options: SnmpOptions, user: snmp.User | string, channel: SnmpChannel) {
    const { credential } = options;
    this.version = credential.version;
    this.#level = credential.version === '3' ? credential.level : 'noAuthNoPriv';
    this.#socket = new LibrarySocket(channel, (bytes) => this.#sent(bytes));
    this.#session = this.#librarySession(options, user);
    this.#session.on('error', (error: unknown) => {
      this.#libraryError = error;
    });
    this.#session.onSimpleGetResponse = (req, message) => {
      const answer = req.responseCb as unknown as Answer;
      if (message.pdu.id !== req.message.pdu.id) answer(new Undecodable('request-id'));
      else answer(null, message.pdu as LibraryPdu);
    };
    channel.listen({
      datagram: (bytes) => this.#datagram(bytes),
      stranger: (bytes, from) => this.#stranger(bytes, from),
      failure: (error) => this.#session.cancelRequests(error),
    });
  }

  #librarySession(options: SnmpOptions, user: snmp.User | string): snmp.Session {
    const shared = {
      port: options.port,
      retries: options.retries,
      timeout: options.timeoutMs,
      dgramModule: { createSocket: () => this.#socket },
    };
    if (typeof user !== 'string') {
      const context = options.credential.version === '3' ? (options.credential.context ?? '') : '';
      return snmp.createV3Session(options.address, user, { ...shared, context });
    }
    const version = options.credential.version === '1' ? snmp.Version1 : snmp.Version2c;
    return snmp.createSession(options.address, user, { ...shared, version });
  }

  get requests(): number {
    return this.#requests;
  }

  #sent(bytes: Buffer): void {
    this.#requests++;
    const envelope = readEnvelope(bytes);
    if (envelope !== null && this.#asking !== undefined) this.#open.set(envelope.id, this.#asking);
  }

  #note(text: string): void {
    if (this.#notes.length < MAX_NOTES && !this.#notes.includes(text)) this.#notes.push(text);
  }

  #stranger(bytes: Buffer, from: string): void {
    const envelope = readEnvelope(bytes);
    const ours = envelope !== null && this.#open.has(envelope.id);
    this.#note(ours ? `a reply came from ${from}, which was not asked: not believed` : `a stray datagram from ${from}`);
  }

  #engineId(): string | null {
    const learnt = (this.#session as unknown as { msgSecurityParameters?: { msgAuthoritativeEngineID: Buffer } })
      .msgSecurityParameters;
    return learnt === undefined ? null : learnt.msgAuthoritativeEngineID.toString('hex');
  }

  #datagram(bytes: Buffer): void {
    const envelope = readEnvelope(bytes);
    const ruling = rule(envelope, bytes.length, {
      version: this.version,
      level: this.#level,
      engineId: this.#engineId(),
      isOpen: (id) => this.#open.has(id),
    });
    if (ruling.note !== undefined) this.#note(ruling.note);
    if (ruling.verdict === 'drop') {
      if (envelope === null) this.#garbled++;
      return;
    }
    if (envelope === null) return;
    if (ruling.verdict === 'broken') this.#end(envelope.id, this.#open.get(envelope.id), new Undecodable(ruling.note));
    else if (envelope.kind === 'report') this.#reported(envelope, bytes);
    else this.#deliver(envelope.id, bytes);
  }

  /**
   * A report may be a step (discovery, clocks) to which the library answers with the question once more, or the end
   * of it. Only at the end, or when the agent does nothing but report, is it what the question came to.
   */
  #reported(envelope: Envelope, bytes: Buffer): void {
    this.#report = reportName(envelope.reports);
    this.#reports++;
    if (this.#reports > MAX_REPORTS) {
      this.#note('the agent answers every question with a report');
      return;
    }
    const before = this.#requests;
    this.#deliver(envelope.id, bytes);
    if (this.#requests > before) this.#report = undefined;
  }

  /** Lets the library read a datagram. Whatever it throws or calls an error ends the question, never the program. */
  #deliver(id: number, bytes: Buffer): void {
    const answer = this.#open.get(id);
    this.#open.delete(id);
    this.#libraryError = undefined;
    this.#asking = answer;
    try {
      this.#socket.emit('message', bytes);
    } catch (error) {
      this.#libraryError = error;
    }
    this.#asking = undefined;
    if (this.#libraryError !== undefined) this.#end(id, answer, new Undecodable(String(this.#libraryError)));
  }

  #end(id: number, answer: Answer | undefined, error: Error): void {
    this.#garbled++;
    this.#session.unregisterRequest(id);
    answer?.(error);
  }

  /** Asks once and takes what comes, whichever way it comes, exactly once. */
  #ask(oids: readonly string[], send: (answer: Answer) => void, check: Check): Promise<SnmpReply> {
    if (this.#closed) return Promise.resolve({ outcome: 'failed', varbinds: [], error: 'closed', problems: [] });
    if (oids.length === 0) return Promise.resolve({ outcome: 'answered', varbinds: [], problems: [] });
    const garbledBefore = this.#garbled;
    return new Promise((resolve) => {
      const answer: Answer = (error, pdu) => {
        const heard = {
          report: this.#report,
          garbled: this.#garbled > garbledBefore,
          discovered: this.#engineId() !== null,
        };
        const reply = pdu === undefined ? failedReply(error, heard) : this.#read(pdu, check);
        const notes = this.#notes;
        this.#notes = [];
        for (const [id, waiting] of this.#open) if (waiting === answer) this.#open.delete(id);
        resolve({ ...reply, problems: [...reply.problems, ...notes] });
      };
      this.#asking = answer;
      try {
        send(answer);
      } catch (error) {
        answer(error);
      }
      this.#asking = undefined;
    });
  }

  #read(pdu: LibraryPdu, check: Check): SnmpReply {
    this.#reports = 0;
    this.#report = undefined;
    const varbinds = pdu.varbinds.map(rawVarbind);
    if (pdu.errorStatus === 0) {
      const checked = check(varbinds);
      if (checked.varbinds.length > 0 || varbinds.length === 0) return { outcome: 'answered', ...checked };
      return { outcome: 'garbled', error: 'other-objects', ...checked };
    }
    const error = statusName(pdu.errorStatus);
    const known = !error.startsWith('error-status');
    const problems = known ? [] : [`error status ${pdu.errorStatus}, which no standard knows`];
    const errorIndex = pdu.errorIndex > 0 ? { errorIndex: pdu.errorIndex } : {};
    return { outcome: outcomeOfStatus(error), varbinds: [], error, ...errorIndex, problems };
  }

  get(oids: readonly string[]): Promise<SnmpReply> {
    return this.#ask(
      oids,
      (answer) => this.#session.get([...oids], answer as never),
      (got) => matched(oids, got),
    );
  }

  getNext(oids: readonly string[]): Promise<SnmpReply> {
    return this.#ask(
      oids,
      (answer) => this.#session.getNext([...oids], answer as never),
      (got) => atMost(oids.length, got),
    );
  }

  getBulk(oids: readonly string[], nonRepeaters: number, maxRepetitions: number): Promise<SnmpReply> {
    const single = Math.min(nonRepeaters, oids.length);
    return this.#ask(
      oids,
      (answer) => this.#session.getBulk([...oids], single, maxRepetitions, answer as never),
      (got) => atMost(single + (oids.length - single) * maxRepetitions, got),
    );
  }

  close(): void {
    if (this.#closed) return;
    this.#closed = true;
    const ended = new Closed('closed');
    this.#session.cancelRequests(ended);
    for (const answer of new Set(this.#open.values())) answer(ended);
    this.#session.close();
  }
}

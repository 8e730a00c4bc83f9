import { Buffer } from 'node:buffer';
import { connect, type Socket } from 'node:net';
import { performance } from 'node:perf_hooks';
import type { Outcome } from '../model/evidence.js';
import { failureOf } from './failure.js';
import type { TcpEnd, TcpExchange, TcpExchangeResult } from './net.js';

/** After its own FIN this side still reads for so long; an answer that waits for the FIN comes in this time. */
const CLOSING_MS = 500;

/**
 * Sends some octets over a fresh connection and reads the reply: sends once, reads until the reply is whole, closes its
 * own half (FIN), reads on to the other side's close, all within the deadline. Never throws.
 */
export function tcpExchange(request: TcpExchange): Promise<TcpExchangeResult> {
  return new Promise((resolve) => new Exchange(request, resolve));
}

class Exchange {
  readonly #request: TcpExchange;
  readonly #resolve: (result: TcpExchangeResult) => void;
  readonly #start = performance.now();
  readonly #deadlineMs: number;
  readonly #socket: Socket;
  readonly #timers: NodeJS.Timeout[] = [];
  readonly #store: Buffer;
  #filled = 0;
  #connected = false;
  #end: TcpEnd | undefined;

  constructor(request: TcpExchange, resolve: (result: TcpExchangeResult) => void) {
    this.#request = request;
    this.#resolve = resolve;
    this.#deadlineMs = Math.max(1, request.deadlineMs);
    this.#store = Buffer.alloc(request.maxBytes);
    this.#socket = connect({ host: request.host, port: request.port });
    this.#watch();
  }

  #watch(): void {
    const socket = this.#socket;
    socket.on('connect', () => {
      this.#connected = true;
      socket.write(this.#request.send);
    });
    socket.on('data', (chunk: Buffer) => this.#take(chunk));
    socket.on('close', () => this.#finish('closed', 'silent'));
    socket.on('error', (error) => {
      const failure = failureOf(error);
      this.#finish('broken', failure.outcome, failure.code);
    });
    this.#after(this.#deadlineMs, () => this.#finish('deadline', 'silent', this.#connected ? undefined : 'ETIMEDOUT'));
    // Some answer only once they have seen the FIN: at most half of the time is spent on waiting for the others.
    this.#after(Math.max(this.#deadlineMs - CLOSING_MS, this.#deadlineMs / 2), () => {
      if (this.#connected) this.#closeOwnHalf('deadline');
    });
  }

  #after(ms: number, act: () => void): void {
    this.#timers.push(setTimeout(act, ms));
  }

  #take(chunk: Buffer): void {
    if (this.#end === 'complete' || this.#end === 'too-long') return;
    this.#filled += chunk.copy(this.#store, this.#filled);
    if (this.#request.isComplete?.(this.#received())) this.#closeOwnHalf('complete');
    else if (this.#filled >= this.#request.maxBytes) this.#closeOwnHalf('too-long');
  }

  #received(): Buffer {
    return this.#store.subarray(0, this.#filled);
  }

  #closeOwnHalf(why: TcpEnd): void {
    const closing = this.#end !== undefined;
    this.#end = why;
    if (closing) return;
    this.#socket.end();
    const left = this.#deadlineMs - (performance.now() - this.#start);
    this.#after(Math.max(0, Math.min(CLOSING_MS, left)), () => this.#finish(why, 'silent'));
  }

  #finish(end: TcpEnd, outcome: Outcome, error?: string): void {
    for (const timer of this.#timers) clearTimeout(timer);
    this.#timers.length = 0;
    this.#socket.destroy();
    this.#resolve({
      outcome: this.#filled > 0 ? 'answered' : outcome,
      connected: this.#connected,
      received: this.#received(),
      end: this.#endOf(end),
      ...(error === undefined ? {} : { error }),
      tookMs: Math.round(performance.now() - this.#start),
    });
  }

  /** An answer that came to its end only after this side's FIN ended as the other side let it end. */
  #endOf(end: TcpEnd): TcpEnd {
    const lateAnswer = this.#end === 'deadline' && this.#filled > 0;
    return lateAnswer ? end : (this.#end ?? end);
  }
}

import type { Buffer } from 'node:buffer';
import { once } from 'node:events';
import { connect, type Socket } from 'node:net';
import type { Outcome } from '../model/evidence.js';
import type { LpdStep } from '../wire/lpd/job.js';
import { failureOf } from './failure.js';

/** Octets that a person asked to be printed, and what came of it. */
export interface PrintSent {
  /** `answered`: all of it was taken. `denied`: the other side said no, see `refused`. Else the failure's. */
  readonly outcome: Outcome;
  /** System code of a failure. */
  readonly error?: string;
  /** Which step was refused, and with what octet (LPD). */
  readonly refused?: string;
}

/** A printer that has all octets may keep the connection until the page is out; more than this need not be waited for. */
const CLOSING_MS = 3_000;

/** Sends octets over the raw port and closes: the end of the connection is the end of the job (common practice, no published source). */
export async function sendRaw(host: string, port: number, octets: Buffer, deadlineMs: number): Promise<PrintSent> {
  return attempt(host, port, deadlineMs, async (socket) => {
    socket.resume();
    socket.end(octets);
    await once(socket, 'finish');
    await Promise.race([once(socket, 'close'), new Promise((resolve) => setTimeout(resolve, CLOSING_MS))]);
    return { outcome: 'answered' };
  });
}

/** Sends a job step by step, each after the other side's yes (RFC 1179 section 5.2: one octet of zero). */
export async function sendLpd(
  host: string,
  port: number,
  steps: readonly LpdStep[],
  deadlineMs: number,
): Promise<PrintSent> {
  return attempt(host, port, deadlineMs, async (socket) => {
    for (const { what, send } of steps) {
      socket.write(send);
      const answer = await firstOctet(socket);
      if (answer === undefined) return { outcome: 'silent', refused: `no answer to ${what}` };
      if (answer !== 0) return { outcome: 'denied', refused: `${what} was refused (code ${answer})` };
    }
    socket.end();
    return { outcome: 'answered' };
  });
}

async function attempt(
  host: string,
  port: number,
  deadlineMs: number,
  work: (socket: Socket) => Promise<PrintSent>,
): Promise<PrintSent> {
  const socket = connect({ host, port });
  const late = setTimeout(() => socket.destroy(Object.assign(new Error('late'), { code: 'ETIMEDOUT' })), deadlineMs);
  try {
    const failed = once(socket, 'error').then(([error]) => Promise.reject(error as Error));
    failed.catch(() => undefined);
    await Promise.race([once(socket, 'connect'), failed]);
    return await Promise.race([work(socket), failed]);
  } catch (error) {
    const { outcome, code } = failureOf(error as Error);
    return { outcome: code === 'ETIMEDOUT' ? 'silent' : outcome, error: code };
  } finally {
    clearTimeout(late);
    socket.destroy();
  }
}

/** Undefined when the other side closed without a word. */
async function firstOctet(socket: Socket): Promise<number | undefined> {
  const waiting = new AbortController();
  try {
    const data = once(socket, 'data', { signal: waiting.signal }).then(([bytes]) => (bytes as Buffer)[0]);
    const end = once(socket, 'end', { signal: waiting.signal }).then(() => undefined);
    data.catch(() => undefined);
    end.catch(() => undefined);
    return await Promise.race([data, end]);
  } finally {
    waiting.abort();
  }
}

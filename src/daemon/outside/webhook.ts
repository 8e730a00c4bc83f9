import { createHmac } from 'node:crypto';
import { EVENTS_SCHEMA, type EventsDocument } from '../../model/event.js';
import { type Message, Refused, type Send } from '../teller.js';

const PATIENCE_MS = 15_000;
/** What a receiver may answer: nobody reads it. */
const MOST_BYTES = 64 * 1024;

/** Answers that a repeat of the same words will not change (RFC 9110 section 15.5). */
const NEVER = new Set([400, 405, 406, 410, 411, 413, 414, 415, 422, 501]);

/** Posts events as JSON, signed with the secret where there is one. */
export function webhook(url: string, secret: string | undefined): Send {
  return async (message) => {
    const body = bodyOf(message);
    const answer = await fetch(url, {
      method: 'POST',
      body,
      redirect: 'error',
      signal: AbortSignal.timeout(PATIENCE_MS),
      headers: {
        'Content-Type': 'application/json',
        'User-Agent': 'outfeed',
        'Idempotency-Key': message.key,
        ...(secret === undefined ? {} : { 'Outfeed-Signature': signatureOf(body, secret) }),
      },
    }).catch((error: unknown) => {
      throw new Error(`the receiver could not be reached: ${reasonOf(error)}`);
    });
    await drain(answer);
    if (answer.ok) return;
    const words = `the receiver answered with HTTP status ${answer.status}`;
    throw NEVER.has(answer.status) ? new Refused(words) : new Error(words);
  };
}

/** `sha256=` and the HMAC (RFC 2104) of the body in hexadecimal. */
export function signatureOf(body: string, secret: string): string {
  return `sha256=${createHmac('sha256', secret).update(body).digest('hex')}`;
}

function bodyOf({ events }: Message): string {
  const [only] = events;
  if (events.length === 1) return JSON.stringify(only);
  const together: EventsDocument = { schema: EVENTS_SCHEMA, events };
  return JSON.stringify(together);
}

/** Reads the answer so that the connection can be used again, but not without end. */
async function drain(answer: Response): Promise<void> {
  let read = 0;
  try {
    for await (const part of answer.body ?? []) {
      read += part.length;
      if (read > MOST_BYTES) break;
    }
  } catch {
    // Status and headers came: the message was taken or refused, whatever became of the rest.
  }
}

function reasonOf(error: unknown): string {
  const cause = (error as { cause?: { code?: unknown } }).cause?.code;
  return typeof cause === 'string' ? cause : error instanceof Error ? error.message : String(error);
}

import { createHash } from 'node:crypto';
import type { FastifyReply } from 'fastify';
import { type Answer, problem } from './answer.js';
import { clientOf } from './pace.js';
import type { Streams } from './streams.js';

/** Octets that may wait for one who listens. */
const MOST_UNREAD = 1024 * 1024;

/** Writes an answer that ends. */
export function send(reply: FastifyReply, { status, body, type, headers }: Answer): FastifyReply {
  // Octets: for a text the framework would write a charset behind a media type that has none (RFC 8259, section 11).
  const { octets, tag } = writtenOf(body);
  const media = type ?? (typeof body === 'string' ? 'text/plain; charset=utf-8' : 'application/json');
  const named = status === 200 && media === 'application/json' && reply.request.method !== 'POST';
  reply
    .code(status)
    .header('Content-Type', media)
    .header('Cache-Control', named ? 'private, no-cache' : 'no-store');
  reply.headers(headers ?? {});
  if (!named) return reply.send(octets);
  const name = tag();
  reply.header('ETag', name);
  return isKnown(reply.request.headers['if-none-match'], name) ? reply.code(304).send() : reply.send(octets);
}

interface Written {
  readonly octets: Buffer;
  readonly tag: () => string;
}

/** A document that is answered several times is written down once. */
const written = new WeakMap<object, Written>();

function writtenOf(body: unknown): Written {
  if (typeof body !== 'object' || body === null) return made(String(body));
  const before = written.get(body);
  if (before !== undefined) return before;
  const now = made(Buffer.isBuffer(body) ? body : `${JSON.stringify(body)}\n`);
  written.set(body, now);
  return now;
}

function made(content: string | Buffer): Written {
  const octets = typeof content === 'string' ? Buffer.from(content) : content;
  let name: string | undefined;
  return {
    octets,
    tag: () => {
      name ??= tagOf(octets);
      return name;
    },
  };
}

/** Weak: the same document may be sent compressed in one way or another (RFC 9110, section 8.8.1). */
function tagOf(octets: Buffer): string {
  return `W/"${createHash('sha256').update(octets).digest('base64url').slice(0, 22)}"`;
}

/** If-None-Match (RFC 9110, section 13.1.2): compared weakly. */
function isKnown(header: string | undefined, tag: string): boolean {
  if (header === undefined) return false;
  const opaque = (one: string): string => one.trim().replace(/^W\//, '');
  return header.trim() === '*' || header.split(',').some((one) => opaque(one) === opaque(tag));
}

/** Writes an answer, one that goes on too where there is a place for it. */
export function sendAny(reply: FastifyReply, answer: Answer, streams: Streams): FastifyReply {
  const { more } = answer;
  if (more === undefined || reply.request.method === 'HEAD') return send(reply, answer);
  const gone = new AbortController();
  if (!streams.take(clientOf(reply.request.ip), gone.signal)) {
    return send(reply, problem(503, 'Too many listen already; ask again later.', { 'Retry-After': '60' }));
  }
  reply.code(answer.status).header('Content-Type', answer.type).header('Cache-Control', 'no-store');
  reply.headers(answer.headers ?? {}).hijack();
  const response = reply.raw;
  response.on('close', () => gone.abort());
  // Who left while the answer was being made: the event is over, and the place would be kept for ever.
  if (response.destroyed) gone.abort();
  if (gone.signal.aborted) return reply;
  response.writeHead(reply.statusCode, reply.getHeaders() as Record<string, string>);
  response.write(String(answer.body));
  more((said) => {
    // Who listens without reading would be kept everything for ever.
    if (response.writableLength > MOST_UNREAD) response.destroy();
    else response.write(said);
  }, gone.signal);
  return reply;
}

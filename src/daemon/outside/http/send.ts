import type { FastifyReply } from 'fastify';
import { type Answer, problem } from './answer.js';
import { clientOf } from './pace.js';
import type { Streams } from './streams.js';

/** Octets that may wait for one who listens. */
const MOST_UNREAD = 1024 * 1024;

/** Writes an answer that ends. */
export function send(reply: FastifyReply, { status, body, type, headers }: Answer): FastifyReply {
  // Octets: for a text the framework would write a charset behind a media type that has none (RFC 8259, section 11).
  const octets = Buffer.isBuffer(body)
    ? body
    : Buffer.from(typeof body === 'string' ? body : `${JSON.stringify(body)}\n`);
  return reply
    .code(status)
    .header('Content-Type', type ?? (typeof body === 'string' ? 'text/plain; charset=utf-8' : 'application/json'))
    .header('Cache-Control', 'no-store')
    .headers(headers ?? {})
    .send(octets);
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
  response.writeHead(reply.statusCode, reply.getHeaders() as Record<string, string>);
  response.write(String(answer.body));
  more((said) => {
    // Who listens without reading would be kept everything for ever.
    if (response.writableLength > MOST_UNREAD) response.destroy();
    else response.write(said);
  }, gone.signal);
  return reply;
}

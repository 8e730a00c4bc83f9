import type { FastifyReply } from 'fastify';
import type { Answer } from './answer.js';

/** Octets that may wait for one who listens. */
const MOST_UNREAD = 1024 * 1024;

/** Writes an answer. */
export function send(reply: FastifyReply, answer: Answer): FastifyReply {
  const { status, body, type, headers, more } = answer;
  // Octets: for a text the framework would write a charset behind a media type that has none (RFC 8259, section 11).
  const octets = Buffer.isBuffer(body)
    ? body
    : Buffer.from(typeof body === 'string' ? body : `${JSON.stringify(body)}\n`);
  reply
    .code(status)
    .header('Content-Type', type ?? (typeof body === 'string' ? 'text/plain; charset=utf-8' : 'application/json'))
    .header('Cache-Control', 'no-store')
    .headers(headers ?? {});
  if (more === undefined || reply.request.method === 'HEAD') return reply.send(octets);
  reply.hijack();
  stream(reply, octets, more);
  return reply;
}

function stream(reply: FastifyReply, first: Buffer, more: NonNullable<Answer['more']>): void {
  const response = reply.raw;
  const gone = new AbortController();
  response.on('close', () => gone.abort());
  response.writeHead(reply.statusCode, reply.getHeaders() as Record<string, string>);
  response.write(first);
  more((said) => {
    // Who listens without reading would be kept everything for ever.
    if (response.writableLength > MOST_UNREAD) response.destroy();
    else response.write(said);
  }, gone.signal);
}

import type { FastifyReply } from 'fastify';
import Negotiator from 'negotiator';
import { type Answer, PROBLEM_TYPE, problem, type RefusedPage } from './answer.js';
import { wantsPage } from './gate.js';
import { clientOf } from './pace.js';
import type { Streams } from './streams.js';
import { CODINGS, type Coding, LEAST_COMPRESSED, type Written, writtenOf } from './written.js';

/** Octets that may wait for one who listens. */
const MOST_UNREAD = 1024 * 1024;

/** Writes an answer that ends; a problem as a page for who wants one. */
export function send(reply: FastifyReply, made: Answer, page: RefusedPage | undefined): FastifyReply {
  const answer = shown(reply, made, page);
  const written = writtenOf(answer.body);
  return begun(reply, answer, written) ? reply.send(written.octets) : reply.code(304).send();
}

function shown({ request }: FastifyReply, answer: Answer, page: RefusedPage | undefined): Answer {
  if (page === undefined || answer.type !== PROBLEM_TYPE || !wantsPage(request)) return answer;
  const { detail } = answer.body as { readonly detail: string };
  const { status, forPeople: sentence = detail } = answer;
  return { ...answer, body: page({ status, sentence }), type: 'text/html; charset=utf-8' };
}

/** The same for what may be long and asked for by many at once: compressed once for all of them. */
async function sendLong(reply: FastifyReply, answer: Answer): Promise<FastifyReply> {
  const written = writtenOf(answer.body);
  reply.header('Vary', 'accept-encoding');
  if (!begun(reply, answer, written)) return reply.code(304).send();
  const coding = codingFor(reply, written);
  if (coding === undefined) return reply.send(written.octets);
  reply.header('Content-Encoding', coding);
  return reply.send(await written.in(coding));
}

/** Status and header. False: whoever asks has it already. */
function begun(reply: FastifyReply, { status, body, type, headers }: Answer, written: Written): boolean {
  // Octets are sent, never a text: there the framework would write a charset behind a media type that has none (RFC 8259, section 11).
  const media = type ?? (typeof body === 'string' ? 'text/plain; charset=utf-8' : 'application/json');
  const named = status === 200 && media === 'application/json' && reply.request.method !== 'POST';
  reply
    .code(status)
    .header('Content-Type', media)
    .header('Cache-Control', named ? 'private, no-cache' : 'no-store');
  reply.headers(headers ?? {});
  if (!named) return true;
  reply.header('ETag', written.tag);
  return !isKnown(reply.request.headers['if-none-match'], written.tag);
}

/** What gains by it; an archive does not. */
const TEXT = /^(text\/|application\/(json|openmetrics-text)\b)/;

/** The library's types know its version before the one in use. */
const codingsOf = (
  asker: Negotiator,
  ...offered: readonly [available: readonly string[], options: { readonly preferred: readonly string[] }]
): readonly string[] => (asker.encodings as (...all: typeof offered) => string[]).apply(asker, [...offered]);

function codingFor(reply: FastifyReply, { octets }: Written): Coding | undefined {
  if (octets.length < LEAST_COMPRESSED || !TEXT.test(String(reply.getHeader('Content-Type')))) return undefined;
  const [wanted] = codingsOf(new Negotiator(reply.request), [...CODINGS, 'identity'], { preferred: CODINGS });
  return CODINGS.find((coding) => coding === wanted);
}

/** If-None-Match (RFC 9110, section 13.1.2): compared weakly. */
function isKnown(header: string | undefined, tag: string): boolean {
  if (header === undefined) return false;
  const opaque = (one: string): string => one.trim().replace(/^W\//, '');
  return header.trim() === '*' || header.split(',').some((one) => opaque(one) === opaque(tag));
}

/** Writes an answer, one that goes on too where there is a place for it. */
export async function sendAny(
  reply: FastifyReply,
  answer: Answer,
  streams: Streams,
  page: RefusedPage | undefined,
): Promise<FastifyReply> {
  const { more } = answer;
  if (answer.type === PROBLEM_TYPE) return send(reply, answer, page);
  if (more === undefined || reply.request.method === 'HEAD') return sendLong(reply, answer);
  const gone = new AbortController();
  if (!streams.take(clientOf(reply.request.ip), gone.signal)) {
    return send(reply, problem(503, 'Too many listen already; ask again later.', { 'Retry-After': '60' }), page);
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

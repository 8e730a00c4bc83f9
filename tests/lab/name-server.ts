/** A name server (RFC 1035) that knows a few names. */
import { createSocket } from 'node:dgram';
import { decode, encode } from 'dns-packet';

/** Name → its addresses, or how the server fails: the name does not exist, no answer comes, or the server is broken. */
export type NameAnswers = Readonly<Record<string, readonly string[] | 'unknown' | 'silent' | 'broken'>>;

/** RFC 1035 4.1.1. */
const SERVER_FAILURE = 2;
const NAME_ERROR = 3;
const AUTHORITATIVE = 1 << 10;
const PORT = 53;

export async function startNameServer(address: string, answers: NameAnswers): Promise<{ close: () => Promise<void> }> {
  const socket = createSocket('udp4');
  socket.on('message', (octets, from) => {
    const query = decode(octets);
    const question = query.questions?.[0];
    if (question === undefined) return;
    const known = answers[question.name.toLowerCase()] ?? 'unknown';
    if (known === 'silent') return;
    const failure = known === 'broken' ? SERVER_FAILURE : known === 'unknown' ? NAME_ERROR : 0;
    const found = typeof known === 'string' || question.type !== 'A' ? [] : known;
    const reply = encode({
      type: 'response',
      id: query.id ?? 0,
      flags: AUTHORITATIVE | failure,
      questions: [question],
      answers: found.map((data) => ({ type: 'A', name: question.name, ttl: 60, data })),
    });
    socket.send(reply, from.port, from.address, () => undefined);
  });
  socket.on('error', () => undefined);
  await new Promise<void>((done) => socket.bind(PORT, address, done));
  return { close: () => new Promise((done) => socket.close(() => done())) };
}

import type { Question } from './records.js';

/** RFC 1035 3.2.2, RFC 3596, RFC 2782. */
const TYPE_NUMBERS: Readonly<Record<Question['type'], number>> = { A: 1, PTR: 12, TXT: 16, AAAA: 28, SRV: 33 };
const CLASS_IN = 1;
const LONGEST_LABEL = 63;

/** Keeps a query well below the 1,472 octets that fit an Ethernet frame. */
const MOST_QUESTIONS = 12;

/**
 * A multicast DNS query (RFC 6762 section 18: identifier 0, no flags) of the first twelve questions. Written here because the packet
 * library splits a name at every dot, and the first label of a service instance may hold dots itself.
 */
export function encodeQuery(questions: readonly Question[]): Buffer {
  const asked = questions.slice(0, MOST_QUESTIONS);
  const header = Buffer.alloc(12);
  header.writeUInt16BE(asked.length, 4);
  return Buffer.concat([header, ...asked.flatMap(encodeQuestion)]);
}

function encodeQuestion(question: Question): readonly Buffer[] {
  const tail = Buffer.alloc(4);
  tail.writeUInt16BE(TYPE_NUMBERS[question.type], 0);
  tail.writeUInt16BE(CLASS_IN, 2);
  return [...labelsOf(question.name).map(encodeLabel), Buffer.from([0]), tail];
}

/** `A. B._ipp._tcp.local` → `A. B`, `_ipp`, `_tcp`, `local`; a name without a service type splits at every dot. */
function labelsOf(name: string): readonly string[] {
  const service = /^(.+)\.(_[^.]+)\.(_tcp|_udp)\.(local)\.?$/i.exec(name);
  if (service !== null) return service.slice(1);
  return name.split('.').filter((label) => label !== '');
}

function encodeLabel(label: string): Buffer {
  const octets = Buffer.from(label, 'utf8').subarray(0, LONGEST_LABEL);
  return Buffer.concat([Buffer.from([octets.length]), octets]);
}

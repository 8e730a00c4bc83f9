import type { IppResult } from '../../facts/ipp.js';
import type { QueueFact } from '../../facts/queues.js';

/** Answers that neither tell how a queue stands nor stand for a cause of any layer. */
const TELLS_NOTHING: ReadonlySet<IppResult> = new Set([
  'http-error',
  'tls-failed',
  'version-refused',
  'not-supported',
  'format-refused',
  'not-accepting',
  'error',
]);

/** A server error is a finding of its own. */
const isUnread = ({ read }: QueueFact): boolean => TELLS_NOTHING.has(read.result) && !/^HTTP 5/.test(read.code);

/** Which queues were asked and told nothing, with what they answered; undefined where there is none. */
export function unreadWords(queues: readonly QueueFact[]): string | undefined {
  const unread = queues.filter(isUnread);
  if (unread.length === 0) return undefined;
  const words = unread.map(({ name, uri, read }) => `${name || uri} (${read.code})`).join(', ');
  // Debian's spooler answers so to every name in a Host header that its ServerAlias does not list (seen, 2.4.2).
  const hint = unread.some(({ read }) => read.code === 'HTTP 400')
    ? ' A server that is asked by a name or address it does not call its own answers with HTTP 400.'
    : '';
  return `${unread.length === 1 ? 'This queue' : 'These queues'} could not be read: ${words}.${hint}`;
}

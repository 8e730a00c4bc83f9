import { ProgramProblem } from '../model/problem.js';
import type { LpdQueue } from '../model/target.js';
import { readDeviceUri } from '../model/uri.js';
import { shortened } from '../render/escape.js';
import { isQueueName } from '../wire/lpd/request.js';

/** True for an lpd URI, whatever its case. */
export function isLpdUri(text: string): boolean {
  return /^\s*lpd:\/\//i.test(text);
}

/**
 * `lpd://host[:port]/queue` as a queue to ask. Undefined where the URI names no queue. ProgramProblem for a name that
 * RFC 1179 has no room for: a blank or a line end in it would be read as another command.
 */
export function lpdQueueOf(text: string, targetHost: string): LpdQueue | undefined {
  const uri = readDeviceUri(text);
  if ('wrong' in uri) throw problem(uri.wrong);
  const queue = decoded(uri.path.replace(/^\//, ''));
  if (queue === '') return undefined;
  if (queue === undefined || !isQueueName(queue)) {
    throw problem(`in the URI "${text}": the name of an LPD queue has no blanks, control or non-ASCII characters`);
  }
  const own = uri.host === targetHost;
  return { uri: text.trim(), ...(own ? {} : { host: uri.host }), port: uri.port, queue };
}

/** As `lpdQueueOf`, for an option that is about a queue: one without a name is a mistake. */
export function namedLpdQueue(text: string, targetHost: string): LpdQueue {
  const queue = lpdQueueOf(text, targetHost);
  if (queue !== undefined) return queue;
  throw problem(`the URI "${text}" names no queue; write it as lpd://host/queue`);
}

function decoded(path: string): string | undefined {
  try {
    return decodeURIComponent(path);
  } catch {
    return undefined;
  }
}

function problem(why: string): ProgramProblem {
  const sentence = shortened(why, 300);
  return new ProgramProblem('target', `${sentence.charAt(0).toUpperCase()}${sentence.slice(1)}.`);
}

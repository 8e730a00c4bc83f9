import type { Outcome } from '../model/evidence.js';
import { failureOf } from './failure.js';
import type { SnmpReply } from './net.js';

/** error-status of RFC 3416 3, by number. */
const ERROR_STATUS = [
  'noError',
  'tooBig',
  'noSuchName',
  'badValue',
  'readOnly',
  'genErr',
  'noAccess',
  'wrongType',
  'wrongLength',
  'wrongEncoding',
  'wrongValue',
  'noCreation',
  'inconsistentValue',
  'resourceUnavailable',
  'commitFailed',
  'undoFailed',
  'authorizationError',
  'notWritable',
  'inconsistentName',
] as const;

/** Statuses that say no to this client rather than to this question. */
const DENIALS: readonly string[] = ['noAccess', 'authorizationError'];

/** The status's name, or `error-status N` for a number that nobody registered. */
export function statusName(status: number): string {
  return ERROR_STATUS[status] ?? `error-status ${status}`;
}

export function outcomeOfStatus(name: string): Outcome {
  return DENIALS.includes(name) ? 'denied' : 'answered';
}

/** usmStats counters that a report names (RFC 3414 5). */
const REPORTS: Readonly<Record<string, string>> = {
  '1.3.6.1.6.3.15.1.1.1.0': 'usmStatsUnsupportedSecLevels',
  '1.3.6.1.6.3.15.1.1.2.0': 'usmStatsNotInTimeWindows',
  '1.3.6.1.6.3.15.1.1.3.0': 'usmStatsUnknownUserNames',
  '1.3.6.1.6.3.15.1.1.4.0': 'usmStatsUnknownEngineIDs',
  '1.3.6.1.6.3.15.1.1.5.0': 'usmStatsWrongDigests',
  '1.3.6.1.6.3.15.1.1.6.0': 'usmStatsDecryptionErrors',
};

/** Name of the counter, `report OID` for one that is not among them, `report` for a report without any. */
export function reportName(oids: readonly string[]): string {
  const first = oids[0];
  if (first === undefined) return 'report';
  return REPORTS[first] ?? `report ${first}`;
}

/** What was heard from the agent while a question was open and got no answer. */
export interface Heard {
  /** Name of the last report. */
  readonly report: string | undefined;
  /** Whether something undecodable came. */
  readonly garbled: boolean;
  /** Whether a version 3 agent has told its engine: it is there, whatever it does with this user's question. */
  readonly discovered: boolean;
}

/** A question that ended without an answer: what it comes to. `error` is what the library or the system gave. */
export function failedReply(error: unknown, heard: Heard): SnmpReply {
  const { outcome, error: code } = failureKind(error, heard);
  return { outcome, varbinds: [], ...(code === undefined ? {} : { error: code }), problems: [] };
}

function failureKind(error: unknown, heard: Heard): { readonly outcome: Outcome; readonly error?: string } {
  const name = (error as { name?: unknown } | null)?.name;
  if (name === 'RequestTimedOutError') {
    if (heard.report !== undefined) return { outcome: 'denied', error: heard.report };
    if (heard.garbled) return { outcome: 'garbled', error: 'undecodable' };
    return heard.discovered ? { outcome: 'silent', error: 'no-answer-after-discovery' } : { outcome: 'silent' };
  }
  if (name === 'ResponseInvalidError') {
    if (heard.report !== undefined) return { outcome: 'denied', error: heard.report };
    return { outcome: 'garbled', error: 'undecodable' };
  }
  if (error instanceof Undecodable) return { outcome: 'garbled', error: 'undecodable' };
  if (error instanceof Closed) return { outcome: 'failed', error: 'closed' };
  const { outcome, code } = failureOf(error);
  return { outcome, error: code };
}

/** The reply to a question was there and could not be decoded. */
export class Undecodable extends Error {}

/** The session was closed while the question was open. */
export class Closed extends Error {}

import type { IppAttributes, IppEvidence, IppValue, SpoolerExchange } from '../model/evidence.js';
import { JOB_STATE_NAMES, PRINTER_STATE_NAMES } from '../registry/ipp.generated.js';

/** Reasons and messages that are shown beside the state of a printer or queue. */
const STATE_ATTRIBUTES = ['printer-state-reasons', 'printer-state-message'] as const;

/** One IPP exchange in words: what broke, or what the printer or queue says of itself. */
export function exchangeWords(
  e: IppEvidence | SpoolerExchange,
  outcome: string,
  errorWords: (code: string) => string,
): string {
  const { value } = e;
  if (value === null) return outcome;
  const broken = brokenWords(e, outcome, errorWords);
  if (broken !== undefined) return broken;
  const status = value.status ?? outcome;
  if (e.outcome === 'garbled') return withProblem(outcome, value.problems);
  if (value.jobs !== undefined) return jobsWords(value.jobs);
  const state = stateWords(value.attributes);
  if (state !== '' && status.startsWith('successful')) return state;
  const message = value.statusMessage === undefined ? '' : `, "${value.statusMessage}"`;
  const user = value.user === undefined ? '' : ` for user ${value.user}`;
  return `${status}${user}${message}`;
}

/** Words for an exchange that gave no IPP status. */
function brokenWords(
  e: IppEvidence | SpoolerExchange,
  outcome: string,
  errorWords: (code: string) => string,
): string | undefined {
  const { value } = e;
  if (value === null || value.status !== null) return undefined;
  if (value.tls?.error !== undefined) return `no TLS session (${value.tls.error})`;
  if (value.httpStatus !== null && value.httpStatus !== 200)
    return `HTTP status ${value.httpStatus} instead of an answer`;
  if (value.error !== undefined) return errorWords(value.error);
  return withProblem(outcome, value.problems);
}

function withProblem(outcome: string, problems: readonly string[]): string {
  return problems[0] === undefined ? outcome : `${outcome}: ${problems[0]}`;
}

/** How many jobs there are, and how the first one stands: it is the one that the others wait for. */
function jobsWords(jobs: readonly IppAttributes[]): string {
  const total = jobs.length === 1 ? '1 job' : `${jobs.length} jobs`;
  const id = jobs[0]?.['job-id']?.[0]?.value;
  const state = jobs[0]?.['job-state']?.[0]?.value;
  if (typeof id !== 'number' || typeof state !== 'number') return total;
  const reasons = (jobs[0]?.['job-state-reasons'] ?? [])
    .map(textOf)
    .filter((reason) => reason !== '' && reason !== 'none');
  return [`${total}, first ${id} ${JOB_STATE_NAMES[state] ?? state}`, ...reasons].join(', ');
}

function stateWords(attributes: IppAttributes): string {
  const parts: string[] = [];
  const state = attributes['printer-state']?.[0]?.value;
  if (typeof state === 'number') parts.push(PRINTER_STATE_NAMES[state] ?? `state ${state}`);
  for (const name of STATE_ATTRIBUTES) {
    const words = (attributes[name] ?? []).map(textOf).filter((text) => text !== '' && text !== 'none');
    if (words.length === 0) continue;
    parts.push(name === 'printer-state-message' ? `"${words.join(' ')}"` : words.join(', '));
  }
  if (attributes['printer-is-accepting-jobs']?.[0]?.value === false) parts.push('not accepting jobs');
  const device = attributes['device-uri']?.[0];
  if (device !== undefined && textOf(device) !== '') parts.push(`sends to ${withoutSecret(textOf(device))}`);
  return parts.join(', ');
}

function textOf(value: IppValue): string {
  if (typeof value.value === 'string') return value.value;
  if (value.value !== null && typeof value.value === 'object' && 'text' in value.value) return value.value.text;
  return '';
}

/** A device address may carry a name and a password before the `@` (RFC 3986 3.2.1); they are nobody's business here. */
function withoutSecret(uri: string): string {
  return uri.replace(/^([a-z][a-z0-9+.-]*:\/\/)[^/?#]*@/i, '$1');
}

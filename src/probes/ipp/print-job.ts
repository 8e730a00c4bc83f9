import type { Buffer } from 'node:buffer';
import type { IppAttributes, IppExchangeValue, Outcome } from '../../model/evidence.js';
import type { Net } from '../../net/net.js';
import type { IppAddress } from '../../wire/ipp/uri.js';
import { startBudget } from './budget.js';
import { askIpp, isSuccess } from './exchange.js';

/** A page that a person asked to be printed. */
export interface PageJob {
  readonly document: Buffer;
  readonly format: string;
  readonly name: string;
  readonly user?: string;
  readonly timeoutMs: number;
}

export interface JobSent {
  readonly outcome: Outcome;
  readonly answer: IppExchangeValue;
  /** job-id; null when no job was made. */
  readonly jobId: number | null;
}

const DONE = new Set([7, 8, 9]);
const LOOK_MS = 500;

/** Print-Job (RFC 8011 4.2.1): one job of one document. Sent once, never repeated: a second time is a second page. */
export async function printJob(net: Net, address: IppAddress, job: PageJob): Promise<JobSent> {
  const { document, format, name, user, timeoutMs } = job;
  const answer = await askIpp(net, budgetOf(net, timeoutMs), address, {
    operation: 'Print-Job',
    version: '2.0',
    documentFormat: format,
    jobName: name,
    document,
    ...(user === undefined ? {} : { user }),
  });
  const id = answer.value.jobs?.[0]?.['job-id']?.[0]?.value ?? answer.value.attributes['job-id']?.[0]?.value;
  const made = isSuccess(answer.value.status) && typeof id === 'number';
  return { outcome: answer.outcome, answer: answer.value, jobId: made ? id : null };
}

/** The job's attributes once it has ended (job-state 7 to 9, RFC 8011 5.3.7), or as they were when the time was up; null: it could not be asked. */
export async function watchJob(
  net: Net,
  address: IppAddress,
  jobId: number,
  { forMs, timeoutMs }: { readonly forMs: number; readonly timeoutMs: number },
): Promise<IppAttributes | null> {
  const until = net.monotonic() + forMs;
  let last: IppAttributes | null = null;
  for (;;) {
    const { value } = await askIpp(net, budgetOf(net, timeoutMs), address, {
      operation: 'Get-Job-Attributes',
      version: '2.0',
      jobId,
    });
    // A job that is over may be forgotten at once, and some printers tell nothing of theirs.
    if (!isSuccess(value.status)) return last;
    last = value.jobs?.[0] ?? last;
    const state = last?.['job-state']?.[0]?.value;
    if (typeof state === 'number' && DONE.has(state)) return last;
    if (net.monotonic() >= until) return last;
    await new Promise((resolve) => setTimeout(resolve, LOOK_MS));
  }
}

function budgetOf(net: Net, timeoutMs: number) {
  return startBudget(net, { timeoutMs, deadlineMs: 2 * timeoutMs, retries: 0, credentials: [] });
}

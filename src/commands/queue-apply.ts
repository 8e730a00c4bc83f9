import { EXIT, ProgramProblem } from '../model/problem.js';
import type { QueueDocument, QueuedJob, QueueEntry } from '../model/queue.js';
import type { Net } from '../net/net.js';
import { STATUS_NAMES } from '../registry/ipp.generated.js';
import { forTerminal } from '../render/escape.js';
import { decodeIpp } from '../wire/ipp/decode.js';
import { encodeRequest } from '../wire/ipp/encode-request.js';
import { parseIppUri } from '../wire/ipp/uri.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';
import type { Action, Apply } from './queue-actions.js';

const OPERATIONS = { hold: 'Hold-Job', cancel: 'Cancel-Job' } as const;
/** Causes whose job keeps the others waiting. */
const IN_THE_WAY = new Set([
  'poison-job',
  'head-job-stuck',
  'filter-failed',
  'job-waits-for-media',
  'job-needs-sign-in',
]);
const TIMEOUT_MS = 10_000;

interface Chosen {
  readonly queue: QueueEntry;
  readonly job: QueuedJob;
}

/**
 * Holds or cancels one job over IPP, after the person has named it: by typing its number, or beforehand with `--yes NUMBER`.
 * Refuses without a terminal, for a job that can't be told or that no queue asked over IPP holds. What was done goes to stderr.
 */
export async function applyToJob(
  apply: Apply,
  document: QueueDocument,
  asked: ReadonlySet<string>,
  options: CommonOptions,
  io: Io,
): Promise<void> {
  const chosen = choose(apply, document, asked);
  await confirm(apply, chosen, io);
  const said = await send(apply.action, chosen, options, await io.net());
  if (said !== null) {
    throw new ProgramProblem('apply', `${named(chosen)} was not changed: the spooler says ${said}.`, EXIT.fault);
  }
  io.stderr(
    `${named(chosen)} ${apply.action === 'hold' ? 'is on hold now; nothing else was touched' : 'is cancelled; nothing else was touched'}.\n`,
  );
}

/** A job that is meant. `document`: its name, where whoever accuses it knows; numbers of jobs are given anew by every spooler. */
interface Meant {
  readonly id: number;
  readonly document: string | null;
  readonly uri: string | null;
}

function choose({ job, action }: Apply, { crashLoop, queues }: QueueDocument, asked: ReadonlySet<string>): Chosen {
  const open = queues.filter(({ uri }) => asked.has(uri));
  const wanted = job === undefined ? suspected(crashLoop, open) : { id: job, document: null, uri: null };
  if (wanted === null) throw refusal(`no job stands out as the one to ${action}; name it with --job NUMBER`);
  const held = open.flatMap((queue) =>
    queue.jobs.filter((one) => isMeant(one, queue, wanted)).map((one) => ({ queue, job: one })),
  );
  const [first, second] = held;
  if (first === undefined) throw refusal(`no queue that was asked over IPP holds job ${wanted.id}${titleOf(wanted)}`);
  if (second !== undefined) throw refusal(`job ${wanted.id} stands in several queues; name one queue alone`);
  return first;
}

function isMeant(job: QueuedJob, queue: QueueEntry, { id, document, uri }: Meant): boolean {
  if (job.id !== id || (uri !== null && uri !== queue.uri)) return false;
  return document === null || job.name === null || job.name === document;
}

function titleOf({ document }: Meant): string {
  return document === null ? '' : ` "${forTerminal(document, 60)}"`;
}

/** The job that the crashes point to, else the only one that keeps others waiting in its own queue. */
function suspected(crashLoop: QueueDocument['crashLoop'], open: readonly QueueEntry[]): Meant | null {
  const { job = null, document = null } = crashLoop?.suspect ?? {};
  if (job !== null) return { id: job, document, uri: null };
  const jobs = open.flatMap(({ uri, findings }) =>
    findings
      .filter(({ cause, severity }) => severity === 'fault' && IN_THE_WAY.has(cause))
      .flatMap(({ job: id }) => (id === null ? [] : [{ id, document: null, uri }])),
  );
  const [only, ...others] = jobs;
  return only !== undefined && others.every(({ id, uri }) => id === only.id && uri === only.uri) ? only : null;
}

async function confirm({ action, yes }: Apply, chosen: Chosen, io: Io): Promise<void> {
  const { id } = chosen.job;
  if (yes !== undefined) {
    if (yes === id) return;
    throw refusal(`--yes names job ${yes}, and the job to ${action} is ${id}`);
  }
  if (io.ask === undefined) throw refusal(`nobody can be asked here; say --yes ${id} to ${action} ${named(chosen)}`);
  const answer = await io.ask(`${action === 'hold' ? 'Hold' : 'Cancel'} ${named(chosen)}? Type its number to do it: `);
  if (answer?.trim() !== String(id)) throw refusal('its number was not typed');
}

function named({ job, queue }: Chosen): string {
  const title = job.name === null ? '' : ` "${forTerminal(job.name, 60)}"`;
  const user = job.user === null ? '' : ` of ${forTerminal(job.user, 40)}`;
  return `job ${job.id}${title}${user} in the queue ${forTerminal(queue.name, 60)}`;
}

function refusal(why: string): ProgramProblem {
  return new ProgramProblem('apply', `Nothing was changed: ${why}.`);
}

/** Null when it was done, else what the spooler says. */
async function send(action: Action, { queue, job }: Chosen, options: CommonOptions, net: Net): Promise<string | null> {
  const address = parseIppUri(queue.uri);
  if (address === undefined) return 'nothing: its address can not be read';
  const user = options.user ?? job.user;
  const http = await net.http({
    url: address.url,
    method: 'POST',
    headers: { 'content-type': 'application/ipp', accept: 'application/ipp' },
    body: encodeRequest({
      operation: OPERATIONS[action],
      version: '2.0',
      requestId: 1,
      printerUri: address.uri,
      jobId: job.id,
      ...(user === null ? {} : { user }),
    }),
    timeoutMs: options.timeoutMs ?? TIMEOUT_MS,
    maxBytes: 1024 * 1024,
  });
  if (http.status === null) return http.error ?? 'nothing';
  if (http.status !== 200) return `HTTP status ${http.status}${http.status === 401 ? ' (a sign-in is wanted)' : ''}`;
  const { message } = decodeIpp(http.body);
  if (message === null) return 'something that is no IPP';
  return message.code < 0x0100 ? null : (STATUS_NAMES[message.code] ?? `0x${message.code.toString(16)}`);
}

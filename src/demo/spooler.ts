/** A made-up print server: queues and their jobs over IPP, in the states that real ones were seen in. */

import { JOB_STATE_NAMES } from '../registry/ipp.generated.js';
import type { SpoolerJob, SpoolerQueue, SpoolerScenario } from './device.js';
import { override, PRINTER_STATE } from './ipp-attributes.js';
import { type IppAnswer, type IppListener, startIppHttp } from './ipp-http.js';
import type { IppRequest } from './ipp-request.js';
import { attributesAnswer } from './ipp-server.js';
import { GROUP, type IppItem, item } from './ipp-writer.js';
import { numberOf } from './snmp-objects.js';

export interface Spooler extends IppListener {
  readonly jobs: () => number;
}

/** Starts the server; port 0 takes a free one. `now` is in seconds since 1970: job times are written in it. */
export async function startSpooler(
  scenario: SpoolerScenario,
  at: { address: string; port: number },
  now: () => number,
): Promise<Spooler> {
  let jobs = 0;
  const answer = (request: IppRequest, path: string, authority: string): IppAnswer | undefined => {
    if (request.operation === LIST_QUEUES) return allQueues(scenario, authority, now());
    const queue = queueAt(scenario, request, path);
    if (!queue) return { status: 'client-error-not-found' };
    const uri = `ipp://${authority}/printers/${encodeURIComponent(queue.name)}`;
    if (request.operation === 'Print-Job' && mayPrint(queue, request)) jobs++;
    return respond(queue, request, uri, now());
  };
  const listener = await startIppHttp({ title: 'Print server', settings: scenario.ipp, answer }, at);
  return { ...listener, jobs: () => jobs };
}

/** Operation 0x4002, of the range that RFC 8011 5.4.15 leaves to vendors: print servers list their queues by it. */
const LIST_QUEUES = String(0x4002);

function allQueues({ queues }: SpoolerScenario, authority: string, now: number): IppAnswer {
  if (queues.length === 0) return { status: 'client-error-not-found' };
  const items = (queue: SpoolerQueue) =>
    queueItems(queue, `ipp://${authority}/printers/${encodeURIComponent(queue.name)}`, now);
  return { status: 'successful-ok', groups: queues.map((queue) => ({ tag: GROUP.printer, items: items(queue) })) };
}

/** The queue that the request names: by `printer-uri`, which counts more than the path (RFC 8010 3.1.2). */
function queueAt(scenario: SpoolerScenario, request: IppRequest, path: string): SpoolerQueue | undefined {
  const asked = request.attributes['printer-uri']?.[0]?.replace(/^[a-z]+:\/\/[^/]*/i, '') ?? path;
  const name = /^\/printers\/([^/]+)$/.exec(asked)?.[1];
  return scenario.queues.find((queue) => name === encodeURIComponent(queue.name) || name === queue.name);
}

function mayPrint(queue: SpoolerQueue, request: IppRequest): boolean {
  return queue.accepting && !queue.deniedUsers.includes(request.attributes['requesting-user-name']?.[0] ?? 'anonymous');
}

function respond(queue: SpoolerQueue, request: IppRequest, uri: string, now: number): IppAnswer {
  switch (request.operation) {
    case 'Get-Printer-Attributes':
      return attributesAnswer(request, queueItems(queue, uri, now));
    case 'Get-Jobs':
      return {
        status: 'successful-ok',
        groups: listed(queue, request).map((job) => ({
          tag: GROUP.job,
          items: pick(request, jobItems(job, uri, now)),
        })),
      };
    case 'Get-Job-Attributes': {
      const job = queue.jobs.find(({ id }) => String(id) === request.attributes['job-id']?.[0]);
      if (!job) return { status: 'client-error-not-found' };
      return { status: 'successful-ok', groups: [{ tag: GROUP.job, items: pick(request, jobItems(job, uri, now)) }] };
    }
    case 'Validate-Job':
      // A denied user is told only when the job itself comes, as print servers do; a rejecting queue says so at once.
      return { status: queue.accepting ? 'successful-ok' : 'server-error-not-accepting-jobs' };
    case 'Print-Job':
      if (!queue.accepting) return { status: 'server-error-not-accepting-jobs' };
      return { status: mayPrint(queue, request) ? 'successful-ok' : 'client-error-not-authorized' };
    default:
      return { status: 'server-error-operation-not-supported' };
  }
}

function queueItems(queue: SpoolerQueue, uri: string, now: number): IppItem[] {
  const waiting = queue.jobs.filter((job) => !ENDED.has(job.state)).length;
  const denied =
    queue.deniedUsers.length > 0 ? [item('requesting-user-name-denied', 'name', ...queue.deniedUsers)] : [];
  return override(
    [
      item('printer-uri-supported', 'uri', uri),
      item('printer-name', 'name', queue.name),
      item('printer-info', 'text', queue.info || queue.name),
      item('printer-location', 'text', queue.location),
      item('printer-make-and-model', 'text', queue.makeAndModel),
      item('printer-state', 'enum', PRINTER_STATE[queue.state]),
      item('printer-state-reasons', 'keyword', ...queue.reasons),
      item('printer-state-message', 'text', queue.message),
      item('printer-is-accepting-jobs', 'boolean', queue.accepting),
      item('printer-is-shared', 'boolean', true),
      item('queued-job-count', 'integer', waiting),
      item('printer-up-time', 'integer', now),
      item('device-uri', 'uri', queue.deviceUri),
      item('ipp-versions-supported', 'keyword', '1.1', '2.0'),
      item('document-format-supported', 'mimeMediaType', 'application/octet-stream', 'application/pdf', 'text/plain'),
      item('operations-supported', 'enum', 2, 4, 9, 10, 11),
      ...denied,
    ],
    queue.attributes,
  );
}

const ENDED: ReadonlySet<string> = new Set(['completed', 'canceled', 'aborted']);

/** Jobs that Get-Jobs lists: those not ended unless `which-jobs` says otherwise (RFC 8011 4.2.6.1). */
function listed(queue: SpoolerQueue, request: IppRequest): readonly SpoolerJob[] {
  const which = request.attributes['which-jobs']?.[0] ?? 'not-completed';
  const limit = Number(request.attributes.limit?.[0] ?? queue.jobs.length);
  return queue.jobs
    .filter((job) => which === 'all' || ENDED.has(job.state) === (which === 'completed'))
    .slice(0, limit);
}

/** RFC 8011 4.2.6.1: without `requested-attributes` a job list holds only job-id and job-uri. */
function pick(request: IppRequest, items: readonly IppItem[]): IppItem[] {
  const wanted = request.attributes['requested-attributes'] ?? ['job-id', 'job-uri'];
  return items.filter(
    ({ name }) => wanted.includes(name) || wanted.includes('all') || wanted.includes('job-description'),
  );
}

function jobItems(job: SpoolerJob, uri: string, now: number): IppItem[] {
  const processing = job.processingSeconds;
  return [
    item('job-id', 'integer', job.id),
    item('job-uri', 'uri', `${uri.replace(/\/printers\/.*/, '')}/jobs/${job.id}`),
    item('job-printer-uri', 'uri', uri),
    item('job-name', 'name', job.name),
    item('job-originating-user-name', 'name', job.user),
    item('job-state', 'enum', numberOf(JOB_STATE_NAMES, job.state, 'job-state')),
    item('job-state-reasons', 'keyword', ...job.reasons),
    item('job-k-octets', 'integer', job.kOctets),
    item('time-at-creation', 'integer', now - job.ageSeconds),
    processing === undefined
      ? item('time-at-processing', 'no-value')
      : item('time-at-processing', 'integer', now - processing),
    item('time-at-completed', 'no-value'),
    item('job-printer-up-time', 'integer', now),
    ...(job.holdUntil ? [item('job-hold-until', 'keyword', job.holdUntil)] : []),
  ];
}

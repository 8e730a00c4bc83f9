import { type HostJob, type HostPort, type HostQueue, isDenied, type PrintHostReport } from '../../model/print-host.js';
import { listOf } from '../../printhost/history.js';
import type { ReportRecord } from '../../printhost/report.js';
import { type Asking, type QueueAce, readSddl, rightOf, sameAccount } from '../../printhost/sddl.js';
import { jobStatus, queueStatus } from '../../printhost/status.js';
import { type JobLanguage, languageOfWord } from '../../wire/job/languages.js';
import { readDevice } from '../device-uri.js';
import type { Asked } from '../fact.js';
import type { JobFact } from '../jobs.js';
import type { HostDriverFact, QueueFact, RightsFact } from '../queue-fact.js';
import { driverProblem } from './drivers.js';

/**
 * Queues of a Windows print host, in the same form as those asked over IPP, so that one judge serves both. Where a printer
 * is asked about, only the queues that lead to it or bear its name; else all.
 */
export function queuesOfReport({ id, report }: ReportRecord, asked: Asked): readonly QueueFact[] {
  const queues = listOf(report.queues).map((queue) => queueFact(queue, report, asked, id));
  const about = asked.address === null && isWholeHost(asked, report) ? null : asked;
  return about === null ? queues : queues.filter((queue) => concerns(queue, about));
}

/** The report itself is what was asked about. */
function isWholeHost(asked: Asked, report: PrintHostReport): boolean {
  return asked.target === report.host;
}

function concerns(queue: QueueFact, asked: Asked): boolean {
  return queue.device?.leadsHere === true || queue.name.toLowerCase() === asked.target.toLowerCase();
}

/** JSON may hold half of a character, which has no octets. */
function encoded(name: string): string {
  return encodeURIComponent(name.replace(/\p{Cs}/gu, '\ufffd'));
}

/** A name for a queue that has no URI: the form under which Windows hosts share them. */
export function hostQueueUri(host: string, queue: string): string {
  return `smb://${encoded(host)}/${encoded(queue)}`;
}

function queueFact(queue: HostQueue, report: PrintHostReport, asked: Asked, id: string): QueueFact {
  const uri = hostQueueUri(report.host, queue.name);
  const status = queueStatus(queue.status, queue.offline);
  const jobs = listOf(report.jobs)
    .filter((job) => job.queue.toLowerCase() === queue.name.toLowerCase())
    .map((job) => jobFact(job, Date.parse(report.madeAt)));
  const device = readDevice(deviceUriOf(queue, listOf(report.ports)), uri, asked);
  const down = !isDenied(report.spooler) && !/^running$/i.test(report.spooler.state);
  return {
    uri,
    name: queue.name,
    server: report.host,
    read: {
      result: down ? 'no-connection' : 'ok',
      code: isDenied(report.spooler) ? 'report' : report.spooler.state,
      uri,
      user: asked.user ?? null,
      evidence: [id],
    },
    validate: null,
    ...status,
    message: null,
    device,
    refusesUser: rightsOf(queue, report, asked.user)?.print === 'refused',
    wantsSignIn: false,
    formats: [],
    jobs: jobs.filter((job) => job.state !== 'completed'),
    ended: jobs.filter((job) => job.state === 'completed'),
    members: [],
    errorPolicy: null,
    operations: [],
    driver: driverOf(queue, report),
    rights: rightsOf(queue, report, asked.user),
    evidence: { read: id, jobs: isDenied(report.jobs) ? [] : [id], device: device === null ? [] : [id] },
  };
}

/** The port as a device URI; null for a port that leads to no network printer. */
function deviceUriOf(queue: HostQueue, ports: readonly HostPort[]): string | null {
  const port = ports.find((one) => one.name.toLowerCase() === queue.portName.toLowerCase());
  if (port === undefined || port.hostAddress === null || port.hostAddress === '') return null;
  const host = port.hostAddress.includes(':') ? `[${port.hostAddress}]` : port.hostAddress;
  if (port.protocol === 'lpr') return `lpd://${host}/${encoded(port.lprQueue ?? '')}`;
  return `socket://${host}:${port.portNumber ?? 9100}`;
}

function jobFact(job: HostJob, now: number): JobFact {
  const submitted = job.submittedAt === null ? null : Date.parse(job.submittedAt);
  const waited = submitted === null ? null : Math.max(0, Math.round((now - submitted) / 1000));
  const status = jobStatus(job.status);
  return {
    id: job.id,
    ...status,
    name: job.document,
    user: job.user,
    kOctets: job.bytes === null ? null : Math.ceil(job.bytes / 1024),
    format: job.datatype,
    message: null,
    waitingSeconds: waited,
    // A report tells when a job came, not when its turn did: for the head of the queue the two are taken as one.
    processingSeconds: status.state === 'processing' ? waited : null,
    endedSeconds: null,
    durationSeconds: null,
    media: null,
    impressions: job.pages,
    createdAt: submitted === null ? null : new Date(submitted).toISOString(),
  };
}

function rightsOf(queue: HostQueue, report: PrintHostReport, user: string | undefined): RightsFact | null {
  if (user === undefined || isDenied(queue.permissions)) return null;
  const aces = readSddl(queue.permissions.sddl);
  if (aces === undefined) return null;
  return rights(aces, { user, names: queue.permissions.names, groups: groupsOf(report, user) });
}

/** Groups are known of the account alone that made the report. */
function groupsOf({ ranAs }: PrintHostReport, user: string): readonly string[] | null {
  return sameAccount(ranAs.user, user) && ranAs.groups.length > 0 ? ranAs.groups : null;
}

function rights(aces: readonly QueueAce[], asking: Asking): RightsFact {
  return {
    user: asking.user,
    print: rightOf(aces, 'print', asking),
    manageDocuments: rightOf(aces, 'manage documents', asking),
    managePrinter: rightOf(aces, 'manage printer', asking),
  };
}

function driverOf(queue: HostQueue, report: PrintHostReport): HostDriverFact {
  return { name: queue.driverName, language: languageOf(queue.driverName), ...driverProblem(queue, report) };
}

/** Words of a driver's name, singly and in pairs: "PCL 6" is one language, "PS" another. */
function languageOf(name: string): JobLanguage | null {
  const words = name.split(/[\s()/,_-]+/).filter((word) => word !== '');
  const pairs = words.slice(1).map((word, i) => `${words[i]} ${word}`);
  for (const word of [...pairs, ...words]) {
    const language = languageOfWord(word);
    if (language !== undefined) return language;
  }
  return null;
}

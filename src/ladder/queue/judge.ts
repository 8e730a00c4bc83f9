import type { Facts } from '../../facts/facts.js';
import type { IppResult } from '../../facts/ipp.js';
import type { QueueFact } from '../../facts/queues.js';
import type { Certainty, Finding, LayerJudgement } from '../../model/layers.js';
import { crashFindings, driverFindings, refusedDrivers } from './host.js';
import { lpdFindings, lpdRuns } from './lpd.js';
import { pausedHow } from './paused.js';
import { stuckFinding } from './stuck.js';
import { unreadWords } from './unread.js';

type Needs = Pick<Facts, 'queues' | 'condition' | 'life' | 'lpd' | 'printHost'>;

const UNREAD: Partial<Record<IppResult, readonly [cause: string, certainty: Certainty]>> = {
  'no-connection': ['spooler-down', 'sure'],
  silent: ['spooler-down', 'likely'],
  garbled: ['spooler-down', 'likely'],
  'path-unknown': ['queue-absent', 'sure'],
};

const detailOf = (queue: QueueFact): Record<string, string> => ({
  queue: queue.name,
  uri: queue.uri,
  ...(queue.message ? { said: queue.message } : {}),
});

function finding(queue: QueueFact, cause: string, certainty: Certainty, more?: Partial<Finding>): Finding {
  return {
    cause,
    severity: 'fault',
    certainty,
    component: queue.name,
    detail: detailOf(queue),
    evidence: [queue.evidence.read],
    ...more,
  };
}

function elsewhere(queue: QueueFact): Finding[] {
  const device = queue.device;
  if (device?.leadsHere !== false) return [];
  const detail = {
    ...detailOf(queue),
    other: device.host ?? device.uri,
    ...(device.wanted === null ? {} : { expected: device.wanted }),
  };
  return [
    finding(queue, 'queue-points-elsewhere', 'sure', { detail, evidence: [queue.evidence.read, ...device.evidence] }),
  ];
}

/**
 * A Windows host keeps the jobs of a printer that its port counts as offline, which it does as well where status questions over
 * SNMP stay unanswered (common practice, no published source). Of a printer that is silent or stopped it is right.
 */
function countedOffline(queue: QueueFact, { condition, life }: Needs): Finding[] {
  const ofHost = queue.driver !== null;
  if (!ofHost || queue.state !== 'idle' || !queue.reasons.includes('offline')) return [];
  if (condition?.stopped === true || life?.alive === false) return [];
  const detail = { ...detailOf(queue), how: 'counts its printer as offline' };
  return [finding(queue, 'queue-paused', 'likely', { detail })];
}

/** A server error for a plain reading (HTTP 5xx) comes from a spooler that is there and does not work. */
function broken({ read }: QueueFact): readonly [cause: string, certainty: Certainty] | undefined {
  return read.result === 'http-error' && /^HTTP 5/.test(read.code) ? ['spooler-down', 'likely'] : undefined;
}

/** Findings of one queue, the one that must be mended first in front. */
function judgeQueue(queue: QueueFact, facts: Needs): Finding[] {
  const unread = UNREAD[queue.read.result] ?? broken(queue);
  if (unread) return [finding(queue, unread[0], unread[1], { detail: { ...detailOf(queue), code: queue.read.code } })];
  const stopped = queue.state === 'stopped' || queue.reasons.includes('paused');
  return [
    ...(stopped
      ? [finding(queue, 'queue-paused', 'sure', { detail: { ...detailOf(queue), how: pausedHow(queue) } })]
      : []),
    ...countedOffline(queue, facts),
    ...(queue.accepting === false ? [finding(queue, 'queue-rejecting', 'sure')] : []),
    ...driverFindings(queue),
    ...elsewhere(queue),
    ...stuckFinding(queue, facts),
  ];
}

/** Queue: the spoolers between the people and the printer, and line printer daemons where one was named. */
export function judge(facts: Needs): LayerJudgement {
  const { queues, lpd, printHost } = facts;
  if (!queues && !lpd && !printHost)
    return { findings: [], clearedBy: [], summary: 'No print queue is known; name one with --queue.' };
  const findings = [
    ...(queues ?? []).flatMap((queue) => judgeQueue(queue, facts)),
    ...(lpd ?? []).flatMap(lpdFindings),
    ...(printHost ? [...crashFindings(printHost), ...refusedDrivers(printHost)] : []),
  ];
  const well = (queues ?? []).filter((q) => q.read.result === 'ok' && q.state !== null && q.state !== 'stopped');
  const running = (lpd ?? []).filter(lpdRuns);
  const names = [...well, ...running].map((q) => q.name);
  const runs = names.length > 0 ? `Queue ${names.join(', ')} runs.` : undefined;
  const summary = [runs, unreadWords(queues ?? [])].filter((words) => words !== undefined).join(' ');
  return {
    findings,
    clearedBy: [...well.map((q) => q.evidence.read), ...running.flatMap((q) => q.evidence)],
    summary: summary === '' ? 'No queue could be read.' : summary,
  };
}

import type { Facts } from '../facts/facts.js';
import type { QueueFact } from '../facts/queues.js';
import { LADDER } from '../ladder/ladder.js';
import { type Finding, LAYERS, type LayerId } from '../model/layers.js';
import type { QueueFinding } from '../model/queue.js';
import type { WhyDocument } from '../model/why.js';
import { nextOf, summaryOf } from './words.js';

/** The layers that a queue may be stopped at. */
const OF_A_QUEUE: readonly LayerId[] = ['access', 'language', 'queue', 'job'];

/**
 * What blocks one queue, by the ladder's own judges: they are given this queue alone, with what is known of the printer
 * behind it. A crashing print service stops all queues of its host; its suspected job and a refused driver concern their own.
 */
export function queueFindings(queue: QueueFact, facts: Facts): readonly QueueFinding[] {
  const own: Facts = { ...facts, queues: [queue], lpd: undefined, jobFile: undefined, ownJobs: undefined };
  return OF_A_QUEUE.flatMap((id) => {
    const layer = LADDER.find((one) => one.id === id);
    const findings = layer?.judge(own).findings ?? [];
    return findings
      .filter((finding) => concerns(id, finding, queue))
      .map((finding) => placed(id, finding, layer?.causes[finding.cause]));
  });
}

function concerns(layer: LayerId, { severity, cause, detail }: Finding, queue: QueueFact): boolean {
  // The printer's own warnings and its SNMP credentials are no matter of a queue.
  if (layer !== 'queue' && layer !== 'job') return severity === 'fault';
  if (cause === 'driver-rights') return detail?.driver === undefined || detail.driver === queue.driver?.name;
  return detail?.queue === undefined || detail.queue === queue.name;
}

function placed(layer: LayerId, finding: Finding, cause: Parameters<typeof summaryOf>[0]): QueueFinding {
  const job = layer === 'queue' || layer === 'job' ? finding.detail?.job : undefined;
  return {
    layer,
    cause: finding.cause,
    certainty: finding.certainty,
    severity: finding.severity,
    job: job !== undefined && /^\d{1,9}$/.test(job) ? Number(job) : null,
    summary: summaryOf(cause, finding),
    next: nextOf(cause),
  };
}

/**
 * What stops the printer itself, out of the verdict on it: a queue before it goes nowhere either. From the language on the
 * queue's own findings tell, as does the access. A best guess is nothing to hold against a queue.
 */
export function printerFinding({ silent, verdict }: Pick<WhyDocument, 'silent' | 'verdict'>): QueueFinding | null {
  const { layer, cause, certainty, summary, next } = verdict;
  const below = LAYERS.indexOf(layer) < LAYERS.indexOf('language') && layer !== 'access';
  return silent === true && below && certainty !== 'possible'
    ? { layer, cause, certainty, severity: 'fault', job: null, summary, next }
    : null;
}

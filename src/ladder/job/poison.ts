import type { PrintHostFact } from '../../facts/print-host/print-host.js';
import type { Finding } from '../../model/layers.js';
import { accusedWords } from '../../queues/words.js';
import { isLooping } from '../queue/host.js';

/**
 * A job or a document that was in progress at crash after crash. Certain it can't be: whatever begins each time at the same
 * moment looks the same; so it is set aside, and the service shows whether it was that.
 */
export function poisonFindings(host: PrintHostFact): Finding[] {
  const { crashes } = host;
  if (!crashes?.accused || !['job', 'document'].includes(crashes.accused.kind)) return [];
  const { job } = crashes.accused;
  return [
    {
      cause: 'poison-job',
      severity: isLooping(host) ? 'fault' : 'warning',
      certainty: 'likely',
      component: `job ${job.id}`,
      detail: {
        job: String(job.id),
        suspect: accusedWords(crashes.accused),
        times: `${crashes.explains} of ${crashes.crashes.length}`,
        ...(job.user === null ? {} : { user: job.user }),
        ...(job.queue === null ? {} : { queue: job.queue }),
      },
      evidence: host.evidence,
    },
  ];
}

import type { Facts } from '../facts/facts.js';
import type { IppStep } from '../facts/ipp.js';
import type { QueueFact } from '../facts/queues.js';
import type { RouteStep, RouteTest } from '../model/queue.js';

/**
 * Where a job of this user stops, without a sheet of paper: Validate-Job was asked of the printer itself and of the queue.
 * What the queue says of itself counts more than its answer to the test.
 */
export function routeTest(queue: QueueFact, { ipp }: Pick<Facts, 'ipp'>, user: string | null): RouteTest | null {
  // A printer that could not even be read was asked nothing further: that is its answer.
  const direct = stepOf(ipp?.validate ?? (ipp && ipp.read.result !== 'ok' ? ipp.read : null));
  const through = ownRefusal(queue) ?? stepOf(queue.validate);
  if (direct === null && through === null) return null;
  const stopsAt = placeOf(direct, through);
  return { user, direct, throughQueue: through, stopsAt, summary: summaryOf(direct, through, stopsAt) };
}

/** A spooler was seen to pass the test for a user on its list of those refused and for a queue that takes no jobs at all. */
function ownRefusal({ refusesUser, accepting }: QueueFact): RouteStep | null {
  if (accepting === false) return { taken: false, code: 'the queue takes no jobs' };
  return refusesUser ? { taken: false, code: 'the queue refuses this user' } : null;
}

/** Not supported means that it could not be tried, not that it was refused. */
function stepOf(step: IppStep | null): RouteStep | null {
  if (step === null) return null;
  const open = step.result === 'not-supported' || step.result === 'version-refused';
  return { taken: open ? null : step.result === 'ok', code: step.code };
}

function placeOf(direct: RouteStep | null, through: RouteStep | null): RouteTest['stopsAt'] {
  if (through?.taken === false) return 'queue';
  if (direct?.taken === false) return 'printer';
  return through?.taken === true && direct?.taken === true ? 'nowhere' : null;
}

function summaryOf(direct: RouteStep | null, through: RouteStep | null, stopsAt: RouteTest['stopsAt']): string {
  const own =
    direct?.taken === true ? 'the printer itself would take it' : 'whether the printer itself would is not known';
  if (stopsAt === 'nowhere') return 'The queue and the printer itself would both take a job.';
  if (stopsAt === 'queue')
    return `The queue takes no job (${through?.code}); ${direct?.taken === false ? 'nor does the printer itself' : own}.`;
  if (stopsAt === 'printer') {
    const queue = through?.taken === true ? 'The queue takes a job, and the printer' : 'The printer';
    return `${queue} refuses it (${direct?.code}): it would stop on the way between them.`;
  }
  return through?.taken === true
    ? 'The queue would take a job; the printer itself could not be asked.'
    : 'Neither way could be tried to its end.';
}

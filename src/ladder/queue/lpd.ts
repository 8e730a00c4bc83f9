import type { LpdFact } from '../../facts/lpd.js';
import type { Finding } from '../../model/layers.js';

/**
 * What a line printer daemon says of a queue. RFC 1179 leaves its words free, so a reading of them is never more than
 * likely.
 */
export function lpdFindings({ name, uri, state, evidence }: LpdFact): Finding[] {
  if (state === null) return [];
  const said = state.status[0];
  const detail = { queue: name, uri, ...(said === undefined ? {} : { said }) };
  const finding = (cause: string): Finding => ({
    cause,
    severity: 'fault',
    certainty: 'likely',
    component: name,
    detail,
    evidence,
  });
  if (state.unknownQueue) return [finding('queue-absent')];
  return [...(state.stopped ? [finding('queue-paused')] : []), ...(state.closed ? [finding('queue-rejecting')] : [])];
}

/** A queue that its daemon describes without saying anything bad of it. */
export function lpdRuns(fact: LpdFact): boolean {
  return fact.state !== null && (fact.state.empty || fact.state.jobs.length > 0) && lpdFindings(fact).length === 0;
}

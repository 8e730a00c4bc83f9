import type { Store } from '../../store/store.js';
import type { Agent } from '../agent.js';
import { type Answer, type Asked, notAllowed, problem, type Route } from '../outside/http/answer.js';

const ACKNOWLEDGE = /^\/api\/v1\/incidents\/([^/]{1,300})\/acknowledge$/;
const LONGEST_NOTE = 1_000;

/** What may be done through the API, besides looking at a printer. Whatever it makes the agent do stays within its configuration. */
export function actionRoute(
  agent: Pick<Agent, 'sweepSoon'>,
  store: Pick<Store, 'acknowledge'>,
  now: () => number,
): Route {
  return async (asked) => {
    const [, id] = ACKNOWLEDGE.exec(asked.path) ?? [];
    if (id === undefined && asked.path !== '/api/v1/sweep') return undefined;
    if (asked.method !== 'POST') return notAllowed('POST');
    if (id !== undefined) return acknowledge(id, asked, store, now());
    agent.sweepSoon();
    return { status: 202, body: '' };
  };
}

async function acknowledge(
  encoded: string,
  { form }: Asked,
  store: Pick<Store, 'acknowledge'>,
  now: number,
): Promise<Answer> {
  const note = form?.get('note')?.trim().slice(0, LONGEST_NOTE) ?? '';
  try {
    const known = await store.acknowledge(decodeURIComponent(encoded), now, note === '' ? null : note);
    return known ? { status: 204, body: '' } : problem(404, 'There is no incident of this id.');
  } catch (error) {
    if (error instanceof URIError) return problem(404, 'There is no incident of this id.');
    return problem(503, 'The store can not be written just now.');
  }
}

import { INCIDENTS_SCHEMA, type IncidentsDocument } from '../model/incident.js';
import type { Store } from '../store/store.js';
import type { Agent } from './agent.js';
import { type Answer, notAllowed, problem, type Route } from './outside/http/answer.js';
import { reliabilityOf } from './reliability.js';

const MOST_INCIDENTS = 1_000;
/** Reliability is told of the last three months. */
const RELIABILITY_MS = 90 * 24 * 3_600_000;
const MOST_COUNTED = 20_000;

/** Health and readiness, for supervisors: alive while the loop turns, ready while what is seen can be written. */
export function healthRoute(agent: Agent): Route {
  return async ({ path }) => {
    if (path === '/healthz') return agent.alive ? plain(200, 'alive\n') : plain(503, 'the loop stands still\n');
    if (path !== '/readyz') return undefined;
    const troubles = agent.troubles();
    return troubles.length === 0 ? plain(200, 'ready\n') : plain(503, `${troubles.join('\n')}\n`);
  };
}

/** The printers and incidents of the API. */
export function listRoute(agent: Agent, store: Store): Route {
  return async ({ path, method, query }) => {
    if (path !== '/api/v1/printers' && path !== '/api/v1/incidents') return undefined;
    if (method !== 'GET') return notAllowed('GET');
    if (path === '/api/v1/printers') return { status: 200, body: agent.printersDocument() };
    try {
      const open = query.get('open') === 'true';
      const printer = query.get('printer');
      const incidents = await store.incidents({
        open,
        limit: MOST_INCIDENTS,
        ...(printer === null ? {} : { printer }),
      });
      const reliability = await reliabilityNow(store);
      const document: IncidentsDocument = { schema: INCIDENTS_SCHEMA, incidents, reliability };
      return { status: 200, body: document };
    } catch {
      return problem(503, 'The store can not be read just now.');
    }
  };
}

async function reliabilityNow(store: Store) {
  const to = Date.now();
  const from = to - RELIABILITY_MS;
  const watched = [...(await store.firstSeen())].map(([printer, since]) => ({ printer, since }));
  return reliabilityOf(watched, await store.incidents({ since: from, limit: MOST_COUNTED }), { from, to });
}

function plain(status: number, body: string): Answer {
  return { status, body };
}

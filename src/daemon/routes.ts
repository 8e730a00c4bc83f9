import type { Agent } from './agent.js';
import { type Answer, notAllowed, type Route } from './outside/http/answer.js';

/** Health and readiness, for supervisors: alive while the loop turns, ready while what is seen can be written. */
export function healthRoute(agent: Agent): Route {
  return async ({ path, method }) => {
    if (path !== '/healthz' && path !== '/readyz') return undefined;
    if (method !== 'GET') return notAllowed('GET');
    if (path === '/healthz') return agent.alive ? plain(200, 'alive\n') : plain(503, 'the loop stands still\n');
    const troubles = agent.troubles();
    return troubles.length === 0 ? plain(200, 'ready\n') : plain(503, `${troubles.join('\n')}\n`);
  };
}

function plain(status: number, body: string): Answer {
  return { status, body };
}

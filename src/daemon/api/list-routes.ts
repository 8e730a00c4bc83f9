import type { PrintersDocument } from '../../model/agent.js';
import { INCIDENTS_SCHEMA, type IncidentsDocument, type Reliability } from '../../model/incident.js';
import type { Store } from '../../store/store.js';
import type { Agent } from '../agent.js';
import { held } from '../held.js';
import { type Answer, type Asked, notAllowed, problem, type Route } from '../outside/http/answer.js';
import { siteReliability } from '../site-reliability.js';
import { FOREIGN_CURSOR, linkToNext, MOST_ON_PAGE, readPage } from './pages.js';

/** Far below the time in which a change is told. */
const PRINTERS_HOLD_MS = 250;

/** The printers and incidents of the API, whole or in parts. */
export function listRoute(agent: Pick<Agent, 'printersDocument'>, store: Store, now: () => number): Route {
  const reliability = siteReliability(store, now);
  // Many who ask at the same moment get the same document, so that it is written down once.
  const printers = held(async () => agent.printersDocument(), PRINTERS_HOLD_MS);
  return async (asked) => {
    const { path, method } = asked;
    if (path !== '/api/v1/printers' && path !== '/api/v1/incidents') return undefined;
    if (method !== 'GET') return notAllowed('GET');
    if (path === '/api/v1/printers') return printersNow(await printers(), asked);
    try {
      return await incidentsNow(store, reliability, asked);
    } catch {
      return problem(503, 'The store can not be read just now.');
    }
  };
}

function printersNow(document: PrintersDocument, asked: Asked): Answer {
  const page = readPage(asked, 1);
  if ('status' in page) return page;
  const { limit, after } = page;
  if (limit === null && after === null) return { status: 200, body: document };
  const [name] = after ?? [];
  const rest = name === undefined ? document.printers : document.printers.filter((one) => one.name > name);
  const printers = limit === null ? rest : rest.slice(0, limit);
  const next = printers.length < rest.length ? [printers.at(-1)?.name ?? ''] : null;
  return { status: 200, body: { ...document, printers }, headers: linkToNext(asked, next) };
}

async function incidentsNow(
  store: Store,
  reliability: () => Promise<readonly Reliability[]>,
  asked: Asked,
): Promise<Answer> {
  const page = readPage(asked, 2);
  if ('status' in page) return page;
  const { limit, after } = page;
  const [startedAt, id] = after ?? [];
  if (startedAt !== undefined && !Number.isSafeInteger(Number(startedAt))) return FOREIGN_CURSOR;
  const printer = asked.query.get('printer');
  const { incidents, last } = await store.incidentPage({
    open: asked.query.get('open') === 'true',
    limit: limit ?? MOST_ON_PAGE,
    ...(printer === null ? {} : { printer }),
    ...(startedAt === undefined || id === undefined ? {} : { after: { startedAt: Number(startedAt), id } }),
  });
  const document: IncidentsDocument = {
    schema: INCIDENTS_SCHEMA,
    incidents,
    ...(after === null ? { reliability: await reliability() } : {}),
  };
  const next = last === null ? null : [String(last.startedAt), last.id];
  return { status: 200, body: document, headers: linkToNext(asked, next) };
}

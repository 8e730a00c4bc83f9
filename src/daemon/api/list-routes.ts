import type { PrintersDocument } from '../../model/agent.js';
import { INCIDENTS_SCHEMA, type IncidentsDocument, type Reliability } from '../../model/incident.js';
import type { Store } from '../../store/store.js';
import type { Agent } from '../agent.js';
import { type Answer, type Asked, notAllowed, problem, type Route } from '../outside/http/answer.js';
import { reliabilityOf } from '../reliability.js';
import { linkToNext, MOST_ON_PAGE, readPage } from './pages.js';

/** Reliability is told of the last three months. */
const RELIABILITY_MS = 90 * 24 * 3_600_000;
const MOST_COUNTED = 20_000;
/** Three months look the same for so long. */
const RELIABILITY_HOLDS_MS = 60_000;
/** Far below the time in which a change is told. */
const PRINTERS_HOLD_MS = 250;

/** The printers and incidents of the API, whole or in parts. */
export function listRoute(agent: Agent, store: Store): Route {
  const reliability = heldReliability(store);
  const printers = heldPrinters(agent);
  return async (asked) => {
    const { path, method } = asked;
    if (path !== '/api/v1/printers' && path !== '/api/v1/incidents') return undefined;
    if (method !== 'GET') return notAllowed('GET');
    if (path === '/api/v1/printers') return printersNow(printers(), asked);
    try {
      return await incidentsNow(store, reliability, asked);
    } catch {
      return problem(503, 'The store can not be read just now.');
    }
  };
}

/** Many who ask at the same moment get the same document, so that it is written down once. */
function heldPrinters(agent: Agent): () => PrintersDocument {
  let current: { readonly document: PrintersDocument; readonly until: number } | undefined;
  return () => {
    if (current === undefined || performance.now() > current.until) {
      current = { document: agent.printersDocument(), until: performance.now() + PRINTERS_HOLD_MS };
    }
    return current.document;
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

/** Counted over thousands of incidents, so not for everybody who asks. */
function heldReliability(store: Store): () => Promise<readonly Reliability[]> {
  let current: { readonly outcome: Promise<readonly Reliability[]>; readonly until: number } | undefined;
  return () => {
    if (current === undefined || performance.now() > current.until) {
      const outcome = reliabilityNow(store);
      current = { outcome, until: performance.now() + RELIABILITY_HOLDS_MS };
      outcome.catch(() => {
        current = undefined;
      });
    }
    return current.outcome;
  };
}

async function reliabilityNow(store: Store): Promise<readonly Reliability[]> {
  const to = Date.now();
  const from = to - RELIABILITY_MS;
  const watched = [...(await store.firstSeen())].map(([printer, since]) => ({ printer, since }));
  return reliabilityOf(watched, await store.incidents({ since: from, limit: MOST_COUNTED }), { from, to });
}

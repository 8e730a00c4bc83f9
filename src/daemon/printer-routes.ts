import type { EventDocument } from '../model/event.js';
import type { WhyDocument } from '../model/why.js';
import type { Agent } from './agent.js';
import type { LatestReadings } from './latest.js';
import { type Answer, notAllowed, problem, type Route } from './outside/http/answer.js';
import type { ReadPrinter } from './reading.js';
import type { Watched } from './watch.js';

const PRINTER = /^\/api\/v1\/printers\/([^/]+)(\/why)?$/;
/** A line that says nothing, so that whoever stands between does not take the silence for an end (WHATWG HTML 9.2.7). */
const KEEP_ALIVE_MS = 15_000;

/** One printer: what it said last, why it is silent; POST to the latter asks anew. */
export function printerRoute(agent: Agent, latest: LatestReadings, read: ReadPrinter): Route {
  const askAnew = asker(latest, read);
  return async ({ path, method }) => {
    const [, encoded, why] = PRINTER.exec(path) ?? [];
    if (encoded === undefined) return undefined;
    const watched = watchedAs(agent, encoded);
    if (watched === undefined) return problem(404, 'No printer of this name is watched.');
    if (method === 'POST' && why !== undefined) {
      return { status: 200, body: await askAnew(watched) };
    }
    if (method !== 'GET') return why === undefined ? notAllowed('GET') : notAllowed('GET', 'POST');
    return answerOf(watched.name, latest, why !== undefined);
  };
}

export function watchedAs(agent: Agent, encoded: string): Watched | undefined {
  try {
    const name = decodeURIComponent(encoded);
    return agent.watch.printers().find(({ watched }) => watched.name === name)?.watched;
  } catch {
    return undefined;
  }
}

/** Only what is watched is asked: no address comes from outside. Two who ask at the same time share the answer. */
export function asker(latest: LatestReadings, read: ReadPrinter): (watched: Watched) => Promise<WhyDocument> {
  const asking = new Map<string, Promise<WhyDocument>>();
  const askAnew = async ({ name, target }: Watched): Promise<WhyDocument> => {
    const reading = await read(target, 'usual');
    latest.take(name, reading);
    return reading.why;
  };
  return (watched) => {
    const asked = asking.get(watched.name) ?? askAnew(watched).finally(() => asking.delete(watched.name));
    asking.set(watched.name, asked);
    return asked;
  };
}

function answerOf(name: string, latest: LatestReadings, why: boolean): Answer {
  const known = latest.of(name);
  if (known === undefined) return problem(503, 'This printer has not been read yet; ask again in a moment.');
  if (why) return { status: 200, body: known.why };
  return known.document === null
    ? problem(404, 'This printer has said nothing of itself since the agent began; "why" tells more.')
    : { status: 200, body: known.document };
}

/**
 * Events as they come, as server-sent events (WHATWG HTML 9.2): each with its id, its kind and its document. Who comes back with the id
 * of the last one (`Last-Event-ID`) gets those in between; an event `gap` says that some may be missing, so that all is to be read anew. With
 * `looks=true` also `look`: the newest look at a printer differs from the one before, whether or not that becomes an event.
 */
export function eventsRoute(latest: LatestReadings): Route {
  return async ({ path, method, query, lastEventId }) => {
    if (path !== '/api/v1/events') return undefined;
    if (method !== 'GET') return notAllowed('GET');
    return {
      status: 200,
      type: 'text/event-stream',
      body: ': from now on\n\n',
      more: (say, gone) => {
        const beat = setInterval(() => say(':\n\n'), KEEP_ALIVE_MS);
        gone.addEventListener('abort', () => clearInterval(beat), { once: true });
        // Looked up only now, so that nothing falls between what was missed and what is heard.
        const missed = missedBy(lastEventId, latest);
        if (missed !== '') say(missed);
        latest.listen((event) => {
          say(inLines(event));
        }, gone);
        if (query.get('looks') !== 'true') return;
        latest.listenToChanges((printer) => say(`event: look\ndata: ${JSON.stringify({ printer })}\n\n`), gone);
      },
    };
  };
}

function missedBy(lastEventId: string, latest: LatestReadings): string {
  if (lastEventId === '') return '';
  return latest.since(lastEventId)?.map(inLines).join('') ?? 'event: gap\ndata: {}\n\n';
}

function inLines(event: EventDocument): string {
  return `id: ${event.id}\nevent: ${event.kind}\ndata: ${JSON.stringify(event)}\n\n`;
}

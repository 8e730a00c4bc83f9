import { randomBytes } from 'node:crypto';
import type { Forecast, SuppliesDocument } from '../model/supplies.js';
import { askPage } from '../page/ask.js';
import { clockIn } from '../page/clock.js';
import { defectsPage } from '../page/defects.js';
import type { Frame } from '../page/frame.js';
import { incidentsPage } from '../page/incidents.js';
import { overviewPage } from '../page/overview.js';
import { readListQuery } from '../page/overview-query.js';
import { printerPage } from '../page/printer.js';
import { suppliesPage } from '../page/supplies.js';
import { troublePage } from '../page/trouble.js';
import { printerHref } from '../page/view.js';
import { ENGLISH } from '../page/words.js';
import type { Store } from '../store/store.js';
import type { Agent } from './agent.js';
import type { LatestReadings } from './latest.js';
import { type Answer, type Asked, notAllowed, type Route, seeOther } from './outside/http/answer.js';
import { incidentsModel, pastOf, viewOf, viewsOf } from './page-models.js';
import { asker, watchedAs } from './printer-routes.js';
import type { ReadPrinter } from './reading.js';
import { siteReliability } from './site-reliability.js';
import type { Watched } from './watch.js';

/** What a page is told beside what the agent itself knows. */
export interface PageParts {
  readonly agent: Agent;
  readonly latest: LatestReadings;
  readonly store: Store;
  readonly read: ReadPrinter;
  readonly now: () => number;
  readonly site: () => PageSite;
  /** Of the whole site; null while nothing is written. */
  readonly supplies: () => Promise<SuppliesDocument | null>;
  /** Of one printer. */
  readonly forecasts: (printer: string) => Promise<readonly Forecast[]>;
  readonly assets: Frame['assets'];
}

export interface PageSite {
  readonly name: string;
  /** IANA name; undefined: this machine's own. */
  readonly timezone: string | undefined;
  /** Printer → how many people print there. */
  readonly people: ReadonlyMap<string, number>;
}

const HTML = 'text/html; charset=utf-8';
const WORDS = ENGLISH;
const LONGEST_NOTE = 500;
/** Far below the time in which a change is told. */
const OVERVIEW_HOLDS_MS = 200;
const MOST_OVERVIEWS = 32;
/** Stands for the token of the forms where it is not known yet. Random: no printer can write it into its own texts. */
const ANY_TOKEN = randomBytes(24).toString('base64url');

/** The page: `/` and what hangs on it. To be tried last: a browser that asks for what is not there gets a page too. */
export function pageRoute(parts: PageParts): Route {
  const pages = new Pages(parts);
  return async (asked) => {
    if (asked.path.startsWith('/api/')) return undefined;
    return asked.method === 'GET' ? pages.show(asked) : asked.method === 'POST' ? pages.act(asked) : undefined;
  };
}

const PRINTER = /^\/printers\/([^/]+)(?:\/(ask|read))?$/;
const ACKNOWLEDGE = /^\/incidents\/([^/]{1,200})\/acknowledge$/;

/** A page as octets, cut where each one's own token goes: to write a long text down takes longer than to draw it. */
interface Drawn {
  readonly pieces: readonly Buffer[];
  readonly until: number;
}

class Pages {
  private readonly askAnew: ReturnType<typeof asker>;
  private readonly reliability: ReturnType<typeof siteReliability>;
  private readonly overviews = new Map<string, Drawn>();
  private clock: { readonly timezone: string | undefined; readonly at: ReturnType<typeof clockIn> } | undefined;

  constructor(private readonly parts: PageParts) {
    this.askAnew = asker(parts.latest, parts.read);
    this.reliability = siteReliability(parts.store, parts.now);
  }

  async show(asked: Asked): Promise<Answer | undefined> {
    const { path, query } = asked;
    const frame = this.frame(asked);
    if (path === '/') return html(this.overviewFor(query, frame));
    if (path === '/incidents') return html(incidentsPage(await this.incidents(frame), frame));
    if (path === '/supplies') return html(suppliesPage(await this.parts.supplies().catch(() => null), frame));
    if (path === '/defects') return html(defectsPage(this.defects(query), frame));
    const [, encoded, what] = PRINTER.exec(path) ?? [];
    if (encoded !== undefined && what !== 'read') return this.printer(encoded, what === 'ask', asked, frame);
    if (path === '/sweep' || what === 'read' || ACKNOWLEDGE.test(path)) return notAllowed('POST');
    return asked.accept.includes('text/html') ? missing(frame, WORDS.trouble.nothing) : undefined;
  }

  private incidents({ clock }: Frame) {
    const { store, latest } = this.parts;
    return incidentsModel(store, latest, this.reliability, clock.now);
  }

  /** What people may do here. Each ends at a page. */
  async act(asked: Asked): Promise<Answer | undefined> {
    const { path } = asked;
    if (path === '/sweep') return this.sweep();
    const [, incident] = ACKNOWLEDGE.exec(path) ?? [];
    if (incident !== undefined) return this.acknowledge(incident, asked);
    const [, encoded, what] = PRINTER.exec(path) ?? [];
    if (encoded === undefined || what === undefined) return undefined;
    const watched = watchedAs(this.parts.agent, encoded);
    return watched === undefined
      ? missing(this.frame(asked), WORDS.trouble.notWatched)
      : this.readNow(watched, what === 'ask');
  }

  private frame(asked: Asked): Frame {
    const { site, now, assets } = this.parts;
    const { name, timezone } = site();
    return {
      words: WORDS,
      clock: this.clockIn(timezone)(now()),
      site: name,
      assets,
      csrf: asked.csrf,
      ...(asked.signedIn ? { signOut: '/sign-out' } : {}),
    };
  }

  private clockIn(timezone: string | undefined): ReturnType<typeof clockIn> {
    if (this.clock === undefined || this.clock.timezone !== timezone) {
      this.clock = { timezone, at: clockIn(timezone, WORDS) };
    }
    return this.clock.at;
  }

  /** Drawn once for all who look at the same list at the same moment; only the token of the forms is each one's own. */
  private overviewFor(query: URLSearchParams, frame: Frame): string | Buffer {
    if (frame.csrf === '') return overviewPage(this.overview(query), frame);
    const key = `${frame.signOut ?? ''} ${query}`;
    const held = this.overviews.get(key);
    if (held !== undefined && performance.now() < held.until) return filled(held, frame.csrf);
    if (this.overviews.size >= MOST_OVERVIEWS) this.overviews.clear();
    const page = overviewPage(this.overview(query), { ...frame, csrf: ANY_TOKEN });
    const pieces = page.split(ANY_TOKEN).map((piece) => Buffer.from(piece));
    // From here on: a slow machine may take longer to draw it than it is held.
    const drawn = { pieces, until: performance.now() + OVERVIEW_HOLDS_MS };
    this.overviews.set(key, drawn);
    return filled(drawn, frame.csrf);
  }

  private overview(query: URLSearchParams) {
    const { agent, latest, site } = this.parts;
    return {
      printers: viewsOf(agent, latest, site().people),
      query: readListQuery(query),
      sweep: agent.sweepState(),
    };
  }

  private defects(query: URLSearchParams) {
    const { agent, latest, site } = this.parts;
    const names = agent.watch.printers().map(({ watched }) => watched.name);
    const wanted = query.get('printer') ?? '';
    const view = names.includes(wanted) ? viewOf(agent, latest, wanted, site().people) : null;
    return { query, view, printers: names.sort() };
  }

  private async printer(encoded: string, ask: boolean, { query }: Asked, frame: Frame): Promise<Answer> {
    const { agent, latest, site, store, forecasts } = this.parts;
    const name = watchedAs(agent, encoded)?.name;
    const view = name === undefined ? null : viewOf(agent, latest, name, site().people);
    if (view === null) return missing(frame, WORDS.trouble.notWatched);
    if (ask) return html(askPage(view, query, frame));
    const past = await pastOf(store, view.name, frame.clock.now);
    return html(printerPage({ view, past, forecasts: await forecasts(view.name).catch(() => []) }, frame));
  }

  private sweep(): Answer {
    this.parts.agent.sweepSoon();
    return seeOther('/');
  }

  private async acknowledge(encoded: string, asked: Asked): Promise<Answer> {
    const { store, now } = this.parts;
    const note = (asked.form?.get('note') ?? '').trim().slice(0, LONGEST_NOTE);
    const id = decoded(encoded);
    const found = await store.acknowledge(id, now(), note === '' ? null : note).catch(() => null);
    if (found === null) return trouble(503, this.frame(asked), WORDS.incidents.away);
    if (!found) return missing(this.frame(asked), WORDS.incidents.unknown);
    return seeOther('/incidents');
  }

  /** Looks at once and shows what came of it; the watch takes a look of its own into account. */
  private async readNow(watched: Watched, ask: boolean): Promise<Answer> {
    await this.askAnew(watched);
    this.parts.agent.watch.wake(watched.name);
    return seeOther(`${printerHref(watched.name)}${ask ? '/ask' : ''}`);
  }
}

function filled({ pieces }: Drawn, token: string): Buffer {
  const own = Buffer.from(token);
  return Buffer.concat(pieces.flatMap((piece, at) => (at === 0 ? [piece] : [own, piece])));
}

function html(body: string | Buffer, status = 200): Answer {
  return { status, body, type: HTML };
}

function missing(frame: Frame, sentence: string): Answer {
  return html(troublePage(WORDS.trouble.titles[404] ?? '', sentence, frame), 404);
}

function trouble(status: number, frame: Frame, sentence: string): Answer {
  return html(troublePage(WORDS.trouble.title, sentence, frame), status);
}

function decoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}

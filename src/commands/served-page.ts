import { createHash } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import type { Config } from '../config/config.js';
import { held } from '../daemon/held.js';
import { notAllowed, type RefusedPage, type Route, type SignInForm } from '../daemon/outside/http/answer.js';
import { type PageParts, pageRoute } from '../daemon/page-routes.js';
import { suppliesDocument } from '../forecast/site.js';
import type { Forecast } from '../model/supplies.js';
import { refusedPage } from '../page/refused.js';
import { signInPage } from '../page/sign-in.js';
import { ENGLISH } from '../page/words.js';
import { SKETCH_CSS } from '../render/defect-css.js';
import { SITE_CSS } from '../render/site-css.js';
import { storeHistory } from '../store/history.js';
import type { Store } from '../store/store.js';
import { forecastOptions, type RouteParts, rememberedForecast } from './agent-routes.js';

/** Folder of the style sheet and the script that come with the program. */
const ASSETS = fileURLToPath(new URL('../../shared/page/', import.meta.url));
/** Forecasts move by the hour. */
const FORECAST_HOLDS_MS = 60_000;
const YEAR_SECONDS = 31_536_000;

export interface ServedPage {
  readonly routes: readonly Route[];
  /** Paths that say nothing of printers. */
  readonly open: readonly string[];
  readonly signInPage: (form: SignInForm) => string;
  readonly refusedPage: RefusedPage;
}

type Given = Pick<PageParts, 'agent' | 'latest' | 'store' | 'read'> & Pick<RouteParts, 'config' | 'io'>;

/** The page with its style sheet and script, which are named by their content and so may be kept for ever. */
export async function servedPage({ config, io, store, ...given }: Given): Promise<ServedPage> {
  const style = asset('page.css', await servedStyle());
  const script = asset('page.js', await readFile(`${ASSETS}page.js`, 'utf8'));
  const assets = { style: style.path, script: script.path };
  const supplies = held(() => rememberedForecast({ config, io }), FORECAST_HOLDS_MS);
  const now = (): number => io.now().getTime();
  const forecasts = (printer: string) => forecastsOf(printer, store, config(), now());
  const page = pageRoute({ ...given, store, now, assets, supplies, forecasts, site: () => siteOf(config()) });
  const open = [style.path, script.path];
  const routes = [style.route, script.route, page];
  return {
    routes,
    open,
    signInPage: (form) => signInPage(form, style.path, ENGLISH),
    refusedPage: (refused) => refusedPage(refused, style.path, ENGLISH),
  };
}

/** The style sheet: the snapshot's, the drawings', the page's own. */
export async function servedStyle(): Promise<string> {
  return `${SITE_CSS}${SKETCH_CSS}${await readFile(`${ASSETS}page.css`, 'utf8')}`;
}

interface Asset {
  readonly path: string;
  readonly route: Route;
}

const TYPES: Readonly<Record<string, string>> = {
  css: 'text/css; charset=utf-8',
  js: 'text/javascript; charset=utf-8',
};

function asset(name: string, body: string): Asset {
  const [base, ending = ''] = name.split('.');
  const path = `/assets/${base}.${createHash('sha256').update(body).digest('hex').slice(0, 12)}.${ending}`;
  const type = TYPES[ending] ?? 'text/plain; charset=utf-8';
  const headers = { 'Cache-Control': `public, max-age=${YEAR_SECONDS}, immutable` };
  return {
    path,
    route: async (asked) => {
      if (asked.path !== path) return undefined;
      return asked.method === 'GET' ? { status: 200, body, type, headers } : notAllowed('GET');
    },
  };
}

function siteOf({ site, printers }: Config) {
  const people = printers.flatMap(({ name, people: number }) =>
    number === undefined ? [] : [[name, number] as const],
  );
  return { name: site.name ?? 'Printers', timezone: site.timezone, people: new Map(people) };
}

/** One printer's own past, not the whole site's. */
async function forecastsOf(printer: string, store: Store, site: Config, now: number): Promise<readonly Forecast[]> {
  const history = storeHistory({
    levels: (since) => store.levels(since, printer),
    models: () => store.models(),
    counts: (since) => store.counts(since, printer),
    answers: () => store.answers(),
  });
  return suppliesDocument(await history.supplies(now, [printer]), await forecastOptions(site, now)).forecasts;
}

import type { Config } from '../config/config.js';
import { held } from '../daemon/held.js';
import { type Answer, notAllowed, problem, type Route } from '../daemon/outside/http/answer.js';
import { type SiteOptions, suppliesDocument } from '../forecast/site.js';
import { ProgramProblem } from '../model/problem.js';
import { snapshotFolderName } from '../snapshot/file-names.js';
import type { Io } from './io.js';
import { modelSupplies } from './model-files.js';
import type { CommonOptions } from './options.js';
import { queueDocument } from './queue.js';
import { archiveOf, takeSnapshot } from './snapshot.js';
import { targetsForSnapshot } from './snapshot-targets.js';
import { USUAL_SUPPLIES } from './supplies-options.js';
import { rememberedSupplies } from './supplies-past.js';

/** What the routes that need a whole command stand on. `config` gives the configuration that holds now. */
export interface RouteParts {
  readonly config: () => Config;
  readonly options: CommonOptions;
  readonly io: Io;
}

/** Everybody who asks within this time gets the same answer: printers and spoolers are not asked more often. */
const ASKED_MS = 15_000;
/** The same where only the store is read. */
const READ_MS = 1_000;

/** Supplies, queues and the snapshot of the API. */
export function commandRoutes(parts: RouteParts): readonly Route[] {
  const serve = (path: string, holdsMs: number, make: () => Promise<Answer>): Route => {
    const shared = held(() => make().catch(sorry), holdsMs);
    return async (asked) => {
      if (asked.path !== path) return undefined;
      if (asked.method !== 'GET') return notAllowed('GET');
      // Whoever asks for a snapshot without names must not be given one with them.
      const [unknown] = asked.query.keys();
      if (unknown !== undefined)
        return problem(400, `This address takes no parameters, so not "${unknown.slice(0, 60)}" either.`);
      return shared();
    };
  };
  return [
    serve('/api/v1/supplies', READ_MS, () => suppliesNow(parts)),
    serve('/api/v1/queues', ASKED_MS, () => queuesNow(parts)),
    serve('/api/v1/snapshot', ASKED_MS, () => snapshotNow(parts)),
  ];
}

function sorry(error: unknown): Answer {
  if (error instanceof ProgramProblem) return problem(503, error.message);
  throw error;
}

async function suppliesNow(parts: RouteParts): Promise<Answer> {
  const document = await rememberedForecast(parts);
  if (document === null) return problem(503, 'The agent has written nothing yet; ask again in a moment.');
  return { status: 200, body: document };
}

/** What the agent's memory lets foresee of the whole site; null while nothing is written. */
export async function rememberedForecast({ config, io }: Pick<RouteParts, 'config' | 'io'>) {
  const site = config();
  const asOf = io.now().getTime();
  const past = await rememberedSupplies(site, io, asOf);
  if (past === undefined) return null;
  return suppliesDocument(past.histories, await forecastOptions(site, asOf), undefined, [], past.feeding);
}

export async function forecastOptions(site: Config, asOf: number): Promise<SiteOptions> {
  const { timezone } = site.site;
  const models = await modelSupplies(site);
  return { ...USUAL_SUPPLIES, asOf, models, ...(timezone === undefined ? {} : { timezone }) };
}

async function queuesNow({ options, io }: RouteParts): Promise<Answer> {
  const { document } = await queueDocument({ targets: [], options: quietly(options), files: {} }, io);
  return { status: 200, body: document };
}

async function snapshotNow({ config, options, io }: RouteParts): Promise<Answer> {
  const site = config();
  const targets = await targetsForSnapshot([], quietly(options), site, io);
  if (targets.length === 0) return problem(404, 'No printer is configured, and none was found.');
  const taken = await takeSnapshot(targets, quietly(options), site, io);
  const { timezone } = site.site;
  const name = snapshotFolderName(taken.snapshot.site, taken.snapshot.madeAt, timezone);
  return {
    status: 200,
    body: Buffer.from(await archiveOf(taken, timezone)),
    type: 'application/zip',
    headers: { 'Content-Disposition': `attachment; filename="${name}.zip"` },
  };
}

function quietly(options: CommonOptions): CommonOptions {
  return { ...options, quiet: true, json: true };
}

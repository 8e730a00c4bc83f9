import type { KeptIncident, Reliability } from '../model/incident.js';
import type { IncidentsModel } from '../page/incidents.js';
import type { PrinterPast } from '../page/past.js';
import type { PrinterView } from '../page/view.js';
import type { Store } from '../store/store.js';
import type { Agent } from './agent.js';
import type { LatestReadings } from './latest.js';

const SHOWN_MS = 90 * 24 * 3_600_000;
const MOST_INCIDENTS = 2_000;
/** What was known from the start is no change. */
const BEGINNING_MS = 3_600_000;

type People = ReadonlyMap<string, number>;
type WatchedPrinter = ReturnType<Agent['watch']['printers']>[number];

/** Every watched printer as the page shows it. */
export function viewsOf(agent: Agent, latest: LatestReadings, people: People): readonly PrinterView[] {
  return agent.watch.printers().map((printer) => view(printer, latest, people));
}

export function viewOf(agent: Agent, latest: LatestReadings, name: string, people: People): PrinterView | null {
  const found = agent.watch.printers().find(({ watched }) => watched.name === name);
  return found === undefined ? null : view(found, latest, people);
}

function view({ watched, track, lastAnswerAt }: WatchedPrinter, latest: LatestReadings, people: People): PrinterView {
  const { name, target } = watched;
  const reading = latest.of(name);
  const { confirmed, since } = track;
  return {
    name,
    address: target.host,
    why: reading?.why ?? null,
    bundle: reading?.bundle ?? null,
    document: reading?.document ?? null,
    known: confirmed === null ? null : { ...confirmed, since: since === 0 ? null : since },
    lastAnswerAt,
    people: people.get(name) ?? null,
  };
}

/** What the store remembers of one printer; null when it can't be read. */
export async function pastOf(store: Store, name: string, now: number): Promise<PrinterPast | null> {
  try {
    const past = await store.past(name);
    const incidents = await store.incidents({ printer: name, since: now - SHOWN_MS, limit: MOST_INCIDENTS });
    const firstSeen = past?.firstSeen ?? null;
    const changes = (past?.identities ?? [])
      .filter(({ firstAt }) => firstAt > (firstSeen ?? 0) + BEGINNING_MS)
      .map(({ kind, value, firstAt }) => ({ kind, value, at: firstAt }));
    return { firstSeen, incidents, verdicts: past?.verdicts ?? [], changes };
  } catch {
    return null;
  }
}

/** Incidents of the last three months and how reliable the printers were; null when the store can't be read. */
export async function incidentsModel(
  store: Pick<Store, 'incidents'>,
  latest: Pick<LatestReadings, 'of'>,
  reliability: () => Promise<readonly Reliability[]>,
  now: number,
): Promise<IncidentsModel | null> {
  try {
    const incidents = await store.incidents({ since: now - SHOWN_MS, limit: MOST_INCIDENTS });
    return { incidents, reliability: await reliability(), said: (one) => saidOf(one, latest) };
  } catch {
    return null;
  }
}

/** The memory keeps which cause it was, the last look also which job, which port and which serial number. */
function saidOf({ printer, layer, cause, component }: KeptIncident, latest: Pick<LatestReadings, 'of'>): string | null {
  const verdict = latest.of(printer)?.why.verdict;
  const same = verdict?.layer === layer && verdict.cause === cause && (verdict.component ?? null) === component;
  return same ? verdict.summary : null;
}

import type { Config } from '../config/config.js';
import { type Count, wearOf } from '../forecast/wear.js';
import type { PastAlert, SupplyHistory } from '../model/history.js';
import type { KeptIncident } from '../model/incident.js';
import type { FeedingFaults } from '../model/supplies.js';
import { storeHistory } from '../store/history.js';
import { askStoreThatIs } from './agent-store.js';
import type { Io } from './io.js';

/** What an agent remembers of a site's supplies, trays and faults. */
export interface SuppliesPast {
  readonly histories: readonly SupplyHistory[];
  readonly feeding: readonly FeedingFaults[];
  /** Of the last three months, newest first. */
  readonly incidents: readonly KeptIncident[];
}

const INCIDENTS_MS = 90 * 86_400_000;
const MOST_INCIDENTS = 2_000;

/** Reads the configuration's store, up to `until`; undefined where there is none. ProgramProblem when it can't be read. */
export async function rememberedSupplies(config: Config, io: Io, until: number): Promise<SuppliesPast | undefined> {
  return askStoreThatIs(config, io, async (store) => {
    const histories = await storeHistory(store).supplies(until);
    const alerts: readonly PastAlert[] = (await store.alerts(0)).filter(({ at }) => at <= until);
    const counts: readonly Count[] = await store.counts(0);
    const incidents = await store.incidents({ since: until - INCIDENTS_MS, limit: MOST_INCIDENTS });
    return { histories, feeding: wearOf(alerts, counts, until), incidents };
  });
}

/**
 * The past with what was seen just now at its end: the same supply of the same printer. Of each pair, the history that was made
 * and the look that it ends with. What only one of the two knows stands for itself.
 */
export function withLooks(
  past: readonly SupplyHistory[],
  looks: readonly SupplyHistory[],
): readonly { readonly history: SupplyHistory; readonly look: SupplyHistory | undefined }[] {
  const key = ({ printer, supply }: SupplyHistory): string => `${printer.toLowerCase()} ${supply.index} ${supply.type}`;
  const open = new Map(looks.map((look) => [key(look), look]));
  const known = past.map((history) => {
    const look = open.get(key(history));
    open.delete(key(history));
    if (look === undefined) return { history, look };
    const model = look.model ?? history.model;
    return { history: { ...look, model, readings: [...history.readings, ...look.readings] }, look };
  });
  return [...known, ...[...open.values()].map((look) => ({ history: look, look }))];
}

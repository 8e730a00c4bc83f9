import type { KeptIncident } from '../model/incident.js';
import type { Store } from '../store/store.js';
import type { MailedEvent } from './mail-text.js';
import type { Message } from './teller.js';

const LOOKED_AT = 50;

/**
 * Adds to each fault whether it has happened before, and what helped then. A store that can't be read adds nothing. `dateOf` says a
 * date as the site's people do.
 */
export function timesBefore(
  store: Pick<Store, 'incidents'>,
  dateOf: (at: string) => string,
): (message: Message) => Promise<readonly MailedEvent[]> {
  return ({ events }) =>
    Promise.all(
      events.map(async (event): Promise<MailedEvent> => {
        if (event.kind !== 'fault' || event.cause === null) return { event, before: null };
        const { printer, cause } = event;
        const known = await store.incidents({ printer, cause, limit: LOOKED_AT }).catch(() => []);
        const earlier = known.filter(({ startedAt }) => startedAt < event.at);
        return { event, before: wordsOf(earlier, dateOf) };
      }),
    );
}

/** One sentence about earlier incidents, newest first; null without any. */
function wordsOf(earlier: readonly KeptIncident[], dateOf: (at: string) => string): string | null {
  const [last] = earlier;
  if (last === undefined) return null;
  const times = earlier.length === 1 ? 'once before' : `${earlier.length} times before`;
  const note = earlier.find((incident) => incident.note !== null)?.note;
  const helped = note == null ? '' : ` What helped: ${note}`;
  return `This happened ${times}, last on ${dateOf(last.startedAt)}.${helped}`;
}

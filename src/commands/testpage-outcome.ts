import type { Config } from '../config/config.js';
import type { HistoryEvidence } from '../model/evidence.js';
import type { Route, TestPageRecord, TestPageSent } from '../model/testpage.js';
import type { EvidenceBundle } from '../model/why.js';
import { openAgentStore, storeIsThere } from './agent-store.js';
import type { Io } from './io.js';

/** Asks the person at the terminal whether the page lies in the tray; null where nobody can be asked or nobody knows. */
export async function askCameOut(io: Io): Promise<boolean | null> {
  for (let tries = 0; io.ask !== undefined && tries < 3; tries++) {
    const line = await io.ask(
      'Look into the output tray: has the page come out, with print on it? y or n, Enter if nobody can see: ',
    );
    if (line === undefined || line.trim() === '') return null;
    const [, yes, no] = /^\s*(?:(y|yes)|(n|no))\s*$/i.exec(line) ?? [];
    if (yes !== undefined) return true;
    if (no !== undefined) return false;
    io.stderr('  Please y or n.\n');
  }
  return null;
}

/** What is kept of a page. One that nobody sent just now was sent before: that it was taken is a person's word. */
export function recordOf(
  {
    via,
    to,
    format,
    sent,
  }: { readonly via: Route; readonly to: string; readonly format: string; readonly sent: TestPageSent | null },
  cameOut: boolean | null,
): TestPageRecord {
  return {
    via,
    to,
    format,
    taken: sent?.taken ?? true,
    because: sent?.because ?? 'Sent before; what became of it was told afterwards.',
    jobState: sent?.job?.state ?? null,
    cameOut,
  };
}

/** The bundle with the page as one more record. */
export function withPage(bundle: EvidenceBundle, page: TestPageRecord, at: string): EvidenceBundle {
  const last = Math.max(0, ...bundle.evidence.map(({ id }) => Number(/^e(\d+)$/.exec(id)?.[1] ?? 0)));
  const record: HistoryEvidence = {
    id: `e${last + 1}`,
    source: 'history',
    what: 'test-page',
    about: 'target',
    subject: bundle.address ?? bundle.target,
    outcome: 'answered',
    value: { ...page },
    at,
    tookMs: 0,
  };
  return { ...bundle, evidence: [...bundle.evidence, record] };
}

/**
 * Puts the page down in an agent's memory, where there is one that knows the printer. True when it stands there. A memory that can't be
 * written is no reason to fail: the page is out all the same.
 */
export async function rememberPage(
  { target, address }: EvidenceBundle,
  page: TestPageRecord,
  config: Config,
  io: Io,
): Promise<boolean> {
  if (!storeIsThere(config, io)) return false;
  try {
    const store = await openAgentStore(config, io);
    try {
      const known = (await store.past(target)) !== undefined;
      const printer = known ? target : address === null ? undefined : await store.nameAt(address);
      if (printer === undefined) return false;
      await store.apply([{ kind: 'test-page', printer, at: io.now().getTime(), page }]);
      return true;
    } finally {
      await store.close();
    }
  } catch (error) {
    io.stderr(
      `The page could not be put down in the agent's memory: ${String((error as Error).message).slice(0, 300)}\n`,
    );
    return false;
  }
}

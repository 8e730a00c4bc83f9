import type { Evidence, HistoryEvidence } from '../model/evidence.js';
import type { EvidenceBundle } from '../model/why.js';
import type { Past } from './past.js';

const DAY = 86_400_000;
/** What changed is worth telling when it did so within this time before the present trouble, or before now. */
const JUST_BEFORE_MS = 7 * DAY;
const MOST = 12;
const MOST_PAGES = 3;

/**
 * Adds what was once known of a printer to what was seen of it now, as evidence like any other: the judges weigh it, a saved
 * file keeps it. Who it was before is added only when nothing says who it is now: a printer that was exchanged is no fault.
 */
export function withPast(bundle: EvidenceBundle, past: Past): EvidenceBundle {
  const now = Date.parse(bundle.askedAt);
  const taken = bundle.evidence.length;
  const more = recordsOf(bundle, past, now).filter(({ value }) => value !== null);
  const numbered = more.map(
    ({ what, value, at = bundle.askedAt }, index): HistoryEvidence => ({
      id: `e${taken + index + 1}`,
      source: 'history',
      what,
      about: 'target',
      subject: bundle.address ?? bundle.target,
      outcome: 'answered',
      value,
      at,
      tookMs: 0,
    }),
  );
  return numbered.length === 0 ? bundle : { ...bundle, evidence: [...bundle.evidence, ...numbered] };
}

interface PastRecord {
  readonly what: string;
  readonly value: Readonly<Record<string, unknown>> | null;
  /** When it was so; absent: it is known now. */
  readonly at?: string;
}

function recordsOf(bundle: EvidenceBundle, past: Past, now: number): readonly PastRecord[] {
  const bad = past.verdicts.find(({ silent }) => silent === true);
  const good = past.verdicts.find(({ silent, at }) => silent === false && (bad === undefined || at < bad.at));
  return [
    { what: 'expected', value: knowsItself(bundle.evidence) ? null : identityOf(past) },
    {
      what: 'last answer',
      value: past.lastAnswerAt === null ? null : { at: iso(past.lastAnswerAt), firstSeen: iso(past.firstSeen) },
    },
    { what: 'last good', value: good === undefined ? null : { at: iso(good.at) } },
    { what: 'starts', value: past.starts.length === 0 ? null : { starts: past.starts.slice(0, MOST).map(iso) } },
    { what: 'addresses', value: addressesOf(past) },
    { what: 'past verdicts', value: verdictsOf(past) },
    { what: 'changes', value: changesOf(past, bad?.at ?? now) },
    ...past.testPages
      .slice(0, MOST_PAGES)
      .map(({ at, page }) => ({ what: 'test-page', at: iso(at), value: { ...page } })),
  ];
}

/** The configuration has a word of its own, or the device says who it is. */
function knowsItself(evidence: readonly Evidence[]): boolean {
  return evidence.some(
    ({ source, what, outcome, about }) =>
      (source === 'history' && what === 'expected') ||
      (about === 'target' && outcome === 'answered' && ((source === 'snmp' && what !== 'session') || source === 'ipp')),
  );
}

function identityOf({ identities }: Past): PastRecord['value'] {
  const newest = (kind: string): string | undefined =>
    identities.filter((one) => one.kind === kind).sort((a, b) => b.lastAt - a.lastAt)[0]?.value;
  const entries = [
    ['serial', newest('serial')],
    ['uuid', newest('uuid')],
    ['mac', newest('mac')],
  ].filter(([, value]) => value !== undefined);
  return entries.length === 0 ? null : Object.fromEntries(entries);
}

function addressesOf({ identities }: Past): PastRecord['value'] {
  const addresses = identities
    .filter(({ kind }) => kind === 'address')
    .map(({ value, firstAt, lastAt }) => ({ address: value, from: iso(firstAt), until: iso(lastAt) }));
  return addresses.length < 2 ? null : { addresses };
}

function verdictsOf({ verdicts }: Past): PastRecord['value'] {
  const told = verdicts.slice(0, MOST).map(({ at, silent, layer, cause, component }) => ({
    at: iso(at),
    silent,
    layer,
    cause,
    ...(component === null ? {} : { component }),
  }));
  return told.length === 0 ? null : { verdicts: told };
}

/** What of its identity was new just before the trouble began. What was known from the start is no change. */
function changesOf({ identities, firstSeen }: Past, before: number): PastRecord['value'] {
  const changes = identities
    .filter(({ firstAt }) => firstAt > firstSeen + DAY / 24 && firstAt <= before && before - firstAt <= JUST_BEFORE_MS)
    .slice(0, MOST)
    .map(({ kind, value, firstAt }) => ({ what: kind, now: value, since: iso(firstAt) }));
  return changes.length === 0 ? null : { changes };
}

function iso(time: number): string {
  return new Date(time).toISOString();
}

import type { CompareDocument, ComparedFault, FixedFault } from '../model/compare.js';
import { count } from './site-words.js';

/** One thing that changed, of one printer. */
export interface ChangeRow {
  readonly printer: string;
  /** A sentence or a few words. */
  readonly says: string;
  /** In the words of the ladder, for who knows them. */
  readonly where?: string;
}

export type Tone = 'bad' | 'good' | 'open' | 'plain';

export interface ChangeSection {
  readonly title: string;
  readonly tone: Tone;
  readonly rows: readonly ChangeRow[];
}

/** Everything that changed, what broke first; parts without anything in them are left out. */
export function changeSections(document: CompareDocument): readonly ChangeSection[] {
  const { fixed, still, unclear, replaced, moved, appeared, gone, pages, notLookedAt = [] } = document;
  const { broken, unwatched } = brokenOf(document);
  const all: readonly ChangeSection[] = [
    { title: 'Broken since', tone: 'bad', rows: broken.map(faultRow) },
    { title: 'Still not right', tone: 'bad', rows: still.map(faultRow) },
    { title: 'Not right, and not in the older snapshot', tone: 'bad', rows: unwatched.map(faultRow) },
    { title: 'Fixed', tone: 'good', rows: fixed.map((fault) => fixedRow(fault, document.days)) },
    { title: 'Can not be told: the new snapshot does not show it', tone: 'open', rows: unclear.map(faultRow) },
    {
      title: 'Exchanged or refilled',
      tone: 'plain',
      rows: replaced.map(({ printer, what }) => ({ printer, says: what })),
    },
    {
      title: 'At another address',
      tone: 'plain',
      rows: moved.map(({ printer, from, to }) => ({ printer, says: `${from} before, ${to} now` })),
    },
    { title: 'New here', tone: 'plain', rows: appeared.map((printer) => ({ printer, says: '' })) },
    { title: 'No longer here', tone: 'plain', rows: gone.map((printer) => ({ printer, says: '' })) },
    {
      title: 'Not compared: one of the two was made of printers that were named, without these',
      tone: 'open',
      rows: notLookedAt.map((printer) => ({ printer, says: '' })),
    },
    {
      title: 'Pages printed',
      tone: 'plain',
      rows: pages.flatMap(({ printer, printed }) => (printed > 0 ? [{ printer, says: String(printed) }] : [])),
    },
  ];
  return all.filter(({ rows }) => rows.length > 0);
}

/** "Harbour annex, 2026-01-31 09:00 and 2026-02-14 16:20 (14 days): 1 fixed, 0 broken, 2 still not right." */
export function changeHeadline(document: CompareDocument): string {
  const { old, new: now, days, fixed, still, unclear } = document;
  const { broken, unwatched } = brokenOf(document);
  const dates = `${dateOf(old.madeAt)} and ${dateOf(now.madeAt)}${days >= 1 ? ` (${daysWords(days)})` : ''}`;
  const sites = old.site === now.site ? now.site : `${old.site} and ${now.site}, two different sites`;
  const open = unclear.length === 0 ? '' : `, ${unclear.length} can not be told`;
  const added = unwatched.length === 0 ? '' : `, ${unwatched.length} not looked at before`;
  return `${sites}, ${dates}: ${fixed.length} fixed, ${broken.length} broken, ${still.length} still not right${added}${open}.`;
}

/** A fault of a printer that nobody looked at before may be older than both. */
function brokenOf({ broken, notLookedAt = [] }: CompareDocument) {
  const [unwatched, since] = [true, false].map((unseen) =>
    broken.filter(({ printer }) => notLookedAt.includes(printer) === unseen),
  );
  return { broken: since ?? [], unwatched: unwatched ?? [] };
}

/** "2026-01-31 09:00" in UTC. */
export function dateOf(time: string): string {
  return time.slice(0, 16).replace('T', ' ');
}

function daysWords(days: number): string {
  return count(Math.floor(days), 'day');
}

function faultRow({ printer, layer, cause, component, summary }: ComparedFault): ChangeRow {
  const where = `${layer}: ${cause}${component === null ? '' : ` (${component})`}`;
  return summary === undefined || summary === '' ? { printer, says: where } : { printer, says: summary, where };
}

function fixedRow(fault: FixedFault, days: number): ChangeRow {
  const row = faultRow(fault);
  const says = `${heldWords(fault, days)} ${row.says}`;
  return { ...row, says: `${says.charAt(0).toUpperCase()}${says.slice(1)}` };
}

/** What an agent saw is told as seen; without one only the two looks are known. */
function heldWords({ endedAt, heldDays, cameBack }: FixedFault, days: number): string {
  if (endedAt === undefined || endedAt === null) {
    return days >= 1
      ? `Over when looked again ${daysWords(days)} later; nobody watched in between. It was:`
      : 'Over now. It was:';
  }
  const held = (heldDays ?? 0) >= 1 ? `Held for ${daysWords(heldDays ?? 0)}` : 'Over';
  const again = (cameBack ?? 0) > 0 ? ` after it came back ${count(cameBack ?? 0, 'time')}` : '';
  return `${held}${again}, since ${dateOf(endedAt)}. It was:`;
}

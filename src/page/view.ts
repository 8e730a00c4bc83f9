import type { LayerId } from '../model/layers.js';
import type { PrinterDocument } from '../model/printer.js';
import type { EvidenceBundle, WhyDocument } from '../model/why.js';

/** One watched printer, as the agent knows it. Times are milliseconds since 1970. */
export interface PrinterView {
  readonly name: string;
  readonly address: string;
  /** The newest look and its evidence; null before the first one. */
  readonly why: WhyDocument | null;
  readonly bundle: EvidenceBundle | null;
  /** Its last words. */
  readonly document: PrinterDocument | null;
  /** What holds since it was seen twice, or is remembered from before; null when nothing is. */
  readonly known: Known | null;
  readonly lastAnswerAt: number | null;
  /** How many people print there, where the configuration says so. */
  readonly people: number | null;
}

export interface Known {
  readonly silent: boolean | null;
  readonly layer: LayerId;
  readonly cause: string;
  readonly summary: string;
  readonly since: number | null;
}

const RANKS = ['silent', 'unclear', 'remark', 'well'] as const;
export type Rank = (typeof RANKS)[number];
export const ALL_RANKS: readonly Rank[] = RANKS;

/** True: silent. False: it can print. Null: not known. The newest look decides, before it what is remembered. */
export function silentOf({ why, known }: Pick<PrinterView, 'why' | 'known'>): boolean | null {
  return why === null ? (known?.silent ?? null) : why.silent;
}

export function rankOf(view: PrinterView): Rank {
  const silent = silentOf(view);
  if (silent === true) return 'silent';
  if (silent === null) return 'unclear';
  return (view.why?.warnings.length ?? 0) + (view.why?.others.length ?? 0) > 0 ? 'remark' : 'well';
}

/** True when the newest look found something else than what is known for sure: seen once, to be confirmed. */
export function isFresh({ why, known }: PrinterView): boolean {
  if (why === null || known === null || why.silent === null) return false;
  return why.silent !== known.silent || (why.silent && why.verdict.cause !== known.cause);
}

/** Worst first: by rank, then by how many people print there, then what happened last; the rest by name. */
export function worstFirst(views: readonly PrinterView[]): readonly PrinterView[] {
  const rank = new Map(views.map((view) => [view, RANKS.indexOf(rankOf(view))]));
  const urgent = (view: PrinterView): boolean => (rank.get(view) ?? 0) < 2;
  return [...views].sort((a, b) => {
    const byRank = (rank.get(a) ?? 0) - (rank.get(b) ?? 0);
    if (byRank !== 0) return byRank;
    const byPeople = (b.people ?? 0) - (a.people ?? 0);
    if (byPeople !== 0 && urgent(a)) return byPeople;
    const byTime = (b.known?.since ?? 0) - (a.known?.since ?? 0);
    if (byTime !== 0 && urgent(a)) return byTime;
    return a.name < b.name ? -1 : a.name > b.name ? 1 : 0;
  });
}

/** What the finding box looks at: every word must be in one of the printer's own words. */
export function matches(view: PrinterView, text: string): boolean {
  const words = text
    .toLowerCase()
    .split(/\s+/)
    .filter((word) => word !== '');
  if (words.length === 0) return true;
  const { why, document, known } = view;
  const own = [
    view.name,
    view.address,
    document?.identity.model ?? why?.printer.model,
    document?.identity.location,
    document?.identity.serial ?? why?.printer.serial,
    why?.verdict.summary ?? known?.summary,
    why?.verdict.cause ?? known?.cause,
    ...(why?.warnings ?? []).map(({ summary }) => summary),
  ]
    .filter((part) => part !== null && part !== undefined)
    .join('\n')
    .toLowerCase();
  return words.every((word) => own.includes(word));
}

/** Address of a printer's own page. */
export function printerHref(name: string): string {
  return `/printers/${encodeURIComponent(name)}`;
}

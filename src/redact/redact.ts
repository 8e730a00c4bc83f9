import type { EvidenceBundle } from '../model/why.js';
import { StandIns } from './stand-ins.js';
import { TextRedactor } from './text.js';
import { redacted } from './walk.js';

/** Everything that a snapshot is made of and that can tell of somebody. */
export interface Tellable<Past> {
  /** Name of the site; null when it has none. */
  readonly site: string | null;
  readonly bundles: readonly EvidenceBundle[];
  /** What is remembered of each, in the order of the bundles. */
  readonly past: readonly Past[];
  /** Target → how many people print there. */
  readonly people: Readonly<Record<string, number>>;
}

export interface Redaction<Past> {
  readonly hidden: Tellable<Past>;
  /** Knows what was hidden; nothing of it may be written down. */
  readonly redactor: TextRedactor;
}

/** Which of these words the program itself uses. */
export type OrdinaryWords = (words: readonly string[]) => Promise<ReadonlySet<string>>;

/**
 * Hides who and where in all that a snapshot is made of, before anything is judged or rendered: whatever comes of it holds
 * stand-ins only.
 */
export async function redact<Past>(all: Tellable<Past>, ordinary: OrdinaryWords): Promise<Redaction<Past>> {
  const standIns = new StandIns();
  const redactor = new TextRedactor(standIns);
  // Twice: a name that the last printer tells of may stand in the words of the first.
  passOver(all, redactor);
  redactor.learnt(await ordinary(standIns.hidden().flatMap(({ spellings }) => spellings)));
  standIns.settle();
  return { hidden: passOver(all, redactor), redactor };
}

function passOver<Past>({ site, bundles, past, people }: Tellable<Past>, redactor: TextRedactor): Tellable<Past> {
  const names = bundles.map(({ target }) => redacted(target, redactor, 'target'));
  return {
    site: site === null ? null : redactor.whole('site', site),
    bundles: bundles.map((bundle, i) => ({ ...redacted(bundle, redactor), target: names[i] ?? '' })),
    past: redacted(past, redactor),
    people: Object.fromEntries(
      Object.entries(people).map(([name, count]) => [redacted(name, redactor, 'target'), count]),
    ),
  };
}

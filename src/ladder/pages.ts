import type { Facts } from '../facts/facts.js';
import type { Finding, LayerId, LayerJudgement } from '../model/layers.js';

/** What pages show of a layer. One that another device took, or said that it printed, shows nothing of this printer. */
export function withPages(
  judgement: LayerJudgement,
  id: LayerId,
  pages: Facts['pages'],
  stranger: boolean,
): { readonly judgement: LayerJudgement; readonly seenBy: readonly string[] } {
  const about = pages.filter(({ layers }) => layers.includes(id));
  const seenBy = about.filter(({ by }) => by === 'seen').flatMap(({ evidence }) => evidence);
  const told = about.filter(({ by }) => by !== 'seen' && !stranger).flatMap(({ evidence }) => evidence);
  const nothingElse = judgement.findings.length === 0 && judgement.clearedBy.length === 0;
  const summary =
    nothingElse && seenBy.length + told.length > 0 ? PAGE_SUMMARY[seenBy.length > 0 ? 'seen' : 'told'] : undefined;
  return {
    judgement: {
      ...judgement,
      findings: WAY_IN.has(id) ? judgement.findings.map((finding) => doubted(finding, about)) : judgement.findings,
      clearedBy: [...new Set([...judgement.clearedBy, ...told])],
      ...(summary === undefined ? {} : { summary }),
    },
    seenBy,
  };
}

/** Layers of the way in, where silence is what faults are known by. */
const WAY_IN: ReadonlySet<LayerId> = new Set(['power', 'link', 'port', 'protocol', 'access']);

/** What looked shut from here before a page went the same way is no longer sure to be; where the page came out, it stops nothing. */
function doubted(finding: Finding, pages: Facts['pages']): Finding {
  const straight = pages.filter((page) => page.straight);
  if (straight.length === 0 || finding.severity !== 'fault' || finding.certainty !== 'sure') return finding;
  const seen = straight.some(({ by }) => by === 'seen');
  return { ...finding, certainty: 'possible', severity: seen ? 'warning' : 'fault' };
}

const PAGE_SUMMARY = { seen: 'A page that came out shows it.', told: 'A page that was taken shows it.' } as const;

import { type Facts, readFacts } from '../facts/facts.js';
import { causeOf, climb, type Rung } from '../ladder/ladder.js';
import type { Finding, LayerId } from '../model/layers.js';
import {
  type Blame,
  type EvidenceBundle,
  type LayerEntry,
  type Suspect,
  type Verdict,
  WHY_SCHEMA,
  type WhyDocument,
} from '../model/why.js';
import { nextChecks } from './checks.js';
import { suspectsOf } from './suspects.js';
import { nextOf, summaryOf } from './words.js';

interface Placed {
  readonly layer: LayerId;
  readonly finding: Finding;
}

const MOST_SUSPECTS = 6;
const MOST_CHECKS = 4;
/** Layers that must be clear by evidence before "nothing wrong found" may be said. */
const MUST_BE_CLEAR: readonly LayerId[] = ['port', 'protocol', 'device'];
/** What a person's answers must come to before a suspect is called likely: common practice, no published source. */
const LIKELY = 0.75;

function place(rungs: readonly Rung[], severity: Finding['severity']): Placed[] {
  return rungs.flatMap((rung) =>
    rung.findings.filter((f) => f.severity === severity).map((finding) => ({ layer: rung.layer, finding })),
  );
}

function blame({ layer, finding }: Placed): Blame {
  return {
    layer,
    cause: finding.cause,
    certainty: finding.certainty,
    ...(finding.component === undefined ? {} : { component: finding.component }),
    summary: summaryOf(causeOf(layer, finding.cause), finding),
  };
}

function verdictOf(placed: Placed): Verdict {
  return { ...blame(placed), next: nextOf(causeOf(placed.layer, placed.finding.cause)) };
}

const provenWell = (rungs: readonly Rung[]): boolean =>
  MUST_BE_CLEAR.every((id) => (rungs.find((r) => r.layer === id)?.clearedBy.length ?? 0) > 0);

function nothingWrong(rungs: readonly Rung[]): Placed {
  const open = rungs.filter((r) => r.state === 'unknown' && !['language', 'application'].includes(r.layer));
  const evidence = rungs.filter((r) => MUST_BE_CLEAR.includes(r.layer)).flatMap((r) => r.clearedBy);
  return {
    layer: 'application',
    finding: {
      cause: 'nothing-wrong-found',
      severity: 'warning',
      certainty: open.length === 0 ? 'sure' : 'likely',
      evidence,
    },
  };
}

/** Not enough evidence: the most probable suspect stands in, never called more than likely. */
function bestGuess(suspects: readonly Suspect[]): Placed {
  const top = suspects[0] ?? { layer: 'power' as const, cause: 'no-sign-of-life', probability: 0 };
  const certainty = top.probability >= LIKELY ? 'likely' : 'possible';
  return { layer: top.layer, finding: { cause: top.cause, severity: 'fault', certainty, evidence: [] } };
}

function entryOf(rung: Rung): LayerEntry {
  const first = rung.findings.find((f) => f.severity === 'fault') ?? rung.findings[0];
  if (!first)
    return {
      layer: rung.layer,
      state: rung.state,
      summary: rung.summary,
      evidence: [...new Set([...rung.clearedBy, ...rung.seenBy])],
    };
  return {
    layer: rung.layer,
    state: rung.state,
    cause: first.cause,
    ...(first.component === undefined ? {} : { component: first.component }),
    summary: summaryOf(causeOf(rung.layer, first.cause), first),
    evidence: [...new Set(rung.findings.flatMap((f) => f.evidence))],
  };
}

interface Decision {
  readonly silent: boolean | null;
  readonly main: Placed;
  /** Findings that are no second fault beside the verdict: its own, and the one that answers moved the blame off. */
  readonly weighed: readonly Finding[];
  readonly suspects: readonly Suspect[];
}

/** A person's answers can move the blame off a finding that was not sure. */
function decideFault(main: Placed, rungs: readonly Rung[], facts: Facts): Decision {
  if (main.finding.certainty === 'sure') return { silent: true, main, weighed: [main.finding], suspects: [] };
  const suspects = suspectsOf(rungs, main, facts.operator ?? []);
  const top = suspects[0];
  const moved = top && (top.layer !== main.layer || top.cause !== main.finding.cause);
  if (!moved) return { silent: true, main, weighed: [main.finding], suspects };
  const guess = bestGuess(suspects);
  // What else was found by evidence keeps its part, its words and its certainty when the blame comes to lie on it.
  const found = place(rungs, 'fault').find((p) => p.layer === guess.layer && p.finding.cause === guess.finding.cause);
  return { silent: true, main: found ?? guess, weighed: [main.finding, (found ?? guess).finding], suspects };
}

function decide(rungs: readonly Rung[], facts: Facts): Decision {
  const first = place(rungs, 'fault')[0];
  if (first) return decideFault(first, rungs, facts);
  if (provenWell(rungs)) return { silent: false, main: nothingWrong(rungs), weighed: [], suspects: [] };
  const suspects = suspectsOf(rungs, null, facts.operator ?? []);
  return { silent: null, main: bestGuess(suspects), weighed: [], suspects };
}

function printerOf(bundle: EvidenceBundle, facts: Facts): WhyDocument['printer'] {
  const identity = facts.printer?.document.identity;
  return {
    name: identity?.name ?? null,
    address: bundle.address,
    model: identity?.model ?? null,
    serial: identity?.serial ?? null,
  };
}

const round = (s: Suspect): Suspect => ({ ...s, probability: Math.round(s.probability * 1000) / 1000 });

/**
 * Judges a bundle of evidence. Pure: the same bundle gives the same document, here or on another machine.
 */
export function judge(bundle: EvidenceBundle): WhyDocument {
  return judgeFacts(bundle, readFacts(bundle));
}

/** Judges a bundle whose facts were read already. */
export function judgeFacts(bundle: EvidenceBundle, facts: Facts): WhyDocument {
  const rungs = climb(facts);
  const { silent, main, weighed, suspects } = decide(rungs, facts);
  const faults = place(rungs, 'fault').filter((p) => !weighed.includes(p.finding));
  const answered = (facts.operator ?? []).map((a) => a.check);
  return {
    schema: WHY_SCHEMA,
    target: bundle.target,
    printer: printerOf(bundle, facts),
    askedAt: bundle.askedAt,
    tookMs: bundle.tookMs,
    silent,
    verdict: verdictOf(main),
    others: faults.map(blame),
    warnings: place(rungs, 'warning').map(blame),
    suspects: suspects.slice(0, MOST_SUSPECTS).map(round),
    checks: suspects.length > 0 ? nextChecks(suspects, answered, MOST_CHECKS) : [],
    layers: rungs.map(entryOf),
    evidence: bundle.evidence,
  };
}

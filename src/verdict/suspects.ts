import type { OperatorAnswer } from '../facts/operator.js';
import { LADDER, type Rung } from '../ladder/ladder.js';
import { likelihoodOf, OPERATOR_CHECKS } from '../ladder/likelihood.js';
import type { Certainty, Finding, LayerId, LayerState } from '../model/layers.js';
import type { Suspect } from '../model/why.js';

/** How much of its prior a cause keeps when its layer was shown clear: faults come and go, and some are not visible from here. */
const LEFT_WHEN_CLEAR = 0.02;
/** Some causes of a layer stay out of sight even when the layer was read: a driver is not visible over the network. */
const OUT_OF_SIGHT: ReadonlySet<string> = new Set(['driver-wrong-architecture', 'driver-missing', 'driver-rights']);

/** Belief in a finding by its certainty, before a person is asked: common practice, no published source. */
const BELIEF: Readonly<Record<Certainty, number>> = { sure: 0.98, likely: 0.8, possible: 0.5 };

/** That it stopped is sure, that nothing nameable stands behind it is not: the printer just did not say. */
const BARE_STOP = 'stopped';

const beliefIn = (finding: Finding): number =>
  finding.cause === BARE_STOP ? Math.min(BELIEF.possible, BELIEF[finding.certainty]) : BELIEF[finding.certainty];

interface Hypothesis {
  readonly layer: LayerId;
  readonly cause: string;
  readonly weight: number;
}

/** What lies hidden above a fault may be at fault as well, but does not explain what was seen. */
const LEFT_WHEN_HIDDEN = 0.05;

/** A stop without a reason is seen as well when paper or a supply is what is wanting: those do explain it. */
const BEHIND_A_BARE_STOP: ReadonlySet<LayerId> = new Set(['media', 'supplies']);

function priorFactor(state: LayerState, cause: string, explains: boolean): number {
  if (state === 'not-reached') return explains ? 1 : LEFT_WHEN_HIDDEN;
  return state === 'clear' && !OUT_OF_SIGHT.has(cause) ? LEFT_WHEN_CLEAR : 1;
}

/** A layer that only a page in hand shows to work counts as not read here: the answer about that page is weighed by itself. */
function stateForPrior(rung: Rung | undefined): LayerState {
  if (rung === undefined) return 'unknown';
  return rung.state === 'clear' && rung.clearedBy.length === 0 ? 'unknown' : rung.state;
}

/** Every fault cause with its prior, thinned where the layer was shown clear or lies hidden. */
function hypotheses(rungs: readonly Rung[], found: string | undefined): Hypothesis[] {
  return LADDER.flatMap(({ id, causes }) => {
    const state = stateForPrior(rungs.find((rung) => rung.layer === id));
    const explains = found === BARE_STOP && BEHIND_A_BARE_STOP.has(id);
    return Object.entries(causes)
      .filter(([cause, words]) => words.severity === 'fault' && words.prior > 0 && cause !== 'nothing-wrong-found')
      .map(([cause, words]) => ({ layer: id, cause, weight: words.prior * priorFactor(state, cause, explains) }));
  });
}

function normalise(list: readonly Hypothesis[]): Hypothesis[] {
  const sum = list.reduce((total, h) => total + h.weight, 0);
  return sum > 0 ? list.map((h) => ({ ...h, weight: h.weight / sum })) : [...list];
}

/** A finding takes its belief; all others share the rest by their priors. */
function withFinding(list: readonly Hypothesis[], layer: LayerId, finding: Finding): Hypothesis[] {
  const belief = beliefIn(finding);
  const others = normalise(list.filter((h) => h.layer !== layer || h.cause !== finding.cause));
  return [
    { layer, cause: finding.cause, weight: belief },
    ...others.map((h) => ({ ...h, weight: h.weight * (1 - belief) })),
  ];
}

/** Bayes' rule for each answer. The order of answers does not matter. */
function withAnswers(list: readonly Hypothesis[], answers: readonly OperatorAnswer[]): Hypothesis[] {
  const weighed = list.map((h) => ({
    ...h,
    weight: answers.reduce((w, a) => w * likelihoodOf(a.check, a.outcome, h.layer, h.cause), h.weight),
  }));
  return normalise(weighed);
}

/**
 * Probabilities over all causes, given what the ladder found and what a person answered. They sum to one; the most
 * probable first.
 */
export function suspectsOf(
  rungs: readonly Rung[],
  first: { readonly layer: LayerId; readonly finding: Finding } | null,
  answers: readonly OperatorAnswer[],
): readonly Suspect[] {
  const base = normalise(hypotheses(rungs, first?.finding.cause));
  const started = first ? withFinding(base, first.layer, first.finding) : base;
  const known = answers.filter((a) => OPERATOR_CHECKS.some((c) => c.id === a.check && c.outcomes.includes(a.outcome)));
  return withAnswers(started, known)
    .map(({ layer, cause, weight }) => ({ layer, cause, probability: weight }))
    .sort((a, b) => b.probability - a.probability);
}

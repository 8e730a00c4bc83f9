import { CAUSES, CHECKS, SIGNS } from '../registry/trade.generated.js';
import type { Technology, TradeCause, TradeCheck, TradeSign, TradeSymptom } from '../registry/trade.js';
import type { FoundSign, GivenAnswer, MarkEvidence } from './evidence.js';
import { chanceOf } from './symptoms.js';

/** One cause at one part, with the belief in it. */
export interface Belief {
  readonly cause: TradeCause;
  readonly part: string;
  readonly probability: number;
}

export interface Known {
  readonly technology: Technology;
  readonly symptoms: readonly TradeSymptom[];
  readonly signs: readonly FoundSign[];
  readonly answers: readonly GivenAnswer[];
  readonly marks?: MarkEvidence;
}

const SIGN_BY_NAME: ReadonlyMap<string, TradeSign> = new Map(SIGNS.map((sign) => [sign.when, sign]));
const CHECK_BY_ID: ReadonlyMap<string, TradeCheck> = new Map(CHECKS.map((check) => [check.id, check]));

/** The row of a sign; undefined for a name that no table holds. */
export function signOf(when: string): TradeSign | undefined {
  return SIGN_BY_NAME.get(when);
}

/** How many times likelier a sign is with a cause than without: 1 where the table says nothing. */
export function factorOf(when: string, causeId: string): number {
  const factors = SIGN_BY_NAME.get(when)?.factors ?? {};
  return (Object.hasOwn(factors, causeId) ? factors[causeId] : undefined) ?? 1;
}

/** Chances of a check's outcomes with a cause: its own row, else its place's, else that of all others. */
export function chancesOf(check: TradeCheck, cause: TradeCause): readonly number[] {
  const own = Object.hasOwn(check.causes, cause.id) ? check.causes[cause.id] : undefined;
  return own ?? check.places?.[cause.place] ?? check.others;
}

function answerFactor({ check: id, outcome }: GivenAnswer, cause: TradeCause): number {
  const check = CHECK_BY_ID.get(id);
  const at = check?.outcomes.indexOf(outcome) ?? -1;
  return check === undefined || at < 0 ? 1 : (chancesOf(check, cause)[at] ?? 1);
}

/** True when an answer's check has a row for this cause or its place. */
export function speaksOf({ check: id }: GivenAnswer, cause: TradeCause): boolean {
  const check = CHECK_BY_ID.get(id);
  return check !== undefined && chancesOf(check, cause) !== check.others;
}

/**
 * Bayes' rule over every cause of the technology: prior, times the chance of each symptom, the factor of each sign, the
 * chance of each answer, and what the distances of the marks say; each taken as independent once the cause is known.
 * A later answer to the same check counts in place of an earlier one. Sums to one; the most probable first.
 */
export function beliefsOf(known: Known): readonly Belief[] {
  const answers = [...new Map(known.answers.map((answer) => [answer.check, answer])).values()];
  const weighed = CAUSES.filter((cause) => cause.for.includes(known.technology)).flatMap((cause) => {
    const weight =
      cause.prior *
      product(known.symptoms.map((symptom) => chanceOf(symptom, cause))) *
      product(known.signs.map(({ when }) => factorOf(when, cause.id))) *
      product(answers.map((answer) => answerFactor(answer, cause)));
    return byPart(cause, weight, known.marks);
  });
  const total = weighed.reduce((sum, { probability }) => sum + probability, 0);
  return weighed
    .map((belief) => ({ ...belief, probability: total > 0 ? belief.probability / total : 0 }))
    .sort((a, b) => b.probability - a.probability || a.cause.id.localeCompare(b.cause.id));
}

function product(factors: readonly number[]): number {
  return factors.reduce((all, factor) => all * factor, 1);
}

/** A cause that does not turn may leave marks at some distance by chance. From memory. */
const BY_CHANCE = 0.02;
const UNLISTED = 0.3;

/** Splits a cause of a turning part among the model's parts of that kind, each weighed by what the distances say of it. */
function byPart(cause: TradeCause, weight: number, marks: MarkEvidence | undefined): readonly Belief[] {
  if (marks === undefined) return [{ cause, part: cause.part, probability: weight }];
  const kind = marks.of === 'ghost' ? cause.echoes : cause.turns;
  const sources = marks.sources.filter((source) => source.kind === kind);
  const unlisted = weight * (BY_CHANCE + UNLISTED * marks.another);
  if (sources.length === 0) return [{ cause, part: cause.part, probability: unlisted }];
  const each = weight / sources.length;
  if (marks.of === 'ghost') {
    const share = sources.reduce((sum, source) => sum + source.share, 0);
    return [{ cause, part: cause.part, probability: each * share + (unlisted * BY_CHANCE) / sources.length }];
  }
  return sources.map(({ part, share }) => ({
    cause,
    part: part?.part ?? cause.part,
    probability: each * Math.max(share, 1e-6),
  }));
}

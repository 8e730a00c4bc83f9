import type { DefectCheck } from '../model/defect.js';
import { CHECKS } from '../registry/trade.generated.js';
import type { TradeCheck } from '../registry/trade.js';
import { checkCost, informationBits, LEAST_BITS } from '../verdict/checks.js';
import { type Belief, chancesOf, type Known } from './beliefs.js';
import { cautionsOf } from './cautions.js';

/** A check that needs a trained person costs this many times its minutes. Common practice, no published source. */
const TRAINED = 3;

/** Checks that ask for what the marks have told already. */
const MEASURING: readonly string[] = ['marks-distance', 'ghost-distance'];

function cost(check: TradeCheck): number {
  return checkCost(check) * (check.cautions.includes('PERSON') ? TRAINED : 1);
}

/** The checks still worth making, by bits for a minute, sheets counted as time; the best first. */
export function nextDefectChecks(
  beliefs: readonly Belief[],
  { technology, symptoms, answers, marks }: Pick<Known, 'technology' | 'symptoms' | 'answers' | 'marks'>,
  most: number,
): readonly DefectCheck[] {
  const done = [...answers.map(({ check }) => check), ...(marks === undefined ? [] : MEASURING)];
  return CHECKS.filter(
    (check) =>
      check.for.includes(technology) &&
      !done.includes(check.id) &&
      symptoms.some(({ word }) => check.with.includes(word)),
  )
    .map((check) => ({
      check,
      bits: informationBits(
        beliefs.map(({ cause, probability }) => ({ probability, chances: chancesOf(check, cause) })),
      ),
    }))
    .filter(({ bits }) => bits >= LEAST_BITS)
    .sort((a, b) => b.bits / cost(b.check) - a.bits / cost(a.check) || a.check.id.localeCompare(b.check.id))
    .slice(0, most)
    .map(({ check, bits }) => ({
      id: check.id,
      ask: check.ask,
      minutes: check.minutes,
      bits: Math.round(bits * 1000) / 1000,
      sheets: check.sheets,
      outcomes: check.outcomes,
      cautions: cautionsOf(check.cautions, technology),
    }));
}

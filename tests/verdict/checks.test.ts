import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readFacts } from '../../src/facts/facts.js';
import type { OperatorCheck } from '../../src/ladder/checks.js';
import { causeOf, climb, LADDER } from '../../src/ladder/ladder.js';
import { likelihoodOf, OPERATOR_CHECKS } from '../../src/ladder/likelihood.js';
import type { Suspect } from '../../src/model/why.js';
import { entropy, expectedBits, nextChecks } from '../../src/verdict/checks.js';
import { suspectsOf } from '../../src/verdict/suspects.js';
import { judge } from '../../src/verdict/verdict.js';
import { bundleOf, HEALTHY, ippPrinter } from '../ladder/bundle.js';
import { REFUSED } from '../ladder/sites.js';

const RAW_ONLY = { tcp: { ...REFUSED, 9100: 'open' }, snmp: 'silent', ipp: 'refused' } as const;
const rungsOf = (site: Parameters<typeof bundleOf>[0]) => climb(readFacts(bundleOf(site)));
const answersArb = fc.uniqueArray(
  fc
    .constantFrom(...OPERATOR_CHECKS)
    .chain((c) => fc.constantFrom(...c.outcomes).map((o) => ({ check: c.id, outcome: o, id: 'e1' }))),
  { selector: (a) => a.check, maxLength: 8 },
);

describe('a stop without a reason', () => {
  const stopped = rungsOf({ ...HEALTHY, snmp: 'silent', ipp: { attributes: ippPrinter({ state: 5 }) } });
  const finding = { cause: 'stopped', severity: 'fault', certainty: 'likely', evidence: [] } as const;
  const topAfter = (...answers: readonly (readonly [check: string, outcome: string])[]) =>
    suspectsOf(
      stopped,
      { layer: 'device', finding },
      answers.map(([check, outcome]) => ({ check, outcome, id: 'e1' })),
    )[0]?.cause;

  test('is what it is until somebody looks', () => expect(topAfter()).toBe('stopped'));

  test.each([
    ['message-about', 'paper', 'media-empty'],
    ['message-about', 'cartridge', 'supply-empty'],
    ['message-about', 'jam-or-cover', 'media-jam'],
    ['covers-and-jam', 'paper-caught', 'media-jam'],
    ['covers-and-jam', 'something-open', 'cover-open'],
    ['open-tray', 'one-empty', 'media-empty'],
    ['display-text', 'paused', 'paused'],
  ])('%s answered with %s: %s', (check, outcome, cause) => expect(topAfter([check, outcome])).toBe(cause));
});

describe('entropy in bits', () => {
  // Shannon, A Mathematical Theory of Communication (1948), section 6: H(1/2, 1/3, 1/6) = H(1/2, 1/2) + 1/2 H(2/3, 1/3).
  test("Shannon's own decomposition", () => {
    const whole = entropy([1 / 2, 1 / 3, 1 / 6]);
    expect(whole).toBeCloseTo(entropy([1 / 2, 1 / 2]) + 0.5 * entropy([2 / 3, 1 / 3]), 12);
  });

  // By hand: 1/2·1 + 1/4·2 + 1/8·3 + 1/8·3 = 1.75 bits.
  test('halves, quarters and eighths', () => {
    expect(entropy([0.5, 0.25, 0.125, 0.125])).toBeCloseTo(1.75, 12);
    expect(entropy([1, 0])).toBe(0);
  });
});

describe('expected information of a check', () => {
  const check = (rows: Record<string, number[]>): OperatorCheck => ({
    id: 'panel-lit',
    ask: '?',
    minutes: 1,
    sheets: 0,
    outcomes: ['lit', 'dark'],
    likelihood: { default: [0.5, 0.5], causes: rows },
  });
  const two: Suspect[] = [
    { layer: 'power', cause: 'powered-off', probability: 0.5 },
    { layer: 'queue', cause: 'queue-paused', probability: 0.5 },
  ];

  // By hand, with the table's own chances a = P(dark | powered-off), b = P(dark | queue-paused):
  // I = H((a+b)/2) − (H(a)+H(b))/2.
  test('a binary check over two equal suspects', () => {
    const a = likelihoodOf('panel-lit', 'dark', 'power', 'powered-off');
    const b = likelihoodOf('panel-lit', 'dark', 'queue', 'queue-paused');
    const h = (p: number): number => -p * Math.log2(p) - (1 - p) * Math.log2(1 - p);
    const byHand = h((a + b) / 2) - (h(a) + h(b)) / 2;
    expect(expectedBits(check({}), two)).toBeCloseTo(byHand, 10);
    expect(byHand).toBeGreaterThan(0.7);
  });

  test('a certain suspect leaves nothing to learn', () => {
    const sure: Suspect[] = [{ layer: 'power', cause: 'powered-off', probability: 1 }];
    for (const c of OPERATOR_CHECKS) expect(expectedBits(c, sure)).toBeCloseTo(0, 10);
  });

  test('never negative, never more than the entropy of its outcomes or of the suspects', () => {
    fc.assert(
      fc.property(answersArb, fc.constantFrom(...OPERATOR_CHECKS), (answers, c) => {
        const suspects = suspectsOf(rungsOf(RAW_ONLY), null, answers);
        const bits = expectedBits(c, suspects);
        expect(bits).toBeGreaterThanOrEqual(0);
        expect(bits).toBeLessThanOrEqual(Math.log2(c.outcomes.length) + 1e-9);
        expect(bits).toBeLessThanOrEqual(entropy(suspects.map((s) => s.probability)) + 1e-9);
      }),
      { numRuns: 60 },
    );
  });

  test('best first by bits for a minute, a sheet counting as half a minute; answered ones are not asked again', () => {
    const suspects = suspectsOf(rungsOf(RAW_ONLY), null, []);
    const checks = nextChecks(suspects, ['panel-lit'], 99);
    const rate = checks.map((c) => c.bits / (c.minutes + c.sheets * 0.5));
    expect(rate).toEqual([...rate].sort((a, b) => b - a));
    expect(checks.map((c) => c.id)).not.toContain('panel-lit');
  });
});

describe('probabilities of the suspects', () => {
  test('sum to one, whatever was answered', () => {
    fc.assert(
      fc.property(answersArb, (answers) => {
        const sum = suspectsOf(rungsOf(RAW_ONLY), null, answers).reduce((t, s) => t + s.probability, 0);
        expect(sum).toBeCloseTo(1, 9);
      }),
      { numRuns: 60 },
    );
  });

  test('no answer excludes a cause', () => {
    fc.assert(
      fc.property(answersArb, (answers) => {
        expect(suspectsOf(rungsOf(RAW_ONLY), null, answers).every((s) => s.probability > 0)).toBe(true);
      }),
      { numRuns: 60 },
    );
  });

  test('the order of answers does not matter', () => {
    fc.assert(
      fc.property(
        answersArb.chain((a) => fc.shuffledSubarray(a, { minLength: a.length }).map((b) => [a, b] as const)),
        ([a, b]) => {
          const first = suspectsOf(rungsOf(RAW_ONLY), null, a);
          const byId = new Map(
            suspectsOf(rungsOf(RAW_ONLY), null, b).map((s) => [`${s.layer}/${s.cause}`, s.probability]),
          );
          for (const s of first) expect(byId.get(`${s.layer}/${s.cause}`)).toBeCloseTo(s.probability, 9);
        },
      ),
      { numRuns: 40 },
    );
  });

  // By hand, Bayes: the ratio of two posteriors is the ratio of priors times the ratio of likelihoods.
  test("Bayes' rule on one answer", () => {
    const rungs = rungsOf({ address: null });
    const ratio = (answers: { check: string; outcome: string; id: string }[]): number => {
      const list = suspectsOf(rungs, null, answers);
      const p = (cause: string): number => list.find((s) => s.cause === cause)?.probability ?? Number.NaN;
      return p('powered-off') / p('queue-paused');
    };
    const priors = (causeOf('power', 'powered-off')?.prior ?? 0) / (causeOf('queue', 'queue-paused')?.prior ?? 1);
    const likelihoods =
      likelihoodOf('panel-lit', 'dark', 'power', 'powered-off') /
      likelihoodOf('panel-lit', 'dark', 'queue', 'queue-paused');
    expect(ratio([])).toBeCloseTo(priors, 9);
    expect(ratio([{ check: 'panel-lit', outcome: 'dark', id: 'e1' }])).toBeCloseTo(priors * likelihoods, 9);
  });

  test('every fault cause but the all-clear is a suspect when nothing is known', () => {
    const list = suspectsOf(rungsOf({ address: null }), null, []);
    const faults = LADDER.flatMap((l) =>
      Object.entries(l.causes).filter(([, c]) => c.severity === 'fault' && c.prior > 0),
    );
    expect(list.length).toBe(faults.length - 1);
  });
});

describe('answers of a person', () => {
  test('move the blame where the network could not look', () => {
    const dark = judge(
      bundleOf({
        ...RAW_ONLY,
        tcp: { 9100: 'ETIMEDOUT' },
        snmp: 'silent',
        ipp: 'silent',
        answers: { 'panel-lit': 'dark' },
      }),
    );
    expect(dark.verdict.layer).toBe('power');
    expect(dark.checks.map((c) => c.id)).not.toContain('panel-lit');
  });

  test('do not overrule what the evidence proves', () => {
    const document = judge(bundleOf({ ...HEALTHY, ipp: { http: 401 }, answers: { 'panel-lit': 'dark' } }));
    expect(document.verdict.cause).toBe('sign-in-needed');
    expect(document.suspects).toEqual([]);
  });
});

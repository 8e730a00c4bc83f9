/** What the program said of a scenario, beside what it should have said. */
import type { WhyDocument } from '../../src/model/why.js';
import type { LabScenario } from './scenario.js';

/** What one run of the program gave. */
export interface Ran {
  readonly code: number;
  readonly out: string;
  readonly err: string;
  readonly ms: number;
}

export interface Outcome {
  readonly scenario: LabScenario;
  readonly why: WhyDocument | null;
  readonly code: number;
  readonly ms: number;
  readonly layerRight: boolean;
  readonly causeRight: boolean;
  /** Output is stopped and "nothing wrong" was said. */
  readonly falseAllClear: boolean;
  /** It can print and was accused of a fault. */
  readonly healthyAccused: boolean;
  /** Everything that differs, in words; empty when all is as expected. */
  readonly wrong: readonly string[];
}

/** Layer and cause that stand for "nothing wrong found". */
const WELL = 'application/nothing-wrong-found';

/** Compares. The program's complaints and a document that is none count as wrong in every respect. */
export function outcomeOf(scenario: LabScenario, ran: Ran): Outcome {
  const { expect } = scenario;
  const silent = expect.silent === undefined ? `${expect.layer}/${expect.cause}` !== WELL : expect.silent;
  const why = documentOf(ran.out);
  if (why === null) return failed(scenario, `no document: exit ${ran.code}, ${ran.err.trim()}`);
  const { layer, cause } = why.verdict;
  return {
    scenario,
    why,
    code: ran.code,
    ms: ran.ms,
    layerRight: layer === expect.layer,
    causeRight: layer === expect.layer && cause === expect.cause,
    falseAllClear: silent !== false && why.silent === false,
    healthyAccused: silent === false && why.silent !== false,
    wrong: differences(scenario, why, ran.code, silent),
  };
}

/** A scenario that gave no document at all. */
export function failed(scenario: LabScenario, why: string): Outcome {
  const none = { falseAllClear: false, healthyAccused: false, layerRight: false, causeRight: false };
  return { scenario, why: null, code: 4, ms: 0, ...none, wrong: [why] };
}

function documentOf(text: string): WhyDocument | null {
  try {
    return JSON.parse(text) as WhyDocument;
  } catch {
    return null;
  }
}

function differences(scenario: LabScenario, why: WhyDocument, code: number, silent: boolean | null): string[] {
  const { expect } = scenario;
  const verdict = `${why.verdict.layer}/${why.verdict.cause}`;
  const wanted = `${expect.layer}/${expect.cause}`;
  const others = why.others.map((other) => other.cause).sort();
  const warnings = why.warnings.map((warning) => warning.cause);
  const exit = expect.exit ?? (silent === null ? 3 : silent ? 1 : 0);
  const pairs: readonly (readonly [string, unknown, unknown])[] = [
    ['verdict', wanted, verdict],
    ['others', [...expect.others].sort().join(' '), others.join(' ')],
    ['silent', silent, why.silent],
    ['exit', exit, code],
    ['component', expect.component ?? why.verdict.component, why.verdict.component],
    ['certainty', expect.certainty ?? why.verdict.certainty, why.verdict.certainty],
  ];
  const missing = expect.warnings.filter((cause) => !warnings.includes(cause));
  return [
    ...pairs.flatMap(([what, want, got]) =>
      want === got ? [] : [`${what}: ${want || 'none'} wanted, ${got || 'none'} given`],
    ),
    ...missing.map((cause) => `warning ${cause} missing (given: ${warnings.join(' ') || 'none'})`),
  ];
}

/** What two runs must agree on: everything said but ids and times. */
export function sameWords({ why, code }: Outcome): string {
  if (why === null) return `exit ${code}`;
  const { verdict, others, warnings, silent } = why;
  const all = [verdict, ...others, ...warnings].map((b) => `${b.layer}/${b.cause} ${b.certainty} ${b.component ?? ''}`);
  return JSON.stringify([all, silent, code]);
}

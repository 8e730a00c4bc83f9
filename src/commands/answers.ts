import { CHECKS } from '../ladder/checks.js';
import type { Evidence } from '../model/evidence.js';
import { nearest } from '../model/nearest.js';
import { ProgramProblem } from '../model/problem.js';
import type { EvidenceBundle } from '../model/why.js';

/** What a person saw: one check and which of its outcomes came. */
export interface Answer {
  readonly check: string;
  readonly outcome: string;
}

/** A check as far as an answer goes. */
export interface Answerable {
  readonly id: string;
  readonly outcomes: readonly string[];
}

const KNOWN: readonly Answerable[] = CHECKS;

/** `CHECK=OUTCOME` → answer to one of the ladder's checks. ProgramProblem for a check or an outcome that there is not. */
export function readAnswer(text: string): Answer {
  return readAnswerTo(KNOWN, text);
}

/** The same for a table of checks. */
export function readAnswerTo(checks: readonly Answerable[], text: string): Answer {
  const [id = '', outcome] = text.split(/=(.*)/s).map((part) => part.trim());
  if (outcome === undefined || outcome === '')
    throw wrong(`--answer takes CHECK=OUTCOME, as in ${checks[0]?.id}=${checks[0]?.outcomes.at(-1)}, not "${text}"`);
  const check = checks.find((known) => known.id === id);
  if (check === undefined) {
    const ids = checks.map((known) => known.id);
    const close = nearest(id, ids);
    throw wrong(
      `there is no check "${id}"; ${close === undefined ? `there are ${ids.join(', ')}` : `did you mean "${close}"?`}`,
    );
  }
  if (!check.outcomes.includes(outcome)) {
    throw wrong(`"${id}" is answered by ${check.outcomes.join(', ')}, not "${outcome}"`);
  }
  return { check: id, outcome };
}

function wrong(sentence: string): ProgramProblem {
  const end = sentence.endsWith('?') ? '' : '.';
  return new ProgramProblem('answer', `${sentence.charAt(0).toUpperCase()}${sentence.slice(1)}${end}`);
}

/** The bundle with answers added as evidence. A later answer to the same check takes the place of an earlier one. */
export function withAnswers(bundle: EvidenceBundle, answers: readonly Answer[], at: string): EvidenceBundle {
  const last = new Map(answers.map((answer) => [answer.check, answer]));
  const kept = bundle.evidence.filter((record) => record.source !== 'operator' || !last.has(record.what));
  const from = 1 + Math.max(0, ...bundle.evidence.map((record) => Number(/^e(\d+)$/.exec(record.id)?.[1] ?? 0)));
  const added = [...last.values()].map(
    ({ check, outcome }, offset): Evidence => ({
      id: `e${from + offset}`,
      source: 'operator',
      what: check,
      about: 'target',
      subject: bundle.target,
      outcome: 'answered',
      value: outcome,
      at,
      tookMs: 0,
    }),
  );
  return { ...bundle, evidence: [...kept, ...added] };
}

import { nearest } from '../model/nearest.js';
import { ProgramProblem } from '../model/problem.js';
import { type Answer, type Answerable, LADDER_CHECKS } from '../verdict/answers.js';

/** `CHECK=OUTCOME` → answer to one of the ladder's checks. ProgramProblem for a check or an outcome that there is not. */
export function readAnswer(text: string): Answer {
  return readAnswerTo(LADDER_CHECKS, text);
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

import { EXIT, ProgramProblem } from '../model/problem.js';
import type { Check, EvidenceBundle, WhyDocument } from '../model/why.js';
import { forTerminal } from '../render/escape.js';
import { type Answer, withAnswers } from '../verdict/answers.js';
import type { Io } from './io.js';

/** After this many questions a person has better things to do. */
const MOST_QUESTIONS = 12;

/**
 * Asks the best next check at the terminal, judges again, and so on until it is sure, nothing is left to ask, or the person has had
 * enough. Gives the bundle with the answers in it.
 */
export async function askAtTerminal(
  bundle: EvidenceBundle,
  judge: (bundle: EvidenceBundle) => WhyDocument,
  io: Io,
): Promise<EvidenceBundle> {
  if (io.ask === undefined) {
    throw new ProgramProblem(
      'ask',
      '--ask needs a terminal to ask at; give --answer CHECK=OUTCOME instead.',
      EXIT.usage,
    );
  }
  const skipped = new Set<string>();
  let current = bundle;
  for (let asked = 0; asked < MOST_QUESTIONS; asked++) {
    const { checks, verdict, silent } = judge(current);
    const check = checks.find(({ id }) => !skipped.has(id));
    if (check === undefined || (silent === true && verdict.certainty === 'sure')) break;
    const answer = await askCheck(check, io);
    if (answer === 'enough') break;
    if (answer === 'skip') skipped.add(check.id);
    else current = withAnswers(current, [answer], io.now().toISOString());
  }
  return current;
}

/** Asks one check at the terminal: an answer, to go on without one, or to stop. */
export async function askCheck(check: Check, io: Io): Promise<Answer | 'skip' | 'enough'> {
  const choices = check.outcomes.map((outcome, at) => `${at + 1} ${forTerminal(outcome, 60)}`).join(', ');
  for (let tries = 0; tries < 3; tries++) {
    const line = await io.ask?.(`${forTerminal(check.ask)}\n  ${choices}; Enter to skip, q to stop: `);
    if (line === undefined || /^q(uit)?$/i.test(line.trim())) return 'enough';
    if (line.trim() === '') return 'skip';
    const outcome = chosen(line.trim().toLowerCase(), check.outcomes);
    if (outcome !== undefined) return { check: check.id, outcome };
    io.stderr('  That is none of them.\n');
  }
  return 'skip';
}

/** By number, by word, or by the beginning of a word that only one has. */
function chosen(line: string, outcomes: readonly string[]): string | undefined {
  const byNumber = /^\d+$/.test(line) ? outcomes[Number(line) - 1] : undefined;
  const starting = outcomes.filter((outcome) => outcome.toLowerCase().startsWith(line));
  return (
    byNumber ??
    outcomes.find((outcome) => outcome.toLowerCase() === line) ??
    (starting.length === 1 ? starting[0] : undefined)
  );
}

import { checkOf } from '../model/testpage.js';
import { type Asked, from } from './fact.js';
import { freshPages } from './test-pages.js';

export interface OperatorAnswer {
  readonly check: string;
  readonly outcome: string;
  readonly id: string;
}
export type OperatorFact = readonly OperatorAnswer[];

/** Answers that a person gave to the planner's checks, and what somebody said of a test page that was sent just now. */
export function readOperator(asked: Pick<Asked, 'evidence' | 'askedAt'>): OperatorFact | undefined {
  const given = from(asked.evidence, 'operator').flatMap((r) =>
    r.value === null ? [] : [{ check: r.what, outcome: r.value, id: r.id }],
  );
  const pages = new Map<string, OperatorAnswer>();
  for (const { id, page } of freshPages(asked)) {
    if (page.cameOut === null) continue;
    const check = checkOf(page.via);
    pages.set(check, { check, outcome: page.cameOut ? 'yes' : 'no', id });
  }
  // What is answered in so many words counts more.
  const answers = [...given, ...[...pages.values()].filter(({ check }) => !given.some((one) => one.check === check))];
  return answers.length > 0 ? answers : undefined;
}

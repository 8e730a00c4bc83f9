import type { Answer, Answerable } from '../verdict/answers.js';

/** What was answered and passed over so far: it all stands in the address, so that going back takes an answer back. */
export interface Told {
  readonly answers: readonly Answer[];
  readonly skipped: readonly string[];
  /** The check that a person would rather be asked first. */
  readonly wanted: string | null;
  /** Something in the address was no answer that any check knows. */
  readonly strange: boolean;
}

/** More than there are checks. */
const MOST = 60;

/** Reads `answer=CHECK:OUTCOME`, `skip=CHECK` and `check=CHECK` of an address, the last answer to a check counting. */
export function readTold(query: URLSearchParams, checks: readonly Answerable[]): Told {
  const given = query.getAll('answer').slice(0, MOST).map(split);
  const answers = given.filter(({ check, outcome }) =>
    checks.some(({ id, outcomes }) => id === check && outcomes.includes(outcome)),
  );
  const known = (id: string): boolean => checks.some((check) => check.id === id);
  const wanted = query.get('check');
  return {
    answers: [...new Map(answers.map((answer) => [answer.check, answer])).values()],
    skipped: [...new Set(query.getAll('skip').slice(0, MOST).filter(known))],
    wanted: wanted !== null && known(wanted) ? wanted : null,
    strange: answers.length < given.length,
  };
}

function split(text: string): Answer {
  const at = text.indexOf(':');
  return at < 0 ? { check: text, outcome: '' } : { check: text.slice(0, at), outcome: text.slice(at + 1) };
}

/** The names and values that carry what was told from page to page. */
export function toldFields({
  answers,
  skipped,
}: Pick<Told, 'answers' | 'skipped'>): readonly (readonly [string, string])[] {
  return [
    ...answers.map(({ check, outcome }) => ['answer', `${check}:${outcome}`] as const),
    ...skipped.map((check) => ['skip', check] as const),
  ];
}

/** An address with what was told in it. */
export function toldHref(path: string, fields: readonly (readonly [string, string])[]): string {
  const query = new URLSearchParams(fields.map(([name, value]): [string, string] => [name, value])).toString();
  return query === '' ? path : `${path}?${query}`;
}

/** The check to ask: the wanted one, else the best that was not passed over. */
export function chosenCheck<T extends { readonly id: string }>(checks: readonly T[], told: Told): T | undefined {
  return checks.find(({ id }) => id === told.wanted) ?? checks.find(({ id }) => !told.skipped.includes(id));
}

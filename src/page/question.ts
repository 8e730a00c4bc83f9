import type { Check } from '../model/why.js';
import { type Markup, markup } from '../render/markup.js';
import { named } from '../render/site-words.js';
import { chosenCheck, type Told, toldFields, toldHref } from './answer-query.js';
import { cautionList } from './steps.js';
import type { Words } from './words.js';

/** A question may need care before it is looked into. */
export type Question = Check & { readonly cautions?: readonly string[] };

/** Where a questionnaire lives, and what its address carries beside the answers. */
export interface Form {
  readonly path: string;
  readonly fields: readonly (readonly [string, string])[];
}

/** One question with large buttons; works as a plain form. Null when nothing is left to ask. */
export function questionCard(checks: readonly Question[], told: Told, form: Form, words: Words): Markup | null {
  const check = chosenCheck(checks, told);
  if (check === undefined) return null;
  const { ask } = words;
  const hidden = [...form.fields, ...toldFields(told)].map(
    ([name, value]) => markup`<input type="hidden" name="${name}" value="${value}">`,
  );
  const buttons = check.outcomes.map(
    (outcome) =>
      markup`<li><button name="answer" value="${check.id}:${outcome}">${outcomeWords(outcome, words)}</button></li>`,
  );
  const cost = ask.costs(check.minutes, words.printer.sheets(check.sheets));
  return markup`<form class="question sheet" action="${form.path}" aria-labelledby="question"><p class="soft small">${ask.question(told.answers.length + told.skipped.length + 1)} · ${cost}</p><h2 id="question">${named(check.ask, 400)}</h2>${cautionList(check.cautions ?? [], new Set(), words)}${hidden}<ul class="outcomes">${buttons}</ul><button class="plainly" name="skip" value="${check.id}">${ask.skip}</button></form>${others(checks, check, told, form, words)}`;
}

function others(checks: readonly Question[], shown: Question, told: Told, form: Form, words: Words): Markup | null {
  const more = checks.filter(({ id }) => id !== shown.id);
  if (more.length === 0) return null;
  const fields = [...form.fields, ...toldFields(told)];
  const items = more.map(
    ({ id, ask, minutes, sheets }) =>
      markup`<li><a href="${toldHref(form.path, [...fields, ['check', id]])}">${named(ask, 300)}</a> <span class="tag">${words.ask.costs(minutes, words.printer.sheets(sheets))}</span></li>`,
  );
  return markup`<details id="others"><summary>${words.ask.otherQuestions}</summary><ul class="plain spaced">${items}</ul></details>`;
}

/** What was answered, each with a way to take it back. */
export function answeredList(told: Told, asked: ReadonlyMap<string, string>, form: Form, words: Words): Markup | null {
  if (told.answers.length + told.skipped.length === 0) return null;
  const items = told.answers.map(({ check, outcome }) => {
    const rest = { answers: told.answers.filter((one) => one.check !== check), skipped: told.skipped };
    const back = toldHref(form.path, [...form.fields, ...toldFields(rest)]);
    return markup`<li>${named(asked.get(check) ?? check, 300)} <b>${outcomeWords(outcome, words)}</b> <a href="${back}">${words.ask.takeBack}</a></li>`;
  });
  return markup`<section class="part" aria-labelledby="said"><h2 id="said">${words.ask.answered}</h2><ol class="plain spaced">${items}</ol><p><a href="${toldHref(form.path, form.fields)}">${words.ask.again}</a></p></section>`;
}

/** An outcome as a person would say it. */
export function outcomeWords(outcome: string, { ask }: Words): string {
  const plain = outcome.replaceAll('-', ' ');
  return Object.hasOwn(ask.outcomes, outcome)
    ? (ask.outcomes[outcome] ?? plain)
    : `${plain.charAt(0).toUpperCase()}${plain.slice(1)}`;
}

import type { Net } from '../../net/net.js';
import type { IppAddress } from '../../wire/ipp/uri.js';
import type { Budget } from './budget.js';
import { askIpp, type IppAnswer, type IppQuestion, isSuccess } from './exchange.js';

/** An address that was asked and what it gave. */
export interface Tried {
  readonly uri: string;
  readonly gave: string;
}

/** The answer that counts, and the questions that did not serve, in the order in which they were asked. */
export interface Answered {
  readonly answer: IppAnswer;
  readonly tried: readonly Tried[];
}

/** RFC 8011 4.1.8: a printer that knows only an older version says so or, as seen, breaks in other ways. */
const LOWER_VERSION = { '2.0': '1.1', '1.1': '1.0', '1.0': undefined } as const;
const VERSION_REFUSALS = ['server-error-version-not-supported'];
const HTTP_VERSION_REFUSALS = [400, 505];
/** Statuses with which printers refuse a long or unknown list of attributes. */
const LIST_REFUSALS = [
  'client-error-bad-request',
  'client-error-request-entity-too-large',
  'client-error-request-value-too-long',
  'client-error-attributes-or-values-not-supported',
  'server-error-internal-error',
];

/**
 * Asks one address, and where the answer says so again: without the list of attributes when the list was refused or came
 * back empty, with a lower version when the version was.
 * `wary`: only a plain word about the version leads to a lower one (used when other paths of the host were tried already).
 */
export async function askWithFallback(
  net: Net,
  budget: Budget,
  address: IppAddress,
  question: IppQuestion,
  wary = false,
): Promise<Answered> {
  const answers = [await askIpp(net, budget, address, question)];
  for (let last = answers[0]; last !== undefined && budget.left() > 0; last = answers.at(-1)) {
    const next = nextQuestion(last, wary);
    if (next === undefined) break;
    answers.push(await askIpp(net, budget, address, next));
  }
  const answer = answers.reduce(moreTelling);
  return { answer, tried: answers.filter((each) => each !== answer).map(triedOf) };
}

function nextQuestion(answer: IppAnswer, wary: boolean): IppQuestion | undefined {
  const { question, value } = answer;
  const { requestedAttributes, ...withoutList } = question;
  const listFailed = LIST_REFUSALS.includes(value.status ?? '') || lacksState(answer);
  if (requestedAttributes !== undefined && listFailed) return withoutList;
  const version = LOWER_VERSION[question.version];
  const refused = VERSION_REFUSALS.includes(value.status ?? '') || value.status === 'client-error-bad-request';
  if (version === undefined || !(refused || (!wary && brokeOverVersion(answer)))) return undefined;
  return { ...question, version };
}

/** A printer that says ok to a list yet leaves out its own state did not understand the list (RFC 8011 5.4.11: required). */
function lacksState({ question, value }: IppAnswer): boolean {
  return (
    question.operation === 'Get-Printer-Attributes' &&
    isSuccess(value.status) &&
    value.attributes['printer-state'] === undefined
  );
}

function brokeOverVersion({ outcome, value }: IppAnswer): boolean {
  if (value.httpStatus !== null && HTTP_VERSION_REFUSALS.includes(value.httpStatus)) return true;
  if (outcome === 'garbled') return !isMarkup(value.contentType);
  return value.error === 'ECONNRESET';
}

/** A web page is no IPP server's word about a version. */
export function isMarkup(contentType: string | undefined): boolean {
  return contentType?.toLowerCase().includes('html') ?? false;
}

function serves({ value }: IppAnswer): boolean {
  return isSuccess(value.status);
}

/** The later answer, unless it is the poorer of two that were both no help. */
function moreTelling(before: IppAnswer, after: IppAnswer): IppAnswer {
  if (serves(after)) return lacksState(after) && serves(before) ? before : after;
  return after.value.status !== null || before.value.status === null ? after : before;
}

/** An answer in a few words, for the list of what was tried. */
export function triedOf(answer: IppAnswer): Tried {
  return { uri: answer.address.uri, gave: summary(answer) };
}

function summary({ question, outcome, value }: IppAnswer): string {
  const list = question.requestedAttributes === undefined ? '' : ' with a list';
  const asked = `IPP/${question.version}${list}`;
  if (value.status !== null) return `${asked}: ${value.status}`;
  if (value.httpStatus !== null && value.httpStatus !== 200) return `${asked}: HTTP ${value.httpStatus}`;
  return `${asked}: ${value.error ?? outcome}`;
}

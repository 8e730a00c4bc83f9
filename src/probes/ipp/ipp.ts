import type { IppExchangeValue, Observation, Outcome } from '../../model/evidence.js';
import type { Target } from '../../model/target.js';
import type { Net } from '../../net/net.js';
import { parseIppUri } from '../../wire/ipp/uri.js';
import type { Limits, Probe } from '../probe.js';
import { announcedAddresses } from './announced.js';
import { IDENTITY_ATTRIBUTES, JOB_ATTRIBUTES, MOST_WAITING_JOBS, PRINTER_ATTRIBUTES } from './attributes.js';
import { type Budget, startBudget } from './budget.js';
import { candidates, discover } from './discovery.js';
import { type IppAnswer, type IppQuestion, isSuccess } from './exchange.js';
import { type Answered, triedOf } from './fallback.js';
import { formatsOf, jobQuestion, thinHead } from './trials.js';
import { askByWays, type Ways, waysAfter } from './ways.js';

/**
 * Asks the printer over IPP: what it says of itself, whether it would take a job (Validate-Job makes none), what jobs wait
 * in it, and at last whether it would take each of the formats that it lists. One record for each question; the later ones
 * only when the first was answered by a printer.
 */
export const ippProbe: Probe = {
  id: 'ipp',
  run: async (target, net, limits) => {
    const budget = startBudget(net, limits);
    const { records, answer, ways } = await converse(target, net, limits, budget);
    if (ways === undefined || !records.some(wouldTakeJob)) return records;
    return [...records, ...(await tryFormats(answer, ways, net, limits, budget))];
  },
};

/** Everything but the trials of the formats: for showing a printer rather than judging it. */
export const ippShowProbe: Probe = {
  id: 'ipp',
  run: async (target, net, limits) => (await converse(target, net, limits, startBudget(net, limits))).records,
};

/** Only who the printer is: one short operation, for a sweep that meets many hosts. */
export const ippIdentityProbe: Probe = {
  id: 'ipp',
  run: async (target, net, limits) => [
    (await readPrinter(target, net, startBudget(net, limits), IDENTITY_ATTRIBUTES)).observation,
  ],
};

async function readPrinter(
  target: Target,
  net: Net,
  budget: Budget,
  requestedAttributes: readonly string[],
): Promise<{ observation: Observation; answer: IppAnswer }> {
  const configured = target.ippUri === undefined ? undefined : parseIppUri(target.ippUri);
  const watch = stopwatch(net);
  const question: IppQuestion = {
    operation: 'Get-Printer-Attributes',
    version: '2.0',
    requestedAttributes,
  };
  const addresses = candidates(target.host, configured, target.label);
  let found = await discover(net, budget, addresses, question, configured === undefined);
  if (configured === undefined && isElsewhere(found.answer) && budget.left() > 0) {
    found = await alsoAsAnnounced(found, target, net, budget, question);
  }
  return { observation: watch(found), answer: found.answer };
}

/** The usual places have no printer, or no server at all: the printer may announce another. */
function isElsewhere({ outcome, value }: IppAnswer): boolean {
  if (isSuccess(value.status) || outcome === 'denied' || outcome === 'silent') return false;
  return value.httpStatus !== null || outcome === 'refused';
}

async function alsoAsAnnounced(
  found: Answered,
  target: Target,
  net: Net,
  budget: Budget,
  question: IppQuestion,
): Promise<Answered> {
  const asked = [found.answer.value.uri, ...found.tried.map(({ uri }) => uri)];
  const announced = (await announcedAddresses(target, net, budget)).filter(({ uri }) => !asked.includes(uri));
  if (announced.length === 0) return found;
  const more = await discover(net, budget, announced, question, false);
  if (!isSuccess(more.answer.value.status)) return found;
  return { answer: more.answer, tried: [...found.tried, triedOf(found.answer), ...more.tried] };
}

interface Conversation {
  readonly records: readonly Observation[];
  readonly answer: IppAnswer;
  /** Absent when no printer answered. */
  readonly ways?: Ways;
}

async function converse(target: Target, net: Net, limits: Limits, budget: Budget): Promise<Conversation> {
  const { observation, answer } = await readPrinter(target, net, budget, PRINTER_ATTRIBUTES);
  if (observation.outcome !== 'answered' || isNotFound(answer)) return { records: [observation], answer };
  const ways = waysAfter(answer);
  const { version } = answer.question;
  const ask = (question: IppQuestion) => record(net, budget, ways, question);
  const records = [observation];
  if (budget.left() > 0) records.push((await ask(trialQuestion(version, limits))).observation);
  if (budget.left() <= 0) return { records, answer, ways };
  const jobs = await ask({
    operation: 'Get-Jobs',
    version,
    whichJobs: 'not-completed',
    limit: MOST_WAITING_JOBS,
    requestedAttributes: JOB_ATTRIBUTES,
  });
  records.push(jobs.observation);
  const head = thinHead(jobs.answer);
  if (head !== undefined && budget.left() > 0) {
    records.push((await ask(jobQuestion(head, version, JOB_ATTRIBUTES))).observation);
  }
  return { records, answer, ways };
}

function trialQuestion(version: IppQuestion['version'], limits: Limits, documentFormat?: string): IppQuestion {
  return {
    operation: 'Validate-Job',
    version,
    ...(limits.user === undefined ? {} : { user: limits.user }),
    ...(documentFormat === undefined ? {} : { documentFormat }),
  };
}

function wouldTakeJob(record: Observation): boolean {
  return record.source === 'ipp' && record.what === 'Validate-Job' && isSuccess(record.value?.status ?? null);
}

/** What one timely answer may take, and no more, is spent on all formats together: nothing waits for this but their own layer. */
async function tryFormats(
  answer: IppAnswer,
  ways: Ways,
  net: Net,
  limits: Limits,
  budget: Budget,
): Promise<Observation[]> {
  const records: Observation[] = [];
  const until = budget.left() - limits.timeoutMs;
  for (const format of formatsOf(answer.value.attributes)) {
    if (budget.left() <= Math.max(0, until)) break;
    const question = trialQuestion(answer.question.version, limits, format);
    const { observation } = await record(net, budget, ways, question);
    records.push({ ...observation, what: `Validate-Job ${format}` } as Observation);
    if (observation.outcome !== 'answered') break;
  }
  return records;
}

async function record(
  net: Net,
  budget: Budget,
  ways: Ways,
  question: IppQuestion,
): Promise<{ observation: Observation; answer: IppAnswer }> {
  const watch = stopwatch(net);
  const answered = await askByWays(net, budget, ways, question);
  return { observation: watch(answered), answer: answered.answer };
}

/** Notes the time of the question; the function it gives makes the record once the answer is there. */
function stopwatch(net: Net): (answered: Answered) => Observation {
  const at = net.now().toISOString();
  const start = net.monotonic();
  return ({ answer, tried }) => {
    const value: IppExchangeValue = tried.length === 0 ? answer.value : { ...answer.value, tried };
    const outcome: Outcome = answer.outcome;
    const tookMs = Math.round(net.monotonic() - start);
    const what = answer.question.operation;
    return { source: 'ipp', what, about: 'target', subject: answer.value.uri, outcome, value, at, tookMs };
  };
}

function isNotFound({ value }: IppAnswer): boolean {
  return value.status === 'client-error-not-found' || value.status === 'client-error-gone';
}

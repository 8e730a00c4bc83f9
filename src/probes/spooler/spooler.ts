import { isIP } from 'node:net';
import type { IppExchangeValue, Observation } from '../../model/evidence.js';
import type { Net } from '../../net/net.js';
import { type IppAddress, ippAddress, parseIppUri } from '../../wire/ipp/uri.js';
import { JOB_ATTRIBUTES, MOST_ENDED_JOBS, MOST_WAITING_JOBS, QUEUE_ATTRIBUTES } from '../ipp/attributes.js';
import { type Budget, startBudget } from '../ipp/budget.js';
import type { IppAnswer, IppQuestion } from '../ipp/exchange.js';
import { type Answered, askWithFallback, triedOf } from '../ipp/fallback.js';
import { jobQuestion, thinHead } from '../ipp/trials.js';
import type { Limits, Probe } from '../probe.js';
import { deviceHost } from './device-uri.js';

/**
 * Asks each print queue on the way to the printer: its state, its jobs (those that wait and the last that ended), whether
 * it would take a job of this user, and whether the name that it sends to can be looked up here. Queues are asked side by
 * side, each question of a queue after the other.
 */
export const spoolerProbe: Probe = {
  id: 'spooler',
  run: async (target, net, limits) => {
    const budget = startBudget(net, limits);
    const perQueue = await Promise.all(target.queues.map((queue) => readQueue(queue, net, limits, budget)));
    return perQueue.flat();
  },
};

async function readQueue(queue: string, net: Net, limits: Limits, budget: Budget): Promise<Observation[]> {
  const address = parseIppUri(queue);
  if (address === undefined) return [notAnIppUri(queue, net)];
  const first = await ask(queue, address, stateQuestion, net, budget);
  if (first.observation.outcome !== 'answered' || isNotFound(first.answer)) return [first.observation];
  const { version } = first.answer.question;
  const records = [first.observation];
  for (const question of furtherQuestions(version, limits)) {
    if (budget.left() <= 0) break;
    const { observation, answer } = await ask(queue, first.answer.address, question, net, budget);
    records.push(observation);
    const head = question.whichJobs === 'not-completed' ? thinHead(answer) : undefined;
    if (head === undefined || budget.left() <= 0) continue;
    const more = jobQuestion(head, version, JOB_ATTRIBUTES);
    records.push((await ask(queue, first.answer.address, more, net, budget)).observation);
  }
  const host = deviceHost(first.answer.value.attributes['device-uri']?.[0]?.value);
  if (host !== null && isIP(host) === 0 && budget.left() > 0) records.push(await lookUp(queue, host, net, budget));
  return records;
}

const stateQuestion: IppQuestion = {
  operation: 'Get-Printer-Attributes',
  version: '2.0',
  requestedAttributes: QUEUE_ATTRIBUTES,
};

function furtherQuestions(version: IppQuestion['version'], limits: Limits): IppQuestion[] {
  const jobs = { operation: 'Get-Jobs', version, requestedAttributes: JOB_ATTRIBUTES } as const;
  return [
    { ...jobs, whichJobs: 'not-completed', limit: MOST_WAITING_JOBS },
    { ...jobs, whichJobs: 'completed', limit: MOST_ENDED_JOBS },
    { operation: 'Validate-Job', version, ...(limits.user === undefined ? {} : { user: limits.user }) },
  ];
}

async function ask(
  queue: string,
  address: IppAddress,
  question: IppQuestion,
  net: Net,
  budget: Budget,
): Promise<{ observation: Observation; answer: IppAnswer }> {
  const at = net.now().toISOString();
  const start = net.monotonic();
  const { answer, tried } = await askOverTlsIfWanted(address, question, net, budget);
  const value: IppExchangeValue = tried.length === 0 ? answer.value : { ...answer.value, tried };
  const observation: Observation = {
    source: 'spooler',
    what: question.operation,
    about: 'queue',
    subject: queue,
    outcome: answer.outcome,
    value,
    at,
    tookMs: Math.round(net.monotonic() - start),
  };
  return { observation, answer };
}

/** A spooler that wants TLS (HTTP 426) is asked again over it. */
async function askOverTlsIfWanted(
  address: IppAddress,
  question: IppQuestion,
  net: Net,
  budget: Budget,
): Promise<Answered> {
  const plain = await askWithFallback(net, budget, address, question);
  if (plain.answer.value.httpStatus !== 426 || address.tls || budget.left() <= 0) return plain;
  const secured = ippAddress(address.host, address.port, true, address.path);
  const { answer, tried } = await askWithFallback(net, budget, secured, question);
  return { answer, tried: [...plain.tried, triedOf(plain.answer), ...tried] };
}

async function lookUp(queue: string, host: string, net: Net, budget: Budget): Promise<Observation> {
  const at = net.now().toISOString();
  const found = await net.resolve(host, budget.connectMs());
  return {
    source: 'dns',
    what: host,
    about: 'queue',
    subject: queue,
    outcome: found.outcome,
    value: { addresses: found.addresses, ...(found.code === undefined ? {} : { code: found.code }) },
    at,
    tookMs: found.tookMs,
  };
}

function isNotFound({ value }: IppAnswer): boolean {
  return value.status === 'client-error-not-found' || value.status === 'client-error-gone';
}

function notAnIppUri(queue: string, net: Net): Observation {
  return {
    source: 'spooler',
    what: 'Get-Printer-Attributes',
    about: 'queue',
    subject: queue,
    outcome: 'failed',
    value: {
      uri: queue,
      httpStatus: null,
      version: null,
      status: null,
      attributes: {},
      error: 'EINVAL',
      problems: ['The queue is not given as an ipp, ipps, http or https URI, so it was not asked.'],
    },
    at: net.now().toISOString(),
    tookMs: 0,
  };
}

import type { IppExchangeValue, Observation, Outcome } from '../../model/evidence.js';
import type { Target } from '../../model/target.js';
import type { Net } from '../../net/net.js';
import { type IppAddress, parseIppUri } from '../../wire/ipp/uri.js';
import type { Limits, Probe } from '../probe.js';
import { JOB_ATTRIBUTES, MOST_WAITING_JOBS, PRINTER_ATTRIBUTES } from './attributes.js';
import { type Budget, startBudget } from './budget.js';
import { candidates, discover } from './discovery.js';
import type { IppAnswer, IppQuestion } from './exchange.js';
import { type Answered, askWithFallback } from './fallback.js';

/**
 * Asks the printer over IPP: what it says of itself, whether it would take a job (Validate-Job makes none), and what
 * jobs wait in it. One record for each operation; the later two only when the first was answered by a printer.
 */
export const ippProbe: Probe = {
  id: 'ipp',
  run: async (target, net, limits) => {
    const budget = startBudget(net, limits);
    const first = await readPrinter(target, net, budget);
    const { observation, answer } = first;
    if (observation.outcome !== 'answered' || isNotFound(answer)) return [observation];
    const { address } = answer;
    const { version } = answer.question;
    const rest: Observation[] = [];
    for (const question of followUps(version, limits)) {
      if (budget.left() <= 0) break;
      rest.push(await record(net, budget, address, question));
    }
    return [observation, ...rest];
  },
};

/** Only what the printer says of itself: one operation, for a sweep that meets many hosts. */
export const ippReadProbe: Probe = {
  id: 'ipp',
  run: async (target, net, limits) => [(await readPrinter(target, net, startBudget(net, limits))).observation],
};

async function readPrinter(
  target: Target,
  net: Net,
  budget: Budget,
): Promise<{ observation: Observation; answer: IppAnswer }> {
  const configured = target.ippUri === undefined ? undefined : parseIppUri(target.ippUri);
  const watch = stopwatch(net);
  const question: IppQuestion = {
    operation: 'Get-Printer-Attributes',
    version: '2.0',
    requestedAttributes: PRINTER_ATTRIBUTES,
  };
  const addresses = candidates(target.host, configured, target.label);
  const found = await discover(net, budget, addresses, question, configured === undefined);
  return { observation: watch(found), answer: found.answer };
}

function followUps(version: IppQuestion['version'], limits: Limits): IppQuestion[] {
  return [
    { operation: 'Validate-Job', version, ...(limits.user === undefined ? {} : { user: limits.user }) },
    {
      operation: 'Get-Jobs',
      version,
      whichJobs: 'not-completed',
      limit: MOST_WAITING_JOBS,
      requestedAttributes: JOB_ATTRIBUTES,
    },
  ];
}

async function record(net: Net, budget: Budget, address: IppAddress, question: IppQuestion): Promise<Observation> {
  const watch = stopwatch(net);
  return watch(await askWithFallback(net, budget, address, question));
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

import type { IppAttributes } from '../model/evidence.js';
import { ProgramProblem } from '../model/problem.js';
import type { Target } from '../model/target.js';
import type { Route, TestPageSent } from '../model/testpage.js';
import type { Net } from '../net/net.js';
import { type PrintSent, sendLpd, sendRaw } from '../net/print-send.js';
import { printJob, watchJob } from '../probes/ipp/print-job.js';
import { type IppAddress, ippAddress, parseIppUri } from '../wire/ipp/uri.js';
import { jobSteps } from '../wire/lpd/job.js';

/** Where a page goes, and how it is sent there once somebody asked for that. */
export interface PageRoute {
  /** Shown to people. */
  readonly to: string;
  readonly send: (page: Page) => Promise<TestPageSent>;
}

export interface Page {
  readonly octets: Buffer;
  readonly format: string;
  readonly user: string | undefined;
  readonly timeoutMs: number;
}

const RAW_PORT = 9100;
const LPD_PORT = 515;
const TITLE = 'outfeed test page';
/** A page may wait for a sleeping fuser. */
const WATCH_MS = 60_000;
const SEND_MS = 30_000;
const JOB_STATES: Readonly<Record<number, string>> = {
  3: 'pending',
  4: 'pending-held',
  5: 'processing',
  6: 'processing-stopped',
  7: 'canceled',
  8: 'aborted',
  9: 'completed',
};

/**
 * The way that the person chose. `address` is where the target was reached, `ippUri` where it answered IPP. ProgramProblem where there is no
 * such way.
 */
export function routeFor(
  via: Route,
  target: Target,
  { address, ippUri }: { readonly address: string; readonly ippUri: string | null },
  net: Net,
): PageRoute {
  if (via === 'raw') {
    const port = target.printPorts.find((one) => one !== 631 && one !== LPD_PORT) ?? RAW_PORT;
    return {
      to: `socket://${address}:${port}`,
      send: async ({ octets }) => told(await sendRaw(address, port, octets, SEND_MS)),
    };
  }
  if (via === 'lpd') return lpdRoute(target, address);
  if (via === 'ipp') return ippRoute(ippUri ?? `ipp://${address}/ipp/print`, address, net);
  const [queue] = target.queues;
  if (queue === undefined)
    throw new ProgramProblem(
      'option-needs',
      '--via queue needs a queue: name one with --queue URI, or in the configuration.',
    );
  return ippRoute(queue, undefined, net);
}

function lpdRoute({ lpdQueues = [] }: Target, address: string): PageRoute {
  const [known] = lpdQueues;
  const { host = address, port = LPD_PORT, queue = 'lp' } = known ?? {};
  return {
    to: `lpd://${host}:${port}/${queue}`,
    send: async ({ octets, user }) => {
      const job = {
        queue,
        host: 'outfeed',
        user: user ?? 'outfeed',
        title: TITLE,
        number: Math.floor(Math.random() * 1000),
        data: octets,
      };
      const steps = jobSteps(job);
      if (steps === undefined)
        return { taken: false, because: `The queue name ${queue} can't be sent over LPD.`, job: null };
      return told(await sendLpd(host, port, steps, SEND_MS));
    },
  };
}

function ippRoute(uri: string, address: string | undefined, net: Net): PageRoute {
  const known = parseIppUri(uri);
  if (known === undefined)
    throw new ProgramProblem('option-value', `"${uri}" is no IPP URI; write it as ipp://host/path.`);
  const at = ippAddress(address ?? known.host, known.port, known.tls, known.path);
  return { to: at.uri, send: (page) => sendOverIpp(at, page, net) };
}

async function sendOverIpp(at: IppAddress, page: Page, net: Net): Promise<TestPageSent> {
  const { octets, format, user, timeoutMs } = page;
  const sent = await printJob(net, at, {
    document: octets,
    format,
    name: TITLE,
    timeoutMs: Math.max(timeoutMs, SEND_MS),
    ...(user === undefined ? {} : { user }),
  });
  if (sent.jobId === null) return { taken: false, because: refusal(sent.outcome, sent.answer), job: null };
  const last = await watchJob(net, at, sent.jobId, { forMs: WATCH_MS, timeoutMs });
  return outcomeOf(sent.jobId, last);
}

function refusal(
  outcome: string,
  {
    httpStatus,
    status,
    statusMessage,
    error,
  }: { httpStatus: number | null; status: string | null; statusMessage?: string; error?: string },
): string {
  const words = statusMessage === undefined ? '' : ` ("${statusMessage.slice(0, 200)}")`;
  if (status !== null) return `It did not take the page: ${status}${words}.`;
  if (httpStatus !== null) return `It did not take the page: HTTP ${httpStatus}.`;
  return `It could not be reached for printing: ${error ?? outcome}.`;
}

function outcomeOf(id: number, attributes: IppAttributes | null): TestPageSent {
  const code = attributes?.['job-state']?.[0]?.value;
  const state = (typeof code === 'number' ? JOB_STATES[code] : undefined) ?? 'unknown';
  const reasons = (attributes?.['job-state-reasons'] ?? []).flatMap(({ value }) =>
    typeof value === 'string' && value !== 'none' ? [value] : [],
  );
  const job = { id, state, reasons };
  const because = reasons.length === 0 ? '' : `: ${reasons.join(', ')}`;
  if (attributes === null)
    return { taken: true, because: `Job ${id} was taken; the printer tells no more of it.`, job };
  if (state === 'completed')
    return { taken: true, because: `Job ${id} is completed: by its own word the page is out.`, job };
  if (state === 'aborted' || state === 'canceled')
    return { taken: false, because: `Job ${id} was ${state}${because}.`, job };
  return {
    taken: true,
    because: `Job ${id} was taken and is ${state} after ${WATCH_MS / 1000} seconds${because}.`,
    job,
  };
}

/** Over the raw port and LPD nothing tells whether a page came out. */
function told({ outcome, error, refused }: PrintSent): TestPageSent {
  if (outcome === 'answered')
    return {
      taken: true,
      because: 'All of it was taken; only a look into the tray tells whether the page is out.',
      job: null,
    };
  return { taken: false, because: `It was not taken: ${refused ?? error ?? outcome}.`, job: null };
}

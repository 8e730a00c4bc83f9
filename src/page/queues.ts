import { readFacts } from '../facts/facts.js';
import type { QueuedJob, QueueEntry } from '../model/queue.js';
import { type Markup, markup } from '../render/markup.js';
import { named } from '../render/site-words.js';
import { queueEntry } from '../verdict/queue-entry.js';
import { printerFinding } from '../verdict/queue-findings.js';
import type { Frame } from './frame.js';
import { shape } from './shapes.js';
import { stepList } from './steps.js';
import type { PrinterView } from './view.js';

const MOST_JOBS = 20;

/** The queues on the way to a printer, out of what its newest look found of them. */
export function queuesOf({ name, bundle, why }: PrinterView): readonly QueueEntry[] {
  if (bundle === null || why === null) return [];
  const facts = readFacts(bundle);
  const printer = printerFinding(why);
  return (facts.queues ?? []).map((queue) =>
    queueEntry({ queue, facts, leadsTo: name, user: bundle.user ?? null, printer }),
  );
}

export function queuePart(view: PrinterView, frame: Frame): Markup {
  const { words } = frame;
  const entries = queuesOf(view);
  const inside =
    entries.length === 0
      ? markup`<p class="soft">${words.printer.noQueue}</p>`
      : markup`${entries.map((entry) => queueBlock(entry, frame))}`;
  return markup`<section class="part wide" id="queue" data-live><h2>${words.printer.queue}</h2>${inside}</section>`;
}

function queueBlock(entry: QueueEntry, frame: Frame): Markup {
  const { queue } = frame.words;
  const state = entry.state === null ? queue.unknownState : (queue.states[entry.state] ?? entry.state);
  const takes = entry.accepting === false ? `, ${queue.rejects}` : '';
  const to = entry.deviceUri === null ? '' : `, ${queue.sendsTo(named(entry.deviceUri, 120))}`;
  const troubles = entry.findings.filter(({ layer }) => layer === 'queue' || layer === 'job' || layer === 'access');
  const found = troubles.map(
    ({ severity, summary, next }) =>
      markup`<li>${shape(severity === 'fault' ? 'fault' : 'warning')} ${named(summary, 300)}${stepList(next.slice(0, 2), frame.words)}</li>`,
  );
  const mark =
    entry.state === 'stopped' || entry.accepting === false ? 'fault' : entry.state === null ? 'unknown' : 'clear';
  return markup`<div class="queue"><h3>${shape(mark)} <bdi>${named(entry.name, 80)}</bdi></h3><p class="soft">${state}${takes}${to}. ${clearing(entry, frame)}</p>${found.length > 0 && markup`<ul class="plain">${found}</ul>`}${jobTable(entry.jobs, frame)}</div>`;
}

function clearing({ clears, jobs }: QueueEntry, { words, clock }: Frame): string {
  const { byItself, inSeconds, because } = clears;
  if (jobs.length === 0) return '';
  if (byItself === null) return words.queue.untold(named(because, 160));
  return byItself ? words.queue.clearsBy(clock.span((inSeconds ?? 0) * 1000)) : words.queue.stays(named(because, 160));
}

function jobTable(jobs: readonly QueuedJob[], { words, clock }: Frame): Markup {
  const { queue, printer } = words;
  if (jobs.length === 0) return markup`<p>${queue.noJobs}</p>`;
  const rows = jobs.slice(0, MOST_JOBS).map((job) => {
    const state = queue.jobStates[job.state] ?? named(job.state, 40);
    const waits = job.waitingSeconds === null ? '' : clock.span(job.waitingSeconds * 1000);
    return markup`<tr><th scope="row" class="num">${job.id}</th><td><bdi>${named(job.name ?? '–', 60)}</bdi></td><td><bdi>${named(job.user ?? '–', 40)}</bdi></td><td>${state}</td><td>${waits}</td></tr>`;
  });
  const more = jobs.length - rows.length;
  return markup`<div class="scroll" tabindex="0" role="region" aria-label="${queue.jobs(jobs.length)}"><table><thead><tr><th scope="col">${queue.job}</th><th scope="col">${queue.document}</th><th scope="col">${queue.owner}</th><th scope="col">${queue.state}</th><th scope="col">${queue.waits}</th></tr></thead><tbody>${rows}</tbody></table></div>${more > 0 && markup`<p class="soft">${printer.more(more)}</p>`}`;
}

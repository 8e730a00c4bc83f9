import { styleText } from 'node:util';
import stringWidth from 'string-width';
import type { CrashLoopReport, QueueDocument, QueuedJob, QueueEntry, QueueFinding } from '../model/queue.js';
import { forTerminal } from './escape.js';
import { elideCells, pad, wrap } from './wrap.js';

export interface QueueTextOptions {
  readonly color: boolean;
  /** Width of the terminal in cells. */
  readonly columns: number;
}

const NARROWEST = 40;
const WIDEST = 100;
const MOST_JOBS = 12;
const MOST_STEPS = 4;

type Style = 'fault' | 'warning' | 'strong' | 'faint';
const STYLES: Readonly<Record<Style, Parameters<typeof styleText>[0]>> = {
  fault: ['bold', 'magentaBright'],
  warning: 'yellow',
  strong: 'bold',
  faint: 'dim',
};

class Page {
  readonly lines: string[] = [];
  readonly #columns: number;
  readonly #color: boolean;

  constructor({ columns, color }: QueueTextOptions) {
    this.#columns = Math.min(WIDEST, Math.max(NARROWEST, Math.floor(columns) || 80));
    this.#color = color;
  }

  /** A paragraph; what stands in it was made safe before. */
  say(text: string, first = '', rest = first, style?: Style): void {
    for (const line of wrap(text, { columns: this.#columns, first, rest })) {
      this.lines.push(
        style === undefined || !this.#color ? line : styleText(STYLES[style], line, { validateStream: false }),
      );
    }
  }

  /** One line of a table, cut at the edge. */
  row(text: string): void {
    this.lines.push(elideCells(text.trimEnd(), this.#columns));
  }

  gap(): void {
    if (this.lines.length > 0 && this.lines.at(-1) !== '') this.lines.push('');
  }
}

/** The queues for a terminal: each with its state, what blocks it and what to do, its jobs, and where a job would stop. */
export function renderQueues(document: QueueDocument, options: QueueTextOptions): string {
  const page = new Page(options);
  if (document.queues.length === 0 && document.crashLoop === null) {
    page.say('No print queue is known here. Name one with --queue URI, or a spooler with --spooler URI.');
  }
  for (const queue of document.queues) writeQueue(page, queue);
  if (document.crashLoop !== null) writeCrashes(page, document.crashLoop, document.queues);
  if (document.problems.length > 0) page.gap();
  for (const problem of document.problems) page.say(forTerminal(problem), 'Note: ', '  ');
  return `${page.lines.join('\n')}\n`;
}

function writeQueue(page: Page, queue: QueueEntry): void {
  page.gap();
  page.say(headline(queue), '', '  ', 'strong');
  page.say(`${forTerminal(queue.uri, 120)}${deviceWords(queue)}`, '  ', '    ', 'faint');
  if (queue.message !== null) page.say(`says "${forTerminal(queue.message, 200)}"`, '  ', '    ');
  const faults = queue.findings.filter(({ severity }) => severity === 'fault');
  for (const finding of queue.findings) writeFinding(page, finding, finding === faults[0]);
  if (queue.rights !== null) page.say(rightsWords(queue.rights), '  ', '    ');
  if (queue.route !== null) page.say(forTerminal(queue.route.summary), '  Test without paper: ', '    ');
  if (queue.jobs.length > 0 || queue.expectedWaitSeconds !== null) page.say(waitWords(queue), '  ', '    ');
  writeJobs(page, queue.jobs);
}

function headline({ name, uri, state, accepting, reasons, leadsTo }: QueueEntry): string {
  const closed = accepting === false ? ', takes no new jobs' : '';
  const why = reasons.length === 0 ? '' : ` (${reasons.map((reason) => forTerminal(reason, 60)).join(', ')})`;
  const to = leadsTo === null ? '' : `, leads to ${forTerminal(leadsTo, 60)}`;
  return `${forTerminal(name === '' ? uri : name, 80)}: ${state ?? 'could not be read'}${why}${closed}${to}`;
}

function deviceWords({ deviceUri, members }: QueueEntry): string {
  if (members.length > 0) return `, a class of ${members.map((one) => forTerminal(one, 40)).join(', ')}`;
  return deviceUri === null ? '' : `, sends to ${forTerminal(deviceUri, 120)}`;
}

function writeFinding(page: Page, finding: QueueFinding, steps: boolean): void {
  const { severity, certainty, summary, layer, cause, next } = finding;
  const doubt = certainty === 'sure' ? '' : `${certainty === 'likely' ? 'Probably: ' : 'Perhaps: '}`;
  page.say(
    `${doubt}${forTerminal(summary)} [${layer}: ${forTerminal(cause, 60)}]`,
    severity === 'fault' ? '  X ' : '  ! ',
    '    ',
    severity,
  );
  if (steps) writeSteps(page, next);
}

function writeSteps(page: Page, next: QueueFinding['next']): void {
  next.slice(0, MOST_STEPS).forEach(({ step, minutes, cautions }, index) => {
    page.say(forTerminal(step), `    ${index + 1}. ${minutes} min  `, '              ');
    for (const caution of cautions) page.say(forTerminal(caution), '              Care: ', '              ', 'warning');
  });
}

function rightsWords({ user, print, manageDocuments, managePrinter }: NonNullable<QueueEntry['rights']>): string {
  const word = { allowed: 'yes', refused: 'no', unknown: 'not known' } as const;
  return `Rights of ${forTerminal(user, 60)}: print ${word[print]}, manage documents ${word[manageDocuments]}, manage the printer ${word[managePrinter]}.`;
}

function waitWords({ expectedWaitSeconds, clears, jobs }: QueueEntry): string {
  const wait =
    expectedWaitSeconds === null
      ? 'A job handed in now: wait not known.'
      : `A job handed in now waits about ${span(expectedWaitSeconds)}.`;
  if (jobs.length === 0) return wait;
  const because = forTerminal(clears.because, 200);
  if (clears.byItself === true)
    return `${wait} Clears by itself${clears.inSeconds ? ` in about ${span(clears.inSeconds)}` : ''}: ${because}.`;
  return `${wait} ${clears.byItself === false ? 'Does not clear by itself' : 'Whether it clears by itself is not known'}: ${because}.`;
}

function writeJobs(page: Page, jobs: readonly QueuedJob[]): void {
  const shown = jobs.slice(0, MOST_JOBS);
  const cells = shown.map((job) => [
    String(job.id),
    job.state,
    job.name === null ? '(hidden)' : `"${forTerminal(job.name, 40)}"`,
    job.user === null ? '(hidden)' : forTerminal(job.user, 20),
    job.kOctets === null ? '' : `${job.kOctets} kB`,
    job.waitingSeconds === null ? '' : `here ${span(job.waitingSeconds)}`,
    job.reasons.map((reason) => forTerminal(reason, 40)).join(' '),
  ]);
  const widths = [0, 1, 2, 3, 4, 5].map((column) => Math.max(0, ...cells.map((row) => stringWidth(row[column] ?? ''))));
  for (const row of cells) page.row(`  job ${row.map((cell, i) => pad(cell, widths[i] ?? 0)).join('  ')}`);
  if (jobs.length > shown.length) page.say(`and ${jobs.length - shown.length} more jobs; --json lists them all`, '  ');
}

function writeCrashes(
  page: Page,
  { summary, recovery, next, crashes }: CrashLoopReport,
  queues: readonly QueueEntry[],
): void {
  page.gap();
  page.say(forTerminal(summary, 800), '', '  ', crashes > 1 ? 'fault' : 'warning');
  if (recovery !== null) page.say(forTerminal(recovery, 600), '  Recovery settings: ', '    ');
  // A queue of the same host has told the steps already.
  const told = queues.some(({ findings }) => findings.some(({ cause }) => cause === 'spooler-crash-loop'));
  if (!told) writeSteps(page, next);
}

function span(seconds: number): string {
  if (seconds < 100) return `${Math.round(seconds)} s`;
  if (seconds < 6000) return `${Math.round(seconds / 60)} min`;
  return seconds < 172_800 ? `${Math.round(seconds / 3600)} h` : `${Math.round(seconds / 86_400)} days`;
}

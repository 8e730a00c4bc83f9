import type { PrintHostFact } from '../facts/print-host/print-host.js';
import { causeOf } from '../ladder/ladder.js';
import type { CrashLoopReport, CrashSuspect } from '../model/queue.js';
import type { CrashLoop } from '../queues/crash-loop.js';
import { accusedWords, jobWords } from '../queues/words.js';
import { nextOf } from './words.js';

/** Crashes of the print service as the document tells of them; null without any. */
export function crashReport(host: PrintHostFact | undefined): CrashLoopReport | null {
  const crashes = host?.crashes ?? null;
  if (host === undefined || crashes === null) return null;
  return {
    crashes: crashes.crashes.length,
    suspect: suspectOf(crashes),
    explains: crashes.explains,
    byChance: crashes.byChance === null ? null : Number(crashes.byChance.toPrecision(2)),
    firstAt: at(crashes.crashes[0]),
    lastAt: at(crashes.crashes.at(-1)),
    recovery: host.recovery?.words ?? null,
    summary: summaryOf(crashes, host),
    next: crashes.crashes.length > 1 ? nextOf(causeOf('queue', 'spooler-crash-loop')) : [],
  };
}

function at(time: number | undefined): string {
  return new Date(time ?? 0).toISOString();
}

function suspectOf({ accused }: CrashLoop): CrashSuspect | null {
  if (accused === null) return null;
  const { kind, job } = accused;
  return {
    kind,
    // Of a driver, a format or an owner no single job is to blame.
    job: kind === 'job' || kind === 'document' ? job.id : null,
    document: kind === 'job' || kind === 'document' ? job.document : null,
    user: kind === 'driver' || kind === 'format' ? null : job.user,
    driver: kind === 'document' || kind === 'user' || kind === 'format' ? null : job.driver,
    format: kind === 'job' || kind === 'format' ? job.format : null,
    queue: kind === 'job' ? job.queue : null,
  };
}

function summaryOf(crashes: CrashLoop, { modules }: PrintHostFact): string {
  const count = crashes.crashes.length;
  const times = count === 1 ? 'once' : `${count} times`;
  const [first] = modules;
  const module =
    first === undefined ? '' : ` The crash reports name the module ${first.module} (${first.times} of them).`;
  if (crashes.accused === null) {
    return `The print service crashed ${times}; no job, document, driver, format or owner stands out from chance.${module}`;
  }
  const share = `in progress at ${crashes.explains} of them`;
  const chance = `chance alone would bring that in ${chanceWords(crashes.byChance ?? 1)}`;
  return `The print service crashed ${times}; ${accusedWords(crashes.accused)} was ${share}, and ${chance}.${doubts(crashes)}${module}`;
}

function chanceWords(chance: number): string {
  if (chance >= 0.01) return `1 of ${Math.round(1 / chance)} such records`;
  return chance < 1e-6
    ? 'less than 1 of a million such records'
    : `1 of ${Math.round(1 / chance).toLocaleString('en-GB')} such records`;
}

function doubts({ companions, alone }: CrashLoop): string {
  const [other] = companions;
  const along =
    other === undefined ? '' : ` ${sentence(jobWords(other))} came along each time: set aside the one, then the other.`;
  return alone ? `${along} Hardly anything else was tried, so it may be printing as such.` : along;
}

function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

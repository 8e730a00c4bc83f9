/** Compares the language of a job file with what printer and queues say they take. */
import type { AcceptsFact } from '../../facts/accepts.js';
import type { JobFileFact } from '../../facts/job-file.js';
import type { QueueFact } from '../../facts/queues.js';
import type { Certainty, Finding, LayerJudgement } from '../../model/layers.js';
import { commandsInclude, type LanguageKind, namesOf } from '../../wire/job/languages.js';
import { acceptedWords } from './named.js';

/** Files made for programs: few printers take them raw. The others are made for printers, or are text. */
const FOR_PROGRAMS: ReadonlySet<LanguageKind> = new Set(['image', 'document', 'packed']);

type Outcome = Required<LayerJudgement>;

const unknown = (summary: string): Outcome => ({ findings: [], clearedBy: [], summary });
const clear = (summary: string, clearedBy: readonly string[]): Outcome => ({ findings: [], clearedBy, summary });
const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

/** Weighs one job file. */
export function compareJob(
  job: JobFileFact,
  accepts: AcceptsFact | undefined,
  queues: readonly QueueFact[] | undefined,
): Outcome {
  const { language, enters, contradicts } = job.sniffed;
  const { words } = namesOf(language);
  if (language === 'empty') return faulty({ cause: 'job-empty', certainty: 'sure' }, job.evidence);
  if (contradicts !== undefined) {
    const detail = { other: words, expected: `${namesOf(contradicts).words}, as the job itself announces` };
    return faulty({ cause: 'language-mismatch', certainty: 'likely', detail }, job.evidence);
  }
  if (language === 'unknown') return compareUnknown(job, enters, accepts);
  if (accepts !== undefined && fits(job, accepts)) {
    return clear(`${capital(words)} is what the printer reads.`, [...job.evidence, ...accepts.evidence]);
  }
  const queue = queues?.find((q) => q.formats.some((format) => isFormatOf(job, format)));
  if (queue !== undefined) {
    return clear(`Queue ${queue.name} takes ${words} and passes it on in what its printer reads.`, [
      ...job.evidence,
      queue.evidence.read,
    ]);
  }
  if (accepts === undefined || !saysAnything(accepts)) {
    return unknown(`The job is ${words}; the printer does not say what it reads.`);
  }
  if (namesOf(language).near?.some((label) => accepts.labels.includes(label))) {
    return unknown(
      `The job is ${words}; the printer lists ${acceptedWords(accepts)}, which may or may not include it.`,
    );
  }
  return mismatch(job, accepts);
}

function faulty(found: Pick<Finding, 'cause' | 'certainty' | 'detail'>, evidence: readonly string[]): Outcome {
  return { findings: [{ severity: 'fault', ...found, evidence }], clearedBy: [], summary: '' };
}

/** A language that nobody here knows may still be one that the printer names in the same word. */
function compareUnknown(job: JobFileFact, enters: string | undefined, accepts: AcceptsFact | undefined): Outcome {
  if (enters === undefined) return unknown('The job file is in no language that is known here.');
  const same = accepts?.commands.some((word) => word.toUpperCase() === enters.toUpperCase());
  return accepts !== undefined && same
    ? clear('The job’s wrapper names a language that the printer lists.', [...job.evidence, ...accepts.evidence])
    : unknown('The job’s wrapper names a language that is not known here.');
}

function isFormatOf({ sniffed }: JobFileFact, format: string): boolean {
  const plain = (format.split(';')[0] ?? '').trim().toLowerCase();
  return sniffed.formats.some((own) => own.toLowerCase() === plain);
}

function fits(job: JobFileFact, { labels, formats, commands }: AcceptsFact): boolean {
  const { sniffed } = job;
  return (
    sniffed.labels.some((label) => labels.includes(label)) ||
    formats.some((format) => isFormatOf(job, format)) ||
    commandsInclude(commands, sniffed.language)
  );
}

const saysAnything = ({ labels, formats, commands }: AcceptsFact): boolean =>
  labels.length > 0 || formats.length > 0 || commands.length > 0;

/**
 * Sure needs a list that is whole and could have named the language: the interpreter table without nameless rows
 * (RFC 3805 2.2.12), or both the table and the formats. One list that could not have named it leaves a doubt.
 */
function certaintyOf({ sniffed }: JobFileFact, { labels, labelsOpen, formats }: AcceptsFact): Certainty {
  const wholeTable = labels.length > 0 && !labelsOpen;
  const decides = wholeTable && (sniffed.labels.length > 0 || formats.length > 0);
  if (sniffed.confidence === 'sure') return decides ? 'sure' : 'likely';
  return sniffed.confidence;
}

function mismatch(job: JobFileFact, accepts: AcceptsFact): Outcome {
  const { words, kind } = namesOf(job.sniffed.language);
  const forPrograms = FOR_PROGRAMS.has(kind);
  const certainty = certaintyOf(job, accepts);
  const detail = { other: words, expected: acceptedWords(accepts) };
  const cause = forPrograms ? 'format-unsupported' : 'language-mismatch';
  // What is packed inside can't be seen from the first octets.
  const held = kind === 'packed' && certainty === 'sure' ? 'likely' : certainty;
  return faulty({ cause, certainty: held, detail }, [...job.evidence, ...accepts.evidence]);
}

import { Buffer } from 'node:buffer';
import { isJobLanguage, type JobLanguage, languageOfWord, namesOf } from './languages.js';
import { type RasterPage, readRasterPage } from './raster-header.js';
import { SIGNATURES } from './signatures.js';
import { unwrap } from './wrapper.js';
import { languageOfZip } from './zip.js';

/** A job's beginning that is looked at: a wrapper of several hundred lines and a page header fit into it. */
export const MOST_JOB_OCTETS = 65_536;

export type SniffConfidence = 'sure' | 'likely' | 'possible';

/** What a job file is written in. Plain JSON: it is kept with the evidence. */
export interface Sniffed {
  readonly language: JobLanguage;
  /** `pjl`: the job is wrapped in PJL commands. */
  readonly wrapper?: 'pjl';
  /** Language that the wrapper switches to, as written. */
  readonly enters?: string;
  /** The wrapper switches to one language and the job inside is in another: what the wrapper's word stands for. */
  readonly contradicts?: JobLanguage;
  readonly confidence: SniffConfidence;
  /** Media types under which printers list the language. */
  readonly formats: readonly string[];
  /** PrtInterpreterLangFamilyTC labels under which printers list the language. */
  readonly labels: readonly string[];
  /** First page of a raster file. */
  readonly page?: RasterPage;
  /** Dots per inch that the wrapper sets. */
  readonly dpi?: number;
}

/**
 * Tells the language of a job by its first octets (at most 64 KiB are looked at). Pure, never throws; octets that
 * nobody knows give `unknown`.
 */
export function sniff(octets: Uint8Array): Sniffed {
  const head = octets.subarray(0, MOST_JOB_OCTETS);
  const text = Buffer.from(head.buffer, head.byteOffset, head.byteLength).toString('latin1');
  if (text === '') return named('empty', 'sure');
  const { wrapped, enters, dpi, inside } = unwrap(text);
  const found = inside === '' ? undefined : languageOf(inside);
  const entered = enters === undefined ? undefined : languageOfWord(enters);
  const { language, confidence } = settle(found, entered);
  const contradicts = contradiction(found, entered);
  const page = language === 'pwg-raster' ? readRasterPage(head.subarray(text.length - inside.length)) : undefined;
  return {
    ...named(language, confidence),
    ...(wrapped ? { wrapper: 'pjl' as const } : {}),
    ...(enters === undefined ? {} : { enters }),
    ...(contradicts === undefined ? {} : { contradicts }),
    ...(page === undefined ? {} : { page }),
    ...(dpi === undefined ? {} : { dpi }),
  };
}

/** A kept reading, checked: a saved file may hold anything. Undefined when it is none. */
export function readSniffed(value: unknown): Sniffed | undefined {
  const kept = value as Partial<Record<keyof Sniffed, unknown>> | null | undefined;
  if (typeof kept !== 'object' || kept === null || !isJobLanguage(kept.language)) return undefined;
  const { language, confidence, enters, contradicts, dpi } = kept;
  const page = kept.page as Partial<RasterPage> | undefined;
  const whole = (n: unknown): n is number => typeof n === 'number' && Number.isSafeInteger(n) && n > 0;
  return {
    ...named(language, confidence === 'sure' || confidence === 'likely' ? confidence : 'possible'),
    ...(kept.wrapper === 'pjl' ? { wrapper: 'pjl' as const } : {}),
    ...(typeof enters === 'string' ? { enters } : {}),
    ...(isJobLanguage(contradicts) ? { contradicts } : {}),
    ...(whole(page?.bytesPerLine) && whole(page?.lines) && whole(page?.dpi)
      ? { page: { bytesPerLine: page.bytesPerLine, lines: page.lines, dpi: page.dpi } }
      : {}),
    ...(whole(dpi) ? { dpi } : {}),
  };
}

interface Reading {
  readonly language: JobLanguage;
  readonly confidence: SniffConfidence;
}

function named(language: JobLanguage, confidence: SniffConfidence): Sniffed {
  const { formats, labels } = namesOf(language);
  return { language, confidence, formats, labels };
}

function languageOf(job: string): Reading | undefined {
  const zip = languageOfZip(job);
  if (zip !== undefined) return { language: zip, confidence: 'sure' };
  const signature = SIGNATURES.find(({ start }) => start.test(job));
  if (signature !== undefined) return signature;
  return buried(job) ?? plainText(job);
}

/** Text that holds a page language's commands further on. */
function buried(job: string): Reading | undefined {
  // Readers look for a PDF header in the first 1024 octets (ISO 32000-2 annex, from memory); printers often don't.
  if (job.slice(0, 1024).includes('%PDF-')) return { language: 'pdf', confidence: 'likely' };
  if (/\u001b[&(*][a-z]-?\d{1,6}[A-Z@]/.test(job)) return { language: 'pcl5', confidence: 'likely' };
  const labels = job.slice(0, 4096).split('^XA').slice(1);
  if (labels.some((label) => /\^F[OSD]/.test(label.slice(0, 203)))) return { language: 'zpl', confidence: 'likely' };
  return undefined;
}

/** Printable characters and line ends only. */
function plainText(job: string): Reading | undefined {
  return /^[\t\n\f\r\u0020-\u007e\u0080-\u00ff]+\u001a?$/.test(job) && printableShare(job) > 0.7
    ? { language: 'text', confidence: 'likely' }
    : undefined;
}

/** Share of US-ASCII among the characters: packed data has about three eighths, text in any Latin script far more. */
function printableShare(job: string): number {
  return job.replace(/[^\t\n\f\r\u0020-\u007e]/g, '').length / job.length;
}

/** The job's own octets count more than the wrapper's word, unless they say nothing or only look like text. */
function settle(found: Reading | undefined, entered: JobLanguage | undefined): Reading {
  if (entered === undefined) return found ?? { language: 'unknown', confidence: 'possible' };
  if (found === undefined || found.language === 'text') return { language: entered, confidence: 'likely' };
  return found;
}

/** A PDF that carries PCLm is both, and PCL's own plotter mode belongs to PCL. */
const SAME: readonly (readonly [JobLanguage, JobLanguage])[] = [
  ['pdf', 'pclm'],
  ['pcl5', 'hpgl'],
];

function contradiction(found: Reading | undefined, entered: JobLanguage | undefined): JobLanguage | undefined {
  if (found?.confidence !== 'sure' || entered === undefined || found.language === entered) return undefined;
  const same = SAME.some((pair) => pair.includes(found.language) && pair.includes(entered));
  return same ? undefined : entered;
}

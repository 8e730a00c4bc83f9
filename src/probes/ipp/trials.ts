import type { IppAttributes } from '../../model/evidence.js';
import type { IppAnswer, IppQuestion } from './exchange.js';

/** Formats tried at most. */
const MOST_FORMATS = 12;
/** Says "anything": trying it tells nothing (RFC 8011 5.1.10). */
const ANY = 'application/octet-stream';

/** Media types of document-format-supported, without the one that means any, each once, in the printer's order. */
export function formatsOf(attributes: IppAttributes): readonly string[] {
  const words = (attributes['document-format-supported'] ?? []).flatMap(({ value }) =>
    typeof value === 'string' && /^[\x21-\x7e]{3,255}$/.test(value) && value.toLowerCase() !== ANY ? [value] : [],
  );
  return [...new Set(words)].slice(0, MOST_FORMATS);
}

/** RFC 8011 5.1.4 and 5.3.2: an integer(1:MAX), which has 31 bits. */
const MOST_JOB_ID = 2 ** 31 - 1;

/** The job that all others wait for, when the list told its number and not how it stands. A number that is none is not asked after. */
export function thinHead({ value }: IppAnswer): number | undefined {
  const [head] = value.jobs ?? [];
  const id = head?.['job-id']?.[0]?.value;
  if (typeof id !== 'number' || !Number.isInteger(id) || id < 1 || id > MOST_JOB_ID) return undefined;
  return head?.['job-state-reasons'] === undefined ? id : undefined;
}

/** Asks after one job (RFC 8011 4.3.4). */
export function jobQuestion(
  jobId: number,
  version: IppQuestion['version'],
  requestedAttributes: readonly string[],
): IppQuestion {
  return { operation: 'Get-Job-Attributes', version, jobId, requestedAttributes };
}

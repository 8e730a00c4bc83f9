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

/** The job that all others wait for, when the list told its number and not how it stands. */
export function thinHead({ value }: IppAnswer): number | undefined {
  const [head] = value.jobs ?? [];
  const id = head?.['job-id']?.[0]?.value;
  return typeof id === 'number' && head?.['job-state-reasons'] === undefined ? id : undefined;
}

/** Asks after one job (RFC 8011 4.3.4). */
export function jobQuestion(
  jobId: number,
  version: IppQuestion['version'],
  requestedAttributes: readonly string[],
): IppQuestion {
  return { operation: 'Get-Job-Attributes', version, jobId, requestedAttributes };
}

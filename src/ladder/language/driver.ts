import type { AcceptsFact } from '../../facts/accepts.js';
import type { QueueFact } from '../../facts/queues.js';
import type { Finding } from '../../model/layers.js';
import { commandsInclude, namesOf } from '../../wire/job/languages.js';
import { acceptedWords } from './named.js';

/**
 * A driver makes one language, and its name often tells which. Where the printer's own list is whole and lacks it, what the
 * queue sends will not be understood. A name is a hint and no more: likely at best.
 */
export function driverMismatch(queues: readonly QueueFact[] | undefined, accepts: AcceptsFact | undefined): Finding[] {
  if (accepts === undefined || accepts.labelsOpen || accepts.labels.length + accepts.formats.length === 0) return [];
  return (queues ?? []).flatMap((queue): Finding[] => {
    const language = queue.driver?.language ?? null;
    if (language === null || reads(accepts, language)) return [];
    const detail = { queue: queue.name, other: namesOf(language).words, expected: acceptedWords(accepts) };
    const evidence = [queue.evidence.read, ...accepts.evidence];
    return [
      { cause: 'language-mismatch', severity: 'fault', certainty: 'likely', component: queue.name, detail, evidence },
    ];
  });
}

function reads(accepts: AcceptsFact, language: Parameters<typeof namesOf>[0]): boolean {
  const { labels, near = [], formats } = namesOf(language);
  return (
    [...labels, ...near].some((label) => accepts.labels.includes(label)) ||
    formats.some((format) => accepts.formats.includes(format.toLowerCase())) ||
    commandsInclude(accepts.commands, language)
  );
}

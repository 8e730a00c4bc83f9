import type { Signal } from '../facts/condition/signal.js';
import type { Certainty, Finding } from '../model/layers.js';

/** Which of the printer's words stand for which cause. The first rule that matches claims a signal. */
export interface ReasonRule {
  readonly cause: string;
  readonly match: RegExp;
  /** PrtAlertGroupTC names that it must have come from, where the keyword alone is not enough. */
  readonly groups?: readonly string[];
}

/** Keywords have 255 octets at most (RFC 8011 5.1.4). */
const LONGEST_WORD = 255;

/** The rule that claims a signal, if any. */
export function claimedBy(signal: Signal, rules: readonly ReasonRule[]): ReasonRule | undefined {
  const word = signal.reason.slice(0, LONGEST_WORD);
  return rules.find(
    (rule) => rule.match.test(word) && (!rule.groups || (signal.group && rule.groups.includes(signal.group))),
  );
}

const CERTAINTY_ORDER: readonly Certainty[] = ['sure', 'likely', 'possible'];
const best = (certainties: readonly Certainty[]): Certainty =>
  CERTAINTY_ORDER.find((c) => certainties.includes(c)) ?? 'possible';

const unique = <T>(values: readonly T[]): T[] => [...new Set(values)];
const MOST_NAMED = 4;

/** Names of the parts that one finding speaks of; a source that names none adds nothing. */
function componentOf(stops: readonly Signal[], warns: readonly Signal[]): string | null {
  const named = unique(stops.flatMap((s) => s.component ?? []));
  const names = named.length > 0 ? named : unique(warns.flatMap((s) => s.component ?? []));
  if (names.length === 0) return null;
  const more = names.length > MOST_NAMED ? ` and ${names.length - MOST_NAMED} more` : '';
  return names.slice(0, MOST_NAMED).join(', ') + more;
}

function detailOf(signals: readonly Signal[]): Readonly<Record<string, string>> {
  const first = signals[0];
  const said = signals.find((s) => s.description)?.description;
  const note = signals.find((s) => s.note)?.note;
  return {
    ...(first ? { reason: first.reason } : {}),
    ...(said ? { said } : {}),
    ...(note ? { note } : {}),
  };
}

function findingOf(cause: string, signals: readonly Signal[]): Finding | null {
  const stops = signals.filter((s) => s.weight === 'stop');
  const warns = signals.filter((s) => s.weight === 'warn');
  const carrying = stops.length > 0 ? stops : warns;
  if (carrying.length === 0) return null;
  const component = componentOf(stops, warns);
  return {
    cause,
    severity: stops.length > 0 ? 'fault' : 'warning',
    certainty: best(carrying.map((s) => s.certainty)),
    ...(component === null ? {} : { component }),
    detail: detailOf(carrying),
    evidence: unique(carrying.flatMap((s) => s.evidence)),
  };
}

/**
 * Findings of the signals that a layer's rules claim: one for a cause, whatever number of sources said it, in the order
 * of the rules.
 */
export function findingsOf(signals: readonly Signal[], rules: readonly ReasonRule[]): Finding[] {
  const causes = unique(rules.map((rule) => rule.cause));
  return causes.flatMap(
    (cause) =>
      findingOf(
        cause,
        signals.filter((s) => claimedBy(s, rules)?.cause === cause),
      ) ?? [],
  );
}

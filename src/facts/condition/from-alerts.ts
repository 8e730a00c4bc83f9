import type { Alert, DeviceState } from '../../model/printer.js';
import type { PrinterFact } from '../fact.js';
import { splitReason } from '../printer/ipp-reasons.js';
import { meaningOf } from './reason-words.js';
import { type Signal, signal } from './signal.js';
import { isCritical, type StateWord, saysStopped } from './state.js';

const STALE = 'the alert is still listed although the printer reports that it runs: probably left behind';

/** A word of the generic alert codes becomes precise by the group it was raised in. */
function reasonOf(alert: Alert): string {
  return alert.reason === null ? 'unknown' : splitReason(alert.reason).keyword;
}

interface Weighing {
  readonly weight: Signal['weight'];
  readonly certainty: Signal['certainty'];
  readonly note: string | null;
}

const STOPS: Weighing = { weight: 'stop', certainty: 'sure', note: null };
const PROBABLY_STOPS: Weighing = { weight: 'stop', certainty: 'likely', note: null };
const LEFT_BEHIND: Weighing = { weight: 'warn', certainty: 'likely', note: STALE };

/** A critical row against what the state objects say. The alert row is the better witness unless the device prints. */
function weighCritical(alert: Alert, word: StateWord, agreed: boolean): Weighing {
  if (word.printing) return LEFT_BEHIND;
  if (saysStopped(word) || agreed) return STOPS;
  if (alert.source === 'ipp') return { weight: 'warn', certainty: 'possible', note: STALE };
  if (word.stopBit) return PROBABLY_STOPS;
  if (word.snmp === 'fine') return LEFT_BEHIND;
  if (word.ipp === 'fine') return LEFT_BEHIND;
  return PROBABLY_STOPS;
}

function weigh(alert: Alert, base: string, word: StateWord, state: DeviceState): Weighing {
  const meaning = meaningOf(base);
  if (meaning === 'event' || meaning === 'aside') return { weight: 'info', certainty: 'sure', note: null };
  if (meaning === 'mild' || !isCritical(alert)) return { weight: 'warn', certainty: 'sure', note: null };
  const agreed = state.reasons.some((keyword) => {
    const split = splitReason(keyword);
    return split.keyword === base && split.severity === 'error';
  });
  return weighCritical(alert, word, agreed);
}

/**
 * Signals of the alert table (RFC 3805 2.2.13) or of printer-alert (PWG 5100.9). Rows of printer-alert with code
 * `unknown` or `other` are entries of an event log on many devices and say nothing.
 */
export function alertSignals(printer: PrinterFact, word: StateWord): Signal[] {
  const { alerts, state } = printer.document;
  return alerts.flatMap((alert) => {
    const base = reasonOf(alert);
    if (alert.source === 'ipp' && (base === 'unknown' || base === 'other')) return [];
    return signal({
      ...weigh(alert, base, word, state),
      reason: base,
      witness: 'alert',
      component: alert.component,
      group: alert.group,
      description: alert.description,
      evidence: printer.evidence.alerts ?? [],
    });
  });
}

import type { PrinterFact } from '../fact.js';
import { type Reason, splitReason } from '../printer/ipp-reasons.js';
import { speaksFor } from '../printer/witnesses.js';
import { meaningOf } from './reason-words.js';
import { type Signal, signal } from './signal.js';
import { STOP_BITS, type StateWord, saysStopped } from './state.js';

const OTHER_SOURCE = 'the printer says so over IPP while its SNMP state says that it runs';

type Weighed = Pick<Signal, 'weight' | 'certainty' | 'note'>;

/**
 * The state objects say that it goes on. A device under warning(3) still works (RFC 2790 hrDeviceStatus; RFC 3805 2.2.13.2), which
 * a reason outweighs only by the suffix "-error": without one, "error" is what a reader has to assume, not what was said.
 */
function goesOn(word: StateWord, explicit: boolean): boolean {
  if (word.stopBit) return false;
  return word.snmp === 'fine' || (word.snmp === 'warning' && word.ipp === 'fine' && !word.warmingUp && !explicit);
}

function weighError({ keyword, explicit }: Reason, printer: PrinterFact, word: StateWord, agrees: boolean): Weighed {
  if (saysStopped(word) || agrees) return { weight: 'stop', certainty: 'sure', note: null };
  if (word.printing || goesOn(word, explicit)) return { weight: 'warn', certainty: 'likely', note: OTHER_SOURCE };
  // "Off line" is set for much else than a pause.
  const sameBit = printer.document.state.errorBits.some((bit) => STOP_BITS.has(bit) && speaksFor(bit, keyword));
  return { weight: 'stop', certainty: sameBit && keyword !== 'paused' ? 'sure' : 'likely', note: null };
}

function weigh(reason: Reason, printer: PrinterFact, word: StateWord, agrees: boolean): Weighed {
  const meaning = meaningOf(reason.keyword);
  if (meaning === 'event' || meaning === 'aside' || reason.severity === 'report') {
    return { weight: 'info', certainty: 'sure', note: null };
  }
  if (meaning === 'mild' || reason.severity === 'warning') return { weight: 'warn', certainty: 'sure', note: null };
  return weighError(reason, printer, word, agrees);
}

/** Signals of printer-state-reasons (RFC 8011 5.4.12). */
export function reasonSignals(printer: PrinterFact, word: StateWord): Signal[] {
  const { state, alerts } = printer.document;
  const critical = new Set(
    alerts.flatMap((a) => (a.severity === 'critical' && a.reason !== null ? splitReason(a.reason).keyword : [])),
  );
  return state.reasons.map((keyword) => {
    const reason = splitReason(keyword);
    return signal({
      ...weigh(reason, printer, word, critical.has(reason.keyword)),
      reason: reason.keyword,
      witness: 'reason',
      description: state.message ?? null,
      evidence: printer.evidence.state ?? [],
    });
  });
}

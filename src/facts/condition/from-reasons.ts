import type { PrinterFact } from '../fact.js';
import { type Reason, splitReason } from '../printer/ipp-reasons.js';
import { meaningOf } from './reason-words.js';
import { type Signal, signal } from './signal.js';
import type { StateWord } from './state.js';

const OTHER_SOURCE = 'the printer says so over IPP while its SNMP state says that it runs';

type Weighed = Pick<Signal, 'weight' | 'certainty' | 'note'>;

function weighError(base: string, word: StateWord, snmpAgrees: boolean): Weighed {
  if (word.ipp === 'stopped' || word.snmp === 'stopped' || snmpAgrees) {
    return { weight: 'stop', certainty: 'sure', note: null };
  }
  if (word.printing || (word.snmp === 'fine' && !word.stopBit)) {
    return { weight: 'warn', certainty: 'likely', note: OTHER_SOURCE };
  }
  return { weight: 'stop', certainty: base === 'paused' || word.snmp === null ? 'likely' : 'sure', note: null };
}

function weigh(base: string, severity: Reason['severity'], word: StateWord, snmpAgrees: boolean): Weighed {
  const meaning = meaningOf(base);
  if (meaning === 'event' || meaning === 'aside' || severity === 'report') {
    return { weight: 'info', certainty: 'sure', note: null };
  }
  if (meaning === 'mild' || severity === 'warning') return { weight: 'warn', certainty: 'sure', note: null };
  return weighError(base, word, snmpAgrees);
}

/** Signals of printer-state-reasons (RFC 8011 5.4.12). */
export function reasonSignals(printer: PrinterFact, word: StateWord): Signal[] {
  const { state, alerts } = printer.document;
  const critical = new Set(
    alerts.flatMap((a) => (a.severity === 'critical' && a.reason !== null ? splitReason(a.reason).keyword : [])),
  );
  return state.reasons.map((keyword) => {
    const { keyword: base, severity } = splitReason(keyword);
    return signal({
      ...weigh(base, severity, word, critical.has(base)),
      reason: base,
      witness: 'reason',
      description: state.message ?? null,
      evidence: printer.evidence.state ?? [],
    });
  });
}

import { REASON_BY_ERROR_BIT } from '../../registry/reasons.generated.js';
import type { PrinterFact } from '../fact.js';
import { type Signal, signal } from './signal.js';
import { STOP_BITS, type StateWord } from './state.js';

type Weighed = Pick<Signal, 'weight' | 'certainty' | 'note'>;

function weigh(bit: string, word: StateWord, betterWitness: boolean): Weighed {
  if (!STOP_BITS.has(bit)) return { weight: 'warn', certainty: 'sure', note: null };
  if (betterWitness) return { weight: 'info', certainty: 'likely', note: null };
  // Moving on-line (RFC 3805 2.2.13.2): off line still, and about to be ready.
  if (bit === 'offline' && word.warmingUp) return { weight: 'info', certainty: 'likely', note: null };
  if (word.snmp === 'stopped' || word.ipp === 'stopped') return { weight: 'stop', certainty: 'sure', note: null };
  if (word.printing || (word.ipp === 'fine' && word.snmp !== null)) {
    const note = `the error bit ${bit} is set although the printer reports that it runs`;
    return { weight: 'warn', certainty: 'likely', note };
  }
  return { weight: 'stop', certainty: 'likely', note: null };
}

/** Keyword of a bit; the two that have no exact keyword are told apart from plain `other`. */
function reasonOf(bit: string): string {
  if (bit === 'serviceRequested') return 'service-requested';
  if (bit === 'overduePreventMaint') return 'maintenance-overdue';
  if (bit === 'offline') return 'offline';
  return REASON_BY_ERROR_BIT[bit] ?? 'other';
}

/**
 * Signals of hrPrinterDetectedErrorState (RFC 2790). Where the alert table has a critical row of its own the bits are
 * the lesser witness: devices were seen that show a missing cartridge as an open door.
 */
export function bitSignals(printer: PrinterFact, word: StateWord, criticalRows: boolean): Signal[] {
  return printer.document.state.errorBits.map((bit) =>
    signal({
      ...weigh(bit, word, criticalRows),
      reason: reasonOf(bit),
      witness: 'bit',
      evidence: printer.evidence.state ?? [],
    }),
  );
}

import type { PjlFact } from '../pjl.js';
import type { ConditionFact } from './condition.js';
import { pjlSignals } from './from-pjl.js';
import type { StateWord } from './state.js';

/** Groups of codes under which a printer that is on-line can print. */
const CAN_PRINT: ReadonlySet<string> = new Set(['informs', 'goes-on']);

/**
 * What a printer's state over the raw port comes to where neither SNMP nor IPP could be read. Undefined when the port
 * said nothing that could be read.
 */
export function conditionByPjlAlone(pjl: PjlFact): ConditionFact | undefined {
  if (pjl.outcome !== 'answered') return undefined;
  const word: StateWord = {
    snmp: null,
    ipp: null,
    printing: false,
    busy: false,
    warmingUp: pjl.reason === 'warming-up',
    standby: false,
    stopBit: false,
  };
  const signals = pjlSignals(pjl, word, undefined);
  const stops = signals.some((s) => s.weight === 'stop');
  const runs = pjl.online === true && (pjl.code === null || CAN_PRINT.has(pjl.bearing ?? ''));
  return { word, stopped: stops ? true : runs ? false : null, accepting: null, signals, evidence: pjl.evidence };
}

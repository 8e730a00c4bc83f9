import type { PrinterFact } from '../fact.js';
import type { PjlFact } from '../pjl.js';
import { serves } from './from-parts.js';
import { meaningOf } from './reason-words.js';
import { type Signal, signal } from './signal.js';
import { type StateWord, saysStopped } from './state.js';

const CONTRADICTED = 'the printer says so over its raw port (PJL) while its other words say that it runs';

type Weighed = Pick<Signal, 'weight' | 'certainty' | 'note'>;

/** Its other words say that it can print, and nothing in them says otherwise. */
function contradicts(word: StateWord, printer: PrinterFact | undefined): boolean {
  if (word.printing) return true;
  if (saysStopped(word)) return false;
  if (word.snmp !== null) return word.snmp === 'fine' && !word.stopBit;
  return word.ipp === 'fine' && printer?.document.state.reasons.length === 0;
}

function weigh(reason: string, pjl: PjlFact, word: StateWord, printer: PrinterFact | undefined): Weighed {
  if (meaningOf(reason) === 'mild') return { weight: 'warn', certainty: 'sure', note: null };
  const stops = pjl.online === false || pjl.bearing === 'halts' || reason === 'offline';
  if (!stops) return { weight: 'warn', certainty: 'sure', note: null };
  if (contradicts(word, printer)) return { weight: 'warn', certainty: 'likely', note: CONTRADICTED };
  return { weight: 'stop', certainty: saysStopped(word) ? 'sure' : 'likely', note: null };
}

/** "Paper out and no tray that serves": with paper in some tray, it is another size or type that is wanted. */
function precise(reason: string, pjl: PjlFact, printer: PrinterFact | undefined): string {
  const lacks = reason === 'media-empty' && pjl.bearing === 'halts';
  return lacks && printer?.document.trays.some(serves) ? 'media-needed' : reason;
}

/** A code without a certain keyword still says whether it stops; off-line without a reason is a reason of its own. */
function bareReason({ bearing, online, reason }: PjlFact): string | null {
  if (reason === 'warming-up' || (reason !== null && meaningOf(reason) !== 'mild')) return null;
  if (bearing === 'halts' && online !== true) return 'stopped';
  if (bearing === 'halts' && reason === null) return 'stopped';
  if (online !== false) return null;
  return bearing === 'may-stop' ? 'stopped' : 'offline';
}

/**
 * Signals of the state that was read over the raw port. The code counts, not the display, which speaks the language of
 * the panel and is passed on as it is.
 */
export function pjlSignals(pjl: PjlFact, word: StateWord, printer: PrinterFact | undefined): Signal[] {
  if (pjl.outcome !== 'answered') return [];
  const reasons = [pjl.reason === null ? null : precise(pjl.reason, pjl, printer), bareReason(pjl)];
  return reasons.flatMap((reason) =>
    reason === null
      ? []
      : signal({
          ...weigh(reason, pjl, word, printer),
          reason,
          witness: 'pjl',
          description: pjl.display,
          evidence: pjl.evidence,
        }),
  );
}

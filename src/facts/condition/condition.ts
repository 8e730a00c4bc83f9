import type { PrinterFact } from '../fact.js';
import type { PjlFact } from '../pjl.js';
import { alertSignals } from './from-alerts.js';
import { bitSignals } from './from-bits.js';
import { coverSignals, outputSignals, serves, supplySignals, traySignals } from './from-parts.js';
import { pjlSignals } from './from-pjl.js';
import { reasonSignals } from './from-reasons.js';
import { wordSignals } from './from-words.js';
import { explains, isVague } from './reason-words.js';
import { type Signal, signal } from './signal.js';
import { readState, type StateWord, saysStopped } from './state.js';

export interface ConditionFact {
  readonly word: StateWord;
  /** True: it has stopped. False: by its own word it can print. Null: its words do not settle it. */
  readonly stopped: boolean | null;
  readonly accepting: boolean | null;
  readonly signals: readonly Signal[];
  /** Evidence behind the state objects. */
  readonly evidence: readonly string[];
}

/**
 * An empty tray stops nothing while another tray serves, unless the state says that the printer has stopped: then the
 * waiting page wants that very tray.
 */
function easeTrays(signals: readonly Signal[], printer: PrinterFact, word: StateWord): Signal[] {
  const { trays } = printer.document;
  const named = new Set(signals.filter((s) => s.reason === 'media-empty' && s.component).map((s) => s.component));
  const another = trays.some((tray) => serves(tray) && !named.has(tray.name));
  return signals.map((s) => {
    if (s.reason !== 'media-empty' || s.weight !== 'stop' || !another) return s;
    return saysStopped(word) ? { ...s, certainty: 'likely' as const } : { ...s, weight: 'warn' as const };
  });
}

const names = (s: Signal): boolean => explains(s.reason) || s.reason === 'part-life-over' || s.witness === 'words';

/** Lesser signals that may be why a device stopped, when nothing else says why; the best witness first. */
function promote(signals: readonly Signal[]): Signal[] {
  const order: readonly Signal['witness'][] = ['alert', 'reason', 'pjl', 'tray', 'supply', 'output'];
  for (const witness of order) {
    const found = signals.filter(
      (s) => s.witness === witness && s.weight === 'warn' && names(s) && !isMildWord(s.reason),
    );
    if (found.length > 0) return found.map((s) => ({ ...s, weight: 'stop', certainty: 'likely', note: null }));
  }
  return [];
}

const isMildWord = (reason: string): boolean => /(low|almost-[a-z]+|near-[a-z]+|warming-up|power-saver)$/.test(reason);

/** Only mild words explain a "down" that no other source confirms: devices were seen that go down for low toner. */
function onlyMild(signals: readonly Signal[], word: StateWord): boolean {
  if (word.snmp !== 'stopped' || word.ipp === 'stopped') return false;
  const said = signals.filter((s) => s.weight !== 'info' && ['alert', 'bit', 'reason'].includes(s.witness));
  return said.length > 0 && said.every((s) => isMildWord(s.reason));
}

/** The device says that it has stopped and nothing said why. */
function bareStop(signals: readonly Signal[], evidence: readonly string[]): Signal {
  const bits = signals.filter((s) => s.witness === 'bit').map((s) => s.reason);
  const vague = signals.find((s) => s.weight === 'stop' || (s.weight === 'warn' && isVague(s.reason)));
  const offline =
    bits.includes('offline') || signals.some((s) => /^(shutdown|subunit-offline|offline)$/.test(s.reason));
  const reason = offline ? 'offline' : bits.includes('service-requested') ? 'service-requested' : 'stopped';
  return signal({
    reason,
    weight: 'stop',
    certainty: 'likely',
    witness: 'status',
    description: vague?.description ?? null,
    evidence,
  });
}

/** Why it stopped, where nothing says so: a lesser signal that may be it, else that it has. */
function guess(signals: readonly Signal[], evidence: readonly string[]): readonly Signal[] {
  const promoted = promote(signals);
  return promoted.length > 0 ? promoted : [bareStop(signals, evidence)];
}

/** Vague words that come with every stop are no reason, and no news, of their own once a precise one is known. */
function dropConsequences(signals: readonly Signal[]): Signal[] {
  const precise = signals.some((s) => s.weight === 'stop' && names(s));
  if (!precise) return [...signals];
  return signals.map((s) => (names(s) ? s : { ...s, weight: 'info' as const }));
}

function settle(word: StateWord, signals: readonly Signal[], mildOnly: boolean): boolean | null {
  if (signals.some((s) => s.weight === 'stop')) return true;
  if (mildOnly) return word.ipp === 'fine' ? false : null;
  if (word.snmp === null && word.ipp === null) return null;
  return false;
}

/** Weighs everything the printer says of itself, over the raw port too where that was asked, into one list of signals. */
export function readCondition(printer: PrinterFact, pjl?: PjlFact): ConditionFact {
  const word = readState(printer.document.state);
  const evidence = printer.evidence.state ?? [];
  const alerts = alertSignals(printer, word);
  const criticalRows = alerts.some((s) => s.weight === 'stop');
  const raw = [
    ...alerts,
    ...reasonSignals(printer, word),
    ...bitSignals(printer, word, criticalRows),
    ...coverSignals(printer, word),
    ...traySignals(printer, word),
    ...outputSignals(printer),
    ...supplySignals(printer),
    ...(pjl === undefined ? [] : pjlSignals(pjl, word, printer)),
  ];
  const eased = easeTrays(raw, printer, word);
  const mildOnly = onlyMild(eased, word);
  const explained = eased.some((s) => s.weight === 'stop' && names(s));
  const unexplained = saysStopped(word) && !explained;
  const said = unexplained ? wordSignals(printer) : [];
  const guessed = unexplained && !mildOnly && said.length === 0 ? guess(eased, evidence) : [];
  const signals = dropConsequences([...said, ...guessed, ...eased]);
  return {
    word,
    stopped: settle(word, signals, mildOnly),
    accepting: printer.document.state.accepting,
    signals,
    evidence,
  };
}

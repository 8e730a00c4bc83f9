import type { EventDocument } from '../model/event.js';
import type { PrinterDocument } from '../model/printer.js';
import type { EvidenceBundle, WhyDocument } from '../model/why.js';
import type { Reading } from './reading.js';

/** What a printer said last, and what that came to. */
export interface Latest {
  readonly why: WhyDocument;
  /** What it rests on, to be judged again with what a person adds. */
  readonly bundle: EvidenceBundle;
  /** Its last words; null while it has never said anything. */
  readonly document: PrinterDocument | null;
}

type Listener = (event: EventDocument) => void;
/** Told the name of a printer whose newest look differs from the one before in what people are shown. */
type ChangeListener = (printer: string) => void;

/** Events kept for listeners whose connection broke. */
const KEPT_EVENTS = 500;

/** The newest reading of each printer and the events as they come, for those who ask over HTTP. */
export class LatestReadings {
  private readonly readings = new Map<string, Latest>();
  private readonly listeners = new Set<Listener>();
  private readonly changeListeners = new Set<ChangeListener>();
  private readonly newest: EventDocument[] = [];

  readonly take = (name: string, { why, bundle, document, unchanged }: Reading): void => {
    const before = this.readings.get(name);
    // One that sleeps on was not asked: what was known of it still holds.
    if (unchanged && before !== undefined) return;
    const now: Latest = { why, bundle, document: document ?? before?.document ?? null };
    this.readings.set(name, now);
    if (this.changeListeners.size === 0 || (before !== undefined && shownOf(before) === shownOf(now))) return;
    for (const listener of this.changeListeners) listener(name);
  };

  readonly tell = (event: EventDocument): void => {
    this.newest.push(event);
    if (this.newest.length > KEPT_EVENTS) this.newest.shift();
    for (const listener of this.listeners) listener(event);
  };

  of(name: string): Latest | undefined {
    return this.readings.get(name);
  }

  /** The events after the one of this id; undefined when it is not known any more, so that some may have been missed. */
  since(id: string): readonly EventDocument[] | undefined {
    const at = this.newest.findLastIndex((event) => event.id === id);
    return at < 0 ? undefined : this.newest.slice(at + 1);
  }

  /** Until the signal says so. */
  listen(listener: Listener, until: AbortSignal): void {
    this.listeners.add(listener);
    until.addEventListener('abort', () => this.listeners.delete(listener), { once: true });
  }

  /** Until the signal says so. */
  listenToChanges(listener: ChangeListener, until: AbortSignal): void {
    this.changeListeners.add(listener);
    until.addEventListener('abort', () => this.changeListeners.delete(listener), { once: true });
  }
}

/** What people are shown of a reading, without what is new each time: times, durations, evidence. */
function shownOf({ why, document }: Latest): string {
  const { silent, verdict, others, warnings, suspects, layers } = why;
  const said = document === null ? null : { ...document, readAt: '', upTimeTicks: null, interfaces: [] };
  return JSON.stringify([silent, verdict, others, warnings, suspects, layers.map(({ state }) => state), said]);
}

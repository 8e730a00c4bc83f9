import type { EventDocument } from '../model/event.js';
import type { PrinterDocument } from '../model/printer.js';
import type { WhyDocument } from '../model/why.js';
import type { Reading } from './reading.js';

/** What a printer said last, and what that came to. */
export interface Latest {
  readonly why: WhyDocument;
  /** Its last words; null while it has never said anything. */
  readonly document: PrinterDocument | null;
}

type Listener = (event: EventDocument) => void;

/** Events kept for listeners whose connection broke. */
const KEPT_EVENTS = 500;

/** The newest reading of each printer and the events as they come, for those who ask over HTTP. */
export class LatestReadings {
  private readonly readings = new Map<string, Latest>();
  private readonly listeners = new Set<Listener>();
  private readonly newest: EventDocument[] = [];

  readonly take = (name: string, { why, document, unchanged }: Reading): void => {
    const before = this.readings.get(name);
    // One that sleeps on was not asked: what was known of it still holds.
    if (unchanged && before !== undefined) return;
    this.readings.set(name, { why, document: document ?? before?.document ?? null });
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
}

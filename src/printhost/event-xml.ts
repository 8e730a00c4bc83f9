import { SaxesParser, type SaxesTagNS } from 'saxes';
import type { HostEvent } from '../model/print-host.js';

/** The event schema's namespace: an identifier, never fetched. */
export const EVENT_NAMESPACE = 'http://schemas.microsoft.com/win/2004/08/events/event';
const MOST_EVENTS = 200_000;
const DEEPEST = 32;
const PIECE = 2048;
/** A value of an event; more than this of one is cut. */
const LONGEST_VALUE = 10_000;

export type EventsReading =
  | { readonly events: readonly HostEvent[]; readonly problems: readonly string[] }
  | { readonly wrong: string };

/**
 * Reads an export of events: `Event` elements of the open event schema, below `Events` or one after the other (as `wevtutil
 * qe … /f:xml` gives them). A document type declaration is refused, so no entity can be declared; only the five that XML
 * itself knows and numeric references are resolved. Reads in one pass, with bounds on number, depth and length.
 */
export function readEventXml(text: string): EventsReading {
  if (/<!DOCTYPE/i.test(text)) return { wrong: 'it holds a document type declaration, as no event export does' };
  const reader = new EventReader();
  const parser = new SaxesParser({ xmlns: true, fragment: true, position: true });
  parser.on('error', (error) => {
    reader.wrong ??= error.message.replace(/^undefined:/, 'line ');
  });
  parser.on('opentag', (tag) => reader.open(tag));
  parser.on('closetag', () => reader.close());
  parser.on('text', (piece) => reader.text(piece));
  parser.on('cdata', (piece) => reader.text(piece));
  // In small pieces: after a mistake nothing more is read. Within a piece the library goes on, and is slow where it is deep.
  const body = withoutDeclaration(text);
  for (let at = 0; at < body.length && reader.wrong === undefined; at += PIECE)
    parser.write(body.slice(at, at + PIECE));
  if (reader.wrong === undefined) parser.close();
  if (reader.wrong !== undefined) return { wrong: `it is no well-formed event export: ${reader.wrong}` };
  if (!reader.met) return { wrong: 'it holds no event of the event schema' };
  return { events: reader.events, problems: reader.problems };
}

/** An XML declaration may stand before a document but not before a fragment (XML 1.0, section 2.8 and production 78). */
function withoutDeclaration(text: string): string {
  return text.replace(/^\uFEFF?\s*<\?xml[^>]{0,200}\?>/, '');
}

interface Draft {
  provider: string;
  id: number | null;
  at: string | null;
  readonly data: Record<string, string>;
  unnamed: number;
}

class EventReader {
  readonly events: HostEvent[] = [];
  readonly problems: string[] = [];
  wrong: string | undefined;
  met = false;
  #dropped = 0;
  #event: Draft | undefined;
  readonly #path: { readonly name: string; readonly key: string | null }[] = [];
  #text = '';

  open(tag: SaxesTagNS): void {
    const name = tag.local;
    if (this.#path.length >= DEEPEST) this.wrong ??= 'elements nested too deeply';
    const named = attribute(tag, 'Name');
    this.#path.push({ name, key: named });
    this.#text = '';
    if (name === 'Event' && tag.uri === EVENT_NAMESPACE) {
      this.met = true;
      this.#event = { provider: '', id: null, at: null, data: Object.create(null), unnamed: 0 };
    }
    if (this.#event === undefined) return;
    if (name === 'Provider') this.#event.provider = named ?? attribute(tag, 'EventSourceName') ?? '';
    if (name === 'TimeCreated') this.#event.at = moment(attribute(tag, 'SystemTime'));
  }

  text(piece: string): void {
    if (this.#text.length < LONGEST_VALUE) this.#text += piece.slice(0, LONGEST_VALUE - this.#text.length);
  }

  close(): void {
    const closed = this.#path.pop();
    const event = this.#event;
    if (closed === undefined || event === undefined) return;
    const below = this.#path.map(({ name }) => name);
    const inData = below.includes('EventData') || below.includes('UserData');
    const value = this.#text.trim();
    this.#text = '';
    if (closed.name === 'EventID' && below.at(-1) === 'System')
      event.id = /^\d{1,9}$/.test(value) ? Number(value) : null;
    else if (inData && (value !== '' || closed.name === 'Data')) keep(event, closed.name, closed.key, value);
    else if (closed.name === 'Event') this.#finish(event);
  }

  #finish(event: Draft): void {
    this.#event = undefined;
    if (event.id === null || event.at === null) {
      if (this.#dropped === 0) this.problems.push('An event without a number or a time was left out.');
      this.#dropped += 1;
      return;
    }
    if (this.events.length >= MOST_EVENTS) {
      this.wrong ??= `more than ${MOST_EVENTS} events; export fewer days`;
      return;
    }
    this.events.push({ provider: event.provider, id: event.id, at: event.at, data: { ...event.data } });
  }
}

/** `Data` goes by its Name, without one as `param1`, `param2` …; an element of UserData by its own name. */
function keep(event: Draft, element: string, key: string | null, value: string): void {
  if (element === 'Data') {
    event.unnamed += 1;
    event.data[key ?? `param${event.unnamed}`] ??= value;
  } else event.data[element] ??= value;
}

function attribute(tag: SaxesTagNS, name: string): string | null {
  const found = Object.values(tag.attributes).find((one) => one.local === name);
  return found === undefined || found.value === '' ? null : found.value;
}

/** SystemTime is UTC with up to nine decimals, which a Date reads only in part. */
function moment(text: string | null): string | null {
  if (text === null) return null;
  const date = new Date(text.replace(/(\.\d{3})\d+/, '$1'));
  return Number.isNaN(date.getTime()) ? null : date.toISOString();
}

import { SaxesParser, type SaxesTagNS } from 'saxes';
import { DIALECTS, SOAP } from './probe.js';

/** One device of a ProbeMatches message (WS-Discovery 1.1 section 5.3). */
export interface ProbeMatch {
  /** Endpoint reference, as it came. */
  readonly endpoint: string;
  /** Local names of its types, the prefixes taken off. */
  readonly types: readonly string[];
}

export interface ProbeMatches {
  /** MessageID of the probe that is answered. */
  readonly relatesTo: string;
  readonly matches: readonly ProbeMatch[];
}

const MOST_CHARACTERS = 65_536;
const MOST_MATCHES = 64;
const DEEPEST = 24;
const LONGEST_TEXT = 4096;

/**
 * Reads an answer to a probe. Null for anything that is none: not well formed, another message, nested or long beyond use. A
 * document type declaration is refused, so there are no entities but those of XML itself.
 */
export function readProbeMatches(text: string): ProbeMatches | null {
  if (text.length > MOST_CHARACTERS) return null;
  const reader = new MatchReader();
  const parser = new SaxesParser({ xmlns: true });
  parser.on('doctype', () => parser.fail('a document type declaration'));
  parser.on('error', () => {
    reader.broken = true;
  });
  parser.on('opentag', (tag) => reader.open(tag));
  parser.on('closetag', () => reader.close());
  parser.on('text', (piece) => reader.text(piece));
  parser.on('cdata', (piece) => reader.text(piece));
  // In pieces: after the first mistake nothing more is read.
  for (let at = 0; at < text.length && !reader.broken; at += 2048) parser.write(text.slice(at, at + 2048));
  if (!reader.broken) parser.close();
  if (reader.broken || reader.relatesTo === '' || !reader.met) return null;
  return { relatesTo: reader.relatesTo, matches: reader.matches };
}

const DISCOVERY = DIALECTS.map(({ discovery }) => discovery);
const ADDRESSING = DIALECTS.map(({ addressing }) => addressing);

class MatchReader {
  relatesTo = '';
  met = false;
  broken = false;
  readonly matches: ProbeMatch[] = [];
  private readonly path: string[] = [];
  private words = '';
  private endpoint = '';
  private types: readonly string[] = [];

  open(tag: SaxesTagNS): void {
    if (this.path.length >= DEEPEST) this.broken = true;
    if (this.path.length === 0 && !(tag.local === 'Envelope' && tag.uri === SOAP)) this.broken = true;
    const space = DISCOVERY.includes(tag.uri) ? 'd:' : ADDRESSING.includes(tag.uri) ? 'a:' : '?:';
    this.path.push(tag.uri === SOAP ? tag.local : `${space}${tag.local}`);
    this.words = '';
    if (this.at('d:ProbeMatches')) this.met = true;
    if (this.at('d:ProbeMatches/d:ProbeMatch')) {
      this.endpoint = '';
      this.types = [];
    }
  }

  text(piece: string): void {
    if (this.words.length < LONGEST_TEXT) this.words += piece.slice(0, LONGEST_TEXT - this.words.length);
  }

  close(): void {
    const words = this.words.trim();
    if (this.path.join('/') === 'Envelope/Header/a:RelatesTo') this.relatesTo ||= words;
    if (this.at('d:ProbeMatches/d:ProbeMatch/a:EndpointReference/a:Address')) this.endpoint ||= words;
    if (this.at('d:ProbeMatches/d:ProbeMatch/d:Types')) {
      this.types = words.split(/\s+/).flatMap((name) => /^(?:[^:]+:)?([^:]+)$/.exec(name)?.[1] ?? []);
    }
    if (this.at('d:ProbeMatches/d:ProbeMatch') && this.endpoint !== '' && this.matches.length < MOST_MATCHES) {
      this.matches.push({ endpoint: this.endpoint, types: this.types });
    }
    this.path.pop();
    this.words = '';
  }

  /** Whether the reader stands at this place below the body. */
  private at(place: string): boolean {
    return this.path.join('/') === `Envelope/Body/${place}`;
  }
}

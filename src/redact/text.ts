/** Hides what tells of somebody in running text: addresses by their form, everything else by what is known already. */
import ipaddr from 'ipaddr.js';
import {
  type AddressKind,
  canonicalAddress,
  inFormOf,
  isAddressKind,
  isEverybodys,
  octetsOfAddress,
} from './addresses.js';
import type { Kind, StandIns } from './stand-ins.js';
import { redactedUri } from './uri.js';
import { isSearchable, WordIndex } from './word-index.js';

/** A piece of a text and what stands there instead. */
interface Change {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/** `own`: its octets, one character each. */
export interface KnownAddress {
  readonly kind: AddressKind;
  readonly value: string;
  readonly own: string;
}

type Finder = readonly [pattern: RegExp, change: (found: string, table: TextRedactor) => string | undefined];

const FINDERS: readonly Finder[] = [
  [/(?<![a-z0-9+.-])[a-z][a-z0-9+.-]{0,30}:\/\/[^\s"'<>()]+/gi, (uri, redactor) => redactedUri(uri, redactor)],
  // Letters of every language (RFC 6531 section 3.3), and the apostrophe of a name.
  [
    /(?<![\p{L}\p{M}\p{N}_.+-]'{0,3})[\p{L}\p{M}\p{N}_.+-][\p{L}\p{M}\p{N}_.+'-]{0,63}@[\p{L}\p{M}\p{N}-]{1,63}(?:\.[\p{L}\p{M}\p{N}-]{1,63})+/giu,
    (mail, redactor) => redactor.mail(mail),
  ],
  // Where on earth something stands (RFC 5870).
  [/(?<![a-z0-9+.-])geo:-?\d[\d.,-]*(?:;[\w.=%-]+)*/gi, (place, { standIns }) => standIns.of('place', place)],
  // `\\server\share` (MS-DTYP 2.2.57).
  [/(?<![\\\w:])\\\\[^\\\s"'<>|:*?,;]+(?:\\[^\\\s"'<>|:*?,;]+)*/g, (path, redactor) => redactor.shared(path)],
  [
    /(?<![0-9a-f-])[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}(?![0-9a-f-])/gi,
    (uuid, { standIns }) => standIns.of('uuid', uuid),
  ],
  [/S-1-5-21(?:-\d{1,10}){1,3}(?=-\d)/gi, (sid, { standIns }) => standIns.of('sid', sid)],
  [
    /(?<![0-9a-f:-])[0-9a-f]{2}([:-])[0-9a-f]{2}(?:\1[0-9a-f]{2}){4}(?![0-9a-f]|[:-][0-9a-f])/gi,
    (mac, redactor) => redactor.mac(mac),
  ],
  [/(?<![0-9a-f.])[0-9a-f]{4}\.[0-9a-f]{4}\.[0-9a-f]{4}(?![0-9a-f.])/gi, (mac, redactor) => redactor.mac(mac)],
  [
    /(?<![0-9a-z:.])[0-9a-f]{0,4}(?::[0-9a-f]{0,4}){2,7}(?::?\d{1,3}(?:\.\d{1,3}){3})?(?![0-9a-z:])/gi,
    (text, redactor) => redactor.ipv6(text),
  ],
  [/(?<![0-9a-f.])(?:[0-9a-f]\.){32}ip6\.arpa/gi, (text, redactor) => redactor.reversedIpv6(text)],
  [/(?<![\d.])\d{1,3}(?:\.\d{1,3}){3}\.in-addr\.arpa/gi, (text, redactor) => redactor.reversedIpv4(text)],
  [/(?<![\d.])\d{1,3}(?:\.\d{1,3}){3}(?!\d|\.\d)/g, (text, redactor) => redactor.ipv4(text)],
];

/** Four numbers after one of these words are a version and no address. */
const VERSION_BEFORE = /\b(?:version|ver|v|firmware|fw|rev|revision|release|build)[.:\s]*$/i;

export type { Kind };

export class TextRedactor {
  private words: WordIndex<Kind> | undefined;
  private known: readonly KnownAddress[] | undefined;
  private readonly done = new Map<string, string>();

  private ordinary: ReadonlySet<string> = new Set();
  /** What many devices are alike is no secret, also where one is named after it. */
  private readonly models = new Set<string>();

  constructor(readonly standIns: StandIns) {}

  /**
   * From here on known words are looked for in running text: all of them have to be known by now. `ordinary`: those that the
   * program itself uses, which tell nothing where they stand in a sentence.
   */
  learnt(ordinary: ReadonlySet<string>): void {
    this.ordinary = ordinary;
    this.done.clear();
    this.words = new WordIndex(this.searched());
    this.known = undefined;
  }

  /** Every address that is known, with the octets it is. */
  addresses(): readonly KnownAddress[] {
    this.known ??= this.standIns.hidden().flatMap(({ kind, spellings }) => {
      const [value] = spellings;
      if (value === undefined || !isAddressKind(kind) || kind === 'sid') return [];
      return [{ kind, value, own: octetsOfAddress(kind, value) }];
    });
    return this.known;
  }

  /** Words that are looked for in running text, with what they are. */
  *searched(): Generator<readonly [word: string, kind: Kind]> {
    for (const { kind, spellings } of this.standIns.hidden()) {
      for (const word of spellings) {
        if (!isSearchable(word) || (!isAddressKind(kind) && (this.ordinary.has(word) || this.isModel(kind, word))))
          continue;
        yield [word, kind];
        if (kind === 'mac') yield [canonicalAddress(kind, word), kind];
        for (const form of ['NFC', 'NFD'] as const) yield [word.normalize(form), kind];
      }
    }
  }

  /** The text with all that is known, and all that has the form of an address, replaced. */
  text(text: string): string {
    if (text.length < 4) return text;
    const known = this.done.get(text);
    if (known !== undefined) return known;
    const changed = this.changed(text);
    if (this.done.size < 200_000) this.done.set(text, changed);
    return changed;
  }

  private changed(text: string): string {
    const changes: Change[] = [];
    const isFree = (start: number, end: number): boolean =>
      changes.every((one) => end <= one.start || start >= one.end);
    for (const [pattern, change] of FINDERS) {
      for (const match of text.matchAll(pattern)) {
        const [start, end] = [match.index, match.index + match[0].length];
        if (!isFree(start, end) || (pattern === IPV4 && this.isVersion(text, start, match[0]))) continue;
        const instead = change(match[0], this);
        if (instead !== undefined) changes.push({ start, end, text: instead });
      }
    }
    for (const { start, end, meaning } of this.words?.find(text) ?? []) {
      if (isFree(start, end)) changes.push({ start, end, text: this.instead(meaning, text.slice(start, end)) });
    }
    return applied(text, changes);
  }

  private instead(kind: Kind, found: string): string {
    const standIn = this.standIns.of(kind, found);
    return kind === 'mac' ? inFormOf(standIn, found) : standIn;
  }

  private isVersion(text: string, start: number, address: string): boolean {
    return !this.standIns.knows('ipv4', address) && VERSION_BEFORE.test(text.slice(Math.max(0, start - 20), start));
  }

  ipv4(text: string): string | undefined {
    if (text.split('.').some((octet) => Number(octet) > 255 || /^0\d/.test(octet))) return undefined;
    return isEverybodys('ipv4', text) ? undefined : this.standIns.of('ipv4', text);
  }

  ipv6(text: string): string | undefined {
    if (!text.includes('::') && text.split(':').length < 8) return undefined;
    if (!ipaddr.IPv6.isValid(text) || /^[:0]*$/.test(text)) return undefined;
    return isEverybodys('ipv6', text) ? undefined : this.standIns.of('ipv6', text);
  }

  mac(text: string): string | undefined {
    return isEverybodys('mac', text) ? undefined : inFormOf(this.standIns.of('mac', text), text);
  }

  reversedIpv4(text: string): string | undefined {
    const turned = (address: string): string => address.split('.').reverse().join('.');
    const standIn = this.ipv4(turned(text.replace(/\.in-addr\.arpa$/i, '')));
    return standIn === undefined ? undefined : `${turned(standIn)}.in-addr.arpa`;
  }

  reversedIpv6(text: string): string | undefined {
    const nibbles = text.slice(0, 63).split('.').reverse().join('');
    const standIn = this.ipv6((nibbles.match(/..../g) ?? []).join(':'));
    if (standIn === undefined) return undefined;
    const octets = ipaddr.IPv6.parse(standIn).toByteArray();
    const digits = octets.map((octet) => octet.toString(16).padStart(2, '0')).join('');
    return `${[...digits].reverse().join('.')}.ip6.arpa`;
  }

  /** `\\\\server\\share\\folder`; shares that every host has keep their names. */
  shared(text: string): string {
    const [server = '', ...names] = text.slice(2).split('\\');
    const hidden = names.map((name) => (name === '' || USUAL_SHARE.test(name) ? name : this.whole('queue', name)));
    return `\\\\${[this.whole('host', server), ...hidden].join('\\')}`;
  }

  mail(text: string): string {
    const at = text.lastIndexOf('@');
    return `${this.standIns.of('person', text.slice(0, at))}@${this.host(text.slice(at + 1))}`;
  }

  /** A version: four numbers in it are no address, unless they are known as one. */
  version(text: string): string {
    const before = 'version ';
    return this.text(before + text).slice(before.length);
  }

  /** The name of a model: it stays, also where a device, a certificate or a queue is called the same. */
  model(text: string): string {
    this.models.add(text.trim().toLowerCase());
    return this.text(text);
  }

  /** A whole value of a kind. An address stays an address whatever it was given as. */
  whole(kind: Kind, value: string): string {
    const text = value.trim();
    if (text === '' || EVERYBODYS_WORDS.has(text.toLowerCase()) || this.isModel(kind, text)) return value;
    const [, bare = text, zone = ''] = /^([0-9a-f.]*:[0-9a-f:.]*)(%[\s\S]*)$/i.exec(text) ?? [];
    const address = this.asAddress(bare);
    if (address !== undefined) return address + zone;
    if (/^[a-z][a-z0-9+.-]*:\/\//i.test(text) || /@[^@\s]+\.[^@\s.]+$/.test(text)) return this.text(text);
    if (/^\\\\[^\\]/.test(text)) return this.shared(text);
    if (kind === 'host' || (isNetworkName(kind) && HOST_NAME.test(text))) return this.host(text);
    if ((kind === 'person' || kind === 'group') && text.includes('\\')) return this.account(kind, text);
    if (kind === 'person' || kind === 'place') this.parts(kind, text);
    this.text(text); // For the addresses in it, which stand alone elsewhere.
    return this.standIns.of(kind, text);
  }

  private isModel(kind: Kind, text: string): boolean {
    return MODEL_NAMES.has(kind) && this.models.has(text.toLowerCase());
  }

  private asAddress(text: string): string | undefined {
    for (const [pattern, change] of FINDERS.slice(2)) {
      const [found] = text.match(pattern) ?? [];
      if (found !== undefined && found.length === text.length) return change(found, this) ?? text;
    }
    return undefined;
  }

  /** `EXAMPLE\\mira`: the name alone means the same person. */
  private account(kind: Kind, text: string): string {
    const [group = '', ...names] = text.split('\\');
    const name = names.join('\\');
    return `${group === '' ? '' : this.standIns.of('group', group)}\\${name === '' ? '' : this.standIns.of(kind, name)}`;
  }

  /** A host's first label, and the domain apart from it: the label alone means the same host. */
  host(text: string): string {
    const [label = '', ...rest] = text.split('.');
    if (label === '' || rest.length === 0) return text === '' ? text : this.hostLabel(text);
    const domain = rest.join('.');
    const bare = domain.replace(/\.$/, '');
    if (bare === '') return `${this.hostLabel(label)}.`;
    const hidden = /^(local|arpa|in-addr\.arpa|ip6\.arpa)$/i.test(bare) ? bare : this.standIns.of('domain', bare);
    return `${this.hostLabel(label)}.${hidden}${domain.endsWith('.') ? '.' : ''}`;
  }

  private hostLabel(label: string): string {
    return EVERYBODYS_WORDS.has(label.toLowerCase()) ? label : this.standIns.of('host', label);
  }

  /** "Mira Holm, extension 12" is known by its parts as well. */
  private parts(kind: 'person' | 'place', text: string): void {
    const parts = text.split(/[,;/()<>|\n]+/).map((part) => part.trim());
    if (parts.length < 2 || text.length > 400) return;
    for (const part of parts) if (isSearchable(part)) this.standIns.note(kind, part);
  }
}

/** What is often called after its model; a place or a person that is called so is hidden all the same. */
const MODEL_NAMES: ReadonlySet<Kind> = new Set<Kind>(['printer', 'queue', 'host', 'text']);

const USUAL_SHARE = /^(?:print|ipc|admin|[a-z])\$$/i;

const HOST_NAME = /^[a-z0-9-]+(\.[a-z0-9-]+)+\.?$/i;

/** Documents and serial numbers have dots that divide no domain. */
function isNetworkName(kind: Kind): boolean {
  return kind === 'printer' || kind === 'queue';
}

const IPV4 = FINDERS.at(-1)?.[0];

/** What says of nobody who it is. `all` and `none` are keywords where users are listed. */
const EVERYBODYS_WORDS: ReadonlySet<string> = new Set([
  'all',
  'none',
  'anonymous',
  'unknown',
  'default',
  'localhost',
  '-',
]);

function applied(text: string, changes: readonly Change[]): string {
  const parts: string[] = [];
  let at = 0;
  for (const change of [...changes].sort((a, b) => a.start - b.start)) {
    parts.push(text.slice(at, change.start), change.text);
    at = change.end;
  }
  return `${parts.join('')}${text.slice(at)}`;
}

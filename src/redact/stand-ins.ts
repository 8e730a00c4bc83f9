/**
 * The one table of a redaction: what is hidden, and what stands in its place. The same thing gets the same stand-in
 * everywhere, two things never share one, and no stand-in is something that is hidden elsewhere.
 */
import { type AddressKind, addressStandIn, canonicalAddress, isAddressKind } from './addresses.js';

/** What a word is that gets hidden; its stand-in begins with it. */
export type WordKind =
  | 'printer'
  | 'queue'
  | 'host'
  | 'domain'
  | 'person'
  | 'group'
  | 'place'
  | 'document'
  | 'serial'
  | 'site'
  | 'secret'
  | 'text';
export type Kind = WordKind | AddressKind;

/** One thing that is hidden. */
export interface Hidden {
  readonly kind: Kind;
  /** As it was written, in each spelling that was met. */
  readonly spellings: readonly string[];
}

interface Entry {
  readonly kind: Kind;
  readonly spellings: string[];
  standIn?: string;
}

/** A serial number may stand inside another one, where one source adds to it; shorter ones do so by chance. */
const SHORTEST_PART = 4;

export class StandIns {
  private readonly entries = new Map<string, Entry>();
  /** Serial numbers by their letters and digits: one is often written with hyphens here and without there. */
  private readonly serials = new Map<string, string>();
  private readonly taken = new Set<string>();
  private readonly widths = new Map<Kind, number>();
  private readonly counts = new Map<Kind, number>();

  private choosing = false;

  /** All that is hidden is known: from here on stand-ins are chosen. Until then `of` gives back what it was given. */
  settle(): void {
    this.choosing = true;
  }

  /** Takes something up without deciding what will stand for it: all has to be known before the first stand-in is chosen. */
  note(kind: Kind, value: string): void {
    const key = this.keyOf(kind, value);
    const entry = this.entries.get(key);
    if (entry === undefined) this.entries.set(key, { kind, spellings: [value] });
    if (kind === 'serial' && plainSerial(value) !== '') this.serials.set(plainSerial(value), key);
    if (entry !== undefined && !entry.spellings.includes(value)) entry.spellings.push(value);
    this.taken.add(isAddressKind(kind) ? key : plainKey(value));
  }

  /** True when this is hidden already. */
  knows(kind: Kind, value: string): boolean {
    return this.entries.has(this.keyOf(kind, value));
  }

  /** What stands for it. Spellings that differ in case differ in the case of their stand-ins too, for who compares exactly. */
  of(kind: Kind, value: string): string {
    this.note(kind, value);
    if (!this.choosing) return value;
    const entry = this.entries.get(this.keyOf(kind, value)) as Entry;
    entry.standIn ??= isAddressKind(entry.kind) ? this.address(entry.kind, value) : this.word(entry.kind, value);
    return isAddressKind(entry.kind) ? entry.standIn : cased(entry.standIn, entry.spellings.indexOf(value));
  }

  hidden(): readonly Hidden[] {
    return [...this.entries.values()];
  }

  private keyOf(kind: Kind, value: string): string {
    if (isAddressKind(kind)) return canonicalAddress(kind, value);
    const plain = plainKey(value);
    if (kind !== 'serial' || this.entries.has(plain)) return plain;
    return this.serials.get(plainSerial(value)) ?? plain;
  }

  private address(kind: AddressKind, value: string): string {
    for (;;) {
      const standIn = addressStandIn(kind, value, this.next(kind));
      if (!this.taken.has(canonicalAddress(kind, standIn))) return standIn;
    }
  }

  private word(kind: WordKind, value: string): string {
    const inner = kind === 'serial' ? this.serialWithin(value) : undefined;
    for (;;) {
      const number = String(this.next(kind)).padStart(this.width(kind), '0');
      const standIn = `${inner ?? kind}-${number}${kind === 'domain' ? '.example' : ''}`;
      if (!this.taken.has(plainKey(standIn))) return standIn;
    }
  }

  /** The stand-in of the longest other serial number that stands inside this one. */
  private serialWithin(value: string): string | undefined {
    const own = plainSerial(value);
    const inside = [...this.entries.values()]
      .filter(({ kind }) => kind === 'serial')
      .flatMap(({ spellings }) => spellings.slice(0, 1))
      .filter((other) => {
        const plain = plainSerial(other);
        return plain.length >= SHORTEST_PART && plain !== own && own.includes(plain);
      })
      .sort((a, b) => b.length - a.length)[0];
    return inside === undefined ? undefined : this.of('serial', inside);
  }

  private next(kind: Kind): number {
    const number = (this.counts.get(kind) ?? 0) + 1;
    this.counts.set(kind, number);
    return number;
  }

  /** All numbers of a kind are equally long, so that no stand-in is the beginning of another. */
  private width(kind: Kind): number {
    const known = this.widths.get(kind);
    if (known !== undefined) return known;
    const count = [...this.entries.values()].filter((entry) => entry.kind === kind).length;
    const width = String(count + 1).length;
    this.widths.set(kind, width);
    return width;
  }
}

function plainKey(value: string): string {
  return value.normalize('NFC').toLowerCase();
}

function plainSerial(value: string): string {
  return value.toLowerCase().replace(/[^0-9a-z]/g, '');
}

/** The n-th spelling of a word: the bits of n say which letters are capitals. */
function cased(standIn: string, n: number): string {
  let bits = n;
  return standIn.replace(/[a-z]/g, (letter) => {
    const capital = bits % 2 === 1;
    bits = Math.floor(bits / 2);
    return capital ? letter.toUpperCase() : letter;
  });
}

/** Proves that nothing of what was hidden is left in what will be written. */
import { isAddressKind, octetsOfAddress } from './addresses.js';
import type { Kind } from './stand-ins.js';
import type { TextRedactor } from './text.js';
import { type View, Views } from './views.js';
import { WordIndex } from './word-index.js';

/** Something hidden that is still there. */
export interface Leak {
  readonly path: string;
  /** What it is of, never itself. */
  readonly kind: Kind;
  /** The form it was found in. */
  readonly how: string;
}

/** In decoded octets any short word comes up by chance: shorter ones are looked for as text only. */
const SHORTEST_IN: Readonly<Record<View['form'], number>> = { text: 4, hex: 5, octets: 6 };

/** The first thing that is left in a file's name or in its octets; undefined when there is none. */
export function findLeak(
  files: readonly { readonly path: string; readonly octets: Uint8Array }[],
  redactor: TextRedactor,
): Leak | undefined {
  const wanted: Wanted = {
    words: new WordIndex(wordsOf(redactor)),
    octets: new WordIndex(
      redactor.addresses().map(({ kind, own }) => [own, kind] as const),
      'octets',
    ),
  };
  const views = new Views();
  for (const { path, octets } of files) {
    const named = look({ how: 'its name', form: 'text', text: path }, wanted);
    if (named !== undefined) return { path, ...named };
    for (const view of views.of(octets)) {
      const leak = look(view, wanted);
      if (leak !== undefined) return { path, ...leak };
    }
  }
  return undefined;
}

interface Wanted {
  readonly words: WordIndex<Kind>;
  /** Addresses as octets. */
  readonly octets: WordIndex<Kind>;
}

function look(view: View, { words, octets }: Wanted): Omit<Leak, 'path'> | undefined {
  for (const { start, end, meaning } of words.find(view.text)) {
    if (end - start >= SHORTEST_IN[view.form]) return { kind: meaning, how: view.how };
  }
  if (view.form === 'text') return undefined;
  for (const { start, end, meaning } of octets.find(view.text)) {
    // Four octets are met by chance too: they count where nothing else stands.
    const isAll = start === 0 && end === view.text.length;
    if (meaning !== 'ipv4' || (isAll && view.isWhole === true)) return { kind: meaning, how: view.how };
  }
  return undefined;
}

/** All words that are hidden, in the further forms that text gives them. */
function* wordsOf(redactor: TextRedactor): Generator<readonly [string, Kind]> {
  for (const [word, kind] of redactor.searched()) {
    yield [word, kind];
    if (/[^\x00-\x7f]/.test(word)) yield [Buffer.from(word, 'utf8').toString('latin1'), kind];
    if (kind === 'uuid') yield [word.replaceAll('-', ''), kind];
    if (kind === 'mac') {
      for (const separator of [':', '-', ' ']) yield [spread(word, 2, separator), kind];
      yield [spread(word, 4, '.'), kind];
    }
    if (kind === 'ipv4') {
      yield [`${word.split('.').reverse().join('.')}.in-addr`, kind];
      yield [String(Buffer.from(octetsOfAddress('ipv4', word), 'latin1').readUInt32BE()), kind];
    }
    if (kind === 'ipv6' && isAddressKind(kind)) yield* formsOfIpv6(word);
  }
}

function spread(mac: string, size: 2 | 4, separator: string): string {
  const digits = mac.toLowerCase().replace(/[^0-9a-f]/g, '');
  return (digits.match(size === 2 ? /../g : /..../g) ?? []).join(separator);
}

/** In full, as short as RFC 5952 has it, and turned round for the name service. */
function* formsOfIpv6(address: string): Generator<readonly [string, Kind]> {
  const digits = Buffer.from(octetsOfAddress('ipv6', address), 'latin1').toString('hex');
  const groups = digits.match(/..../g) ?? [];
  const short = groups.map((group) => group.replace(/^0{1,3}/, ''));
  yield [groups.join(':'), 'ipv6'];
  yield [short.join(':'), 'ipv6'];
  yield [[...digits].reverse().join('.'), 'ipv6'];
}

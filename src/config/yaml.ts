import { Composer, type Document, isNode, type LineCounter, Parser, visit } from 'yaml';

/** A mistake in a YAML text. */
export interface YamlFault {
  /** Offset into the text, in characters. */
  readonly at: number;
  readonly message: string;
}

export type YamlReading =
  | { readonly doc: Document; readonly data: unknown }
  | { readonly faults: readonly YamlFault[] };

/** More mistakes than these are not gathered: a file of the wrong kind may hold one for each of its characters. */
const MOST_FAULTS = 100;
const MOST_ALIASES = 100;

/**
 * One YAML document (YAML 1.2) as plain data, or what is wrong with it: at least one fault. Time and memory stay in proportion
 * to the text. `lines` learns where the lines begin.
 */
export function readYaml(text: string, lines: LineCounter): YamlReading {
  const faults: YamlFault[] = [];
  try {
    const doc = compose(text, lines, faults);
    if (faults.length === 0) faults.push(...repeatedKeys(doc));
    if (faults.length > 0) return { faults };
    return { doc, data: doc.toJS({ maxAliasCount: MOST_ALIASES }) ?? {} };
  } catch (error) {
    if (error instanceof TooManyFaults) return { faults };
    const why = error instanceof RangeError ? 'it is nested too deeply' : String((error as Error).message);
    return { faults: [{ at: 0, message: `it can't be read: ${why}` }] };
  }
}

class TooManyFaults extends Error {}

/** The document; its mistakes go into `faults`, and when there are too many it ends by throwing. */
function compose(text: string, lines: LineCounter, faults: YamlFault[]): Document {
  const take = (at: number, message: string): void => {
    if (faults.length >= MOST_FAULTS) throw new TooManyFaults();
    faults.push({ at, message });
  };
  // Keys that stand twice are looked for below: the library compares each with every other of its block. It also warns on stderr.
  const composer = new Composer({ prettyErrors: false, uniqueKeys: false, logLevel: 'error' });
  // It has no limit of its own for the mistakes that it gathers, each with a stack.
  Reflect.set(composer, 'onError', (source: FaultPlace, _code: string, message: string) =>
    take(offsetOf(source), message),
  );
  let first: Document | undefined;
  for (const doc of composer.compose(limited(new Parser(lines.addNewLine).parse(text)), true, text.length)) {
    if (first !== undefined) {
      take(doc.range[0], 'more than one document');
      break;
    }
    first = doc;
    for (const { pos, message } of [...doc.errors, ...doc.warnings]) take(pos[0], message);
  }
  if (first === undefined) throw new Error('no document');
  return first;
}

/** Where the library says a mistake is: an offset, a range, or a token. */
type FaultPlace = number | readonly number[] | { readonly offset: number };

function offsetOf(source: FaultPlace): number {
  if (typeof source === 'number') return source;
  return 'offset' in source ? source.offset : (source[0] ?? 0);
}

/** The tokens up to the first so many that the parser itself marks as mistakes. */
function* limited<T extends { readonly type: string }>(tokens: Iterable<T>): Generator<T> {
  let wrong = 0;
  for (const token of tokens) {
    if (token.type === 'error') wrong += 1;
    yield token;
    if (wrong >= MOST_FAULTS) return;
  }
}

/** Keys that a block has more than once (YAML 1.2.2, section 3.2.1.3). */
function repeatedKeys(doc: Document): readonly YamlFault[] {
  const found: YamlFault[] = [];
  visit(doc, {
    Map: (_, { items }) => {
      const seen = new Set<string>();
      for (const { key } of items) {
        const name = String(key);
        if (seen.has(name) && found.length < MOST_FAULTS) {
          found.push({
            at: isNode(key) ? (key.range?.[0] ?? 0) : 0,
            message: `the key "${name}" stands twice in one block`,
          });
        }
        seen.add(name);
      }
    },
  });
  return found;
}

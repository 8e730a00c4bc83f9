import { type Document, isMap, isNode, isPair, isScalar, LineCounter, type Node } from 'yaml';
import type * as z from 'zod';
import { nearest } from '../model/nearest.js';
import type { Config, ConfigProblem } from './config.js';
import { configFileSchema } from './file-schema.js';
import { filledIn } from './fill.js';
import { type Reference, referencesOf } from './references.js';
import { brokenRules } from './rules.js';
import { readYaml } from './yaml.js';

/** A configuration, or what is wrong with it: at least one problem, in the order of the file. */
export type ConfigReading =
  | {
      readonly config: Config;
      /** What the file points to, each with its place. */
      readonly references: readonly (Reference & Pick<ConfigProblem, 'line' | 'column'>)[];
      /** Places a further complaint about the value that some keys lead to. */
      readonly at: (path: readonly (string | number)[], text: string) => ConfigProblem;
    }
  | { readonly problems: readonly ConfigProblem[] };

type Path = readonly PropertyKey[];

/** Text of a configuration file → configuration or problems. `folder` is where the file lies. */
export function parseConfig(text: string, folder: string | null): ConfigReading {
  const reading = parseStrict(text, configFileSchema);
  if ('problems' in reading) return reading;
  const breaches = brokenRules(reading.value).map((breach) => reading.at(breach.path, breach.text));
  if (breaches.length > 0) return { problems: sorted(breaches) };
  const references = referencesOf(reading.value).map((reference) => {
    const { line, column } = reading.at(reference.path, '');
    return { ...reference, line, column };
  });
  return { config: filledIn(reading.value, folder), references, at: reading.at };
}

/** A YAML file read by its schema, or problems with line and column. `at` places further complaints. */
export function parseStrict<S extends z.ZodType>(
  text: string,
  schema: S,
):
  | { readonly value: z.infer<S>; readonly at: (path: Path, text: string) => ConfigProblem }
  | { readonly problems: readonly ConfigProblem[] } {
  const lines = new LineCounter();
  const parsed = readYaml(text, lines);
  if ('faults' in parsed) {
    const problems = parsed.faults.map(({ at, message }) => ({
      ...position(lines, at),
      text: `not YAML: ${message}${/^Tabs are not allowed/.test(message) ? '; put spaces there' : ''}`,
    }));
    return { problems: sorted(problems) };
  }
  const { doc } = parsed;
  const data = withoutEmptyBlocks(parsed.data);
  const at = (path: Path, says: string) => ({ ...place(lines, nodeAt(doc, path)), text: says });
  const checked = schema.safeParse(data);
  if (checked.success) return { value: checked.data, at };
  const problems = checked.error.issues.flatMap((issue) => explain(issue, { schema, doc, data, lines }));
  return { problems: sorted(problems) };
}

/** A block whose keys are all commented out reads as null: the same as no block. */
function withoutEmptyBlocks(data: unknown): unknown {
  if (typeof data !== 'object' || data === null || Array.isArray(data)) return data;
  return Object.fromEntries(Object.entries(data).filter(([, value]) => value !== null));
}

interface Source {
  readonly schema: z.ZodType;
  readonly doc: Document;
  readonly data: unknown;
  readonly lines: LineCounter;
}

function explain(issue: z.core.$ZodIssue, source: Source): readonly ConfigProblem[] {
  const { doc, data, lines } = source;
  if (issue.code === 'unrecognized_keys') {
    return issue.keys.map((key) => ({
      ...place(lines, keyNode(doc, issue.path, key)),
      text: unknownKey(key, issue.path, knownKeys(source.schema, issue.path)),
    }));
  }
  if (issue.path.length > 0 && valueAt(data, issue.path) === undefined) {
    return [
      { ...place(lines, nodeAt(doc, issue.path)), text: `${spelled(issue.path)} is missing; it ${issue.message}` },
    ];
  }
  const where = issue.path.length === 0 ? 'the file' : spelled(issue.path);
  return [{ ...place(lines, nodeAt(doc, issue.path)), text: `${where} ${issue.message}`.replace(' : ', ': ') }];
}

function unknownKey(key: string, path: Path, known: readonly string[]): string {
  const close = nearest(key, known);
  const hint = close === undefined ? `known here: ${known.join(', ')}` : `did you mean "${close}"?`;
  return `${path.length === 0 ? '' : `${spelled(path)} has `}unknown key "${key}"; ${hint}`;
}

/** `printers entry 2 snmpPort`: entries count from 1, as people do. */
function spelled(path: Path): string {
  return path.map((part) => (typeof part === 'number' ? `entry ${part + 1}` : String(part))).join(' ');
}

function valueAt(data: unknown, path: Path): unknown {
  return path.reduce<unknown>((value, part) => {
    if (typeof value !== 'object' || value === null || !Object.hasOwn(value, part)) return undefined;
    return (value as Record<PropertyKey, unknown>)[part];
  }, data);
}

/** Keys that the schema knows at a place. */
function knownKeys(schema: z.ZodType, path: Path): readonly string[] {
  let here = bare(schema);
  for (const part of path) {
    const inner = typeof part === 'number' ? here.def.element : here.def.shape?.[String(part)];
    if (inner === undefined) return [];
    here = bare(inner);
  }
  return Object.keys(here.def.shape ?? {});
}

/** The little of a schema's own description that is walked here. */
interface Walkable {
  readonly def: {
    readonly innerType?: Walkable;
    readonly element?: Walkable;
    readonly shape?: Readonly<Record<string, Walkable>>;
  };
}

function bare(schema: unknown): Walkable {
  let here = schema as Walkable;
  while (here.def.innerType !== undefined) here = here.def.innerType;
  return here;
}

/** The node at a path, or the nearest above it that the file has. */
function nodeAt(doc: Document, path: Path): Node | null {
  for (let length = path.length; length >= 0; length--) {
    const node = length === 0 ? doc.contents : doc.getIn(path.slice(0, length), true);
    if (isNode(node)) return node;
  }
  return null;
}

function keyNode(doc: Document, path: Path, key: string): Node | null {
  const map = nodeAt(doc, path);
  if (!isMap(map)) return map;
  const pair = map.items.find((item) => isPair(item) && isScalar(item.key) && String(item.key.value) === key);
  return isNode(pair?.key) ? pair.key : map;
}

function place(lines: LineCounter, node: Node | null): { readonly line: number; readonly column: number } {
  return position(lines, node?.range?.[0] ?? 0);
}

function position(lines: LineCounter, offset: number): { readonly line: number; readonly column: number } {
  const { line, col } = lines.linePos(offset);
  return { line: Math.max(1, line), column: Math.max(1, col) };
}

function sorted(problems: readonly ConfigProblem[]): readonly ConfigProblem[] {
  return [...problems].sort((a, b) => a.line - b.line || a.column - b.column);
}

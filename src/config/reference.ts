import * as z from 'zod';
import { configFileSchema } from './file-schema.js';

interface Row {
  readonly key: string;
  readonly takes: string;
}

/** Values that no key takes: what is said of them is what the key does take. */
const NEVER_RIGHT: readonly unknown[] = [{ '': 0 }, '\u0000 ', '\u0000', -1];

/** The page of all keys of the configuration file, made from the schema that checks it. */
export function configReference(): string {
  const rows = rowsOf(configFileSchema, '');
  return `# The configuration file

Made from the schema that checks the file. \`config/outfeed.example.yaml\` shows every block with a word on each key, and
\`outfeed check-config FILE\` says what is wrong in yours, line and column. Nothing is compulsory unless its block is used. A key
behind \`[]\` stands in each entry of a list. \`…File\` names a file that holds a secret, \`…Env\` an environment variable; paths
start from the folder of the configuration.

| key | takes |
| --- | --- |
${rows.map(({ key, takes }) => `| \`${key}\` | ${takes.replaceAll('|', '\\|')} |`).join('\n')}
`;
}

function rowsOf(schema: z.core.$ZodType, key: string): Row[] {
  if (schema instanceof z.ZodOptional || schema instanceof z.ZodExactOptional) return rowsOf(schema.unwrap(), key);
  if (schema instanceof z.ZodArray) {
    const inner = rowsOf(schema.element, `${key}[]`);
    return inner.some((row) => row.key !== `${key}[]`)
      ? inner
      : inner.map(({ takes }) => ({ key, takes: `a list; each ${takes}` }));
  }
  if (!(schema instanceof z.ZodObject)) return [{ key, takes: takesOf(schema) }];
  const shape: Readonly<Record<string, z.core.$ZodType>> = schema.shape;
  return Object.entries(shape).flatMap(([name, inner]) => rowsOf(inner, key === '' ? name : `${key}.${name}`));
}

function takesOf(schema: z.core.$ZodType): string {
  for (const wrong of NEVER_RIGHT) {
    const message = z.safeParse(schema, wrong).error?.issues[0]?.message;
    if (message?.startsWith('takes ')) return message.replace(/^takes /, '');
  }
  return 'text';
}

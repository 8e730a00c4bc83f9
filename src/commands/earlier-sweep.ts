import { resolve } from 'node:path';
import { readGiven } from '../config/given-file.js';
import { ProgramProblem } from '../model/problem.js';
import { sweepSchema } from '../model/schemas/sweep.js';
import { SWEEP_SCHEMA, type SweepDocument } from '../model/sweep.js';

const MEANT = { what: 'the earlier sweep', mostBytes: 64_000_000, than: 'any sweep' };

/** Reads what an earlier `sweep --json` printed. ProgramProblem with one sentence when the file is missing, damaged, or something else. */
export async function loadSweep(name: string, cwd: string): Promise<SweepDocument> {
  const file = resolve(cwd, name);
  const data = parsed(file, (await readGiven(file, MEANT)).toString('utf8'));
  const schema = (data as { readonly schema?: unknown } | null)?.schema;
  if (schema !== SWEEP_SCHEMA) {
    const holds =
      typeof schema === 'string' && schema.startsWith('outfeed.') ? `it holds ${schema}` : 'it is something else';
    throw broken(file, `${holds}, not ${SWEEP_SCHEMA}`);
  }
  const [issue] = sweepSchema.safeParse(data).error?.issues ?? [];
  if (issue !== undefined) throw broken(file, `${issue.path.join('.') || 'its top'}: ${issue.message}`);
  return data as SweepDocument;
}

function parsed(file: string, content: string): unknown {
  try {
    return JSON.parse(content.replace(/^\uFEFF/, ''));
  } catch {
    throw broken(file, content.trim() === '' ? 'it is empty' : 'it is not JSON, or cut short');
  }
}

function broken(file: string, why: string): ProgramProblem {
  return new ProgramProblem(
    'earlier-sweep',
    `Can't compare with ${file}: ${why}; --since takes what "outfeed sweep --json" printed.`,
  );
}

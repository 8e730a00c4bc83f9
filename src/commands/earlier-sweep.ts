import { readFile, stat } from 'node:fs/promises';
import { resolve } from 'node:path';
import { unreadable } from '../config/load.js';
import { ProgramProblem } from '../model/problem.js';
import { sweepSchema } from '../model/schemas/sweep.js';
import { SWEEP_SCHEMA, type SweepDocument } from '../model/sweep.js';

const MOST_BYTES = 64_000_000;

/** Reads what an earlier `sweep --json` printed. ProgramProblem with one sentence when the file is missing, damaged, or something else. */
export async function loadSweep(name: string, cwd: string): Promise<SweepDocument> {
  const file = resolve(cwd, name);
  const data = parsed(file, await text(file));
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

async function text(file: string): Promise<string> {
  try {
    if ((await stat(file)).size > MOST_BYTES) throw broken(file, 'it is larger than any sweep');
    return await readFile(file, 'utf8');
  } catch (error) {
    throw error instanceof ProgramProblem ? error : unreadable('the earlier sweep', file, error);
  }
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

import { resolve } from 'node:path';
import { readGiven } from '../config/given-file.js';
import { ProgramProblem } from '../model/problem.js';
import { evidenceBundleSchema } from '../model/schemas/evidence.js';
import { EVIDENCE_SCHEMA, type EvidenceBundle } from '../model/why.js';
import { OWNER_ONLY, writeWhole } from './whole-file.js';

/** A bundle holds one look at one printer; more than this is something else. */
const MEANT = { what: 'the evidence', mostBytes: 64_000_000, than: 'any saved evidence' };

/** Reads what `--save` wrote. ProgramProblem with one sentence when the file is missing, damaged, or of a version this program does not know. */
export async function loadBundle(name: string, cwd: string): Promise<EvidenceBundle> {
  const file = resolve(cwd, name);
  return readBundle((await readGiven(file, MEANT)).toString('utf8'), file);
}

/** The bundle in a text; `file` is what the ProgramProblem names. */
export function readBundle(content: string, file: string): EvidenceBundle {
  const data = parsed(file, content);
  const schema = (data as { readonly schema?: unknown } | null)?.schema;
  if (typeof schema !== 'string' || !schema.startsWith('outfeed.')) {
    throw broken(file, 'it is not something that "outfeed why --save" wrote');
  }
  if (schema !== EVIDENCE_SCHEMA) {
    const kind = schema.split('/', 1)[0] ?? '';
    const newer = kind === EVIDENCE_SCHEMA.split('/', 1)[0];
    throw broken(
      file,
      newer
        ? `it is of version ${schema.slice(kind.length + 1)}, and this program knows version 1; use a newer outfeed`
        : `it holds ${schema}, not ${EVIDENCE_SCHEMA}`,
    );
  }
  const wrong = firstWrong(data);
  if (wrong !== undefined) throw broken(file, wrong);
  return data as EvidenceBundle;
}

/** The file's own data is kept, not the schema's copy: what a later version adds goes through untouched. */
function firstWrong(data: unknown): string | undefined {
  try {
    const [issue] = evidenceBundleSchema.safeParse(data).error?.issues ?? [];
    return issue && `${issue.path.join('.') || 'its top'}: ${issue.message}`;
  } catch (error) {
    if (error instanceof RangeError) return 'it is nested too deeply';
    throw error;
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
  return new ProgramProblem('evidence-file', `Can't judge ${file}: ${why}.`);
}

/** Writes a bundle, whole or not at all, for its owner only. */
export async function saveBundle(bundle: EvidenceBundle, name: string, cwd: string): Promise<void> {
  await writeWhole(name, `${JSON.stringify(bundle, null, 1)}\n`, cwd, OWNER_ONLY);
}

/** Reads the office's device files. */
import { readdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parse } from 'yaml';
import type { z } from 'zod';
import { ProgramProblem } from '../model/problem.js';
import { Scenario } from './device.js';

/** Folder of the office that comes with the program. */
export const OFFICE_FOLDER = fileURLToPath(new URL('../../shared/office/', import.meta.url));

/** All device files of a folder, by name. A broken one is refused in one sentence that names it. */
export function loadOffice(folder = OFFICE_FOLDER): Scenario[] {
  return readdirSync(folder)
    .filter((file) => file.endsWith('.yaml'))
    .sort()
    .map((file) => parseScenario(readFileSync(join(folder, file), 'utf8'), basename(file)));
}

/** One device file. `file` is named in the complaint. */
export function parseScenario(text: string, file: string): Scenario {
  let written: unknown;
  try {
    written = parse(text);
  } catch (error) {
    throw new ProgramProblem('device-file', `Device file ${file} is not YAML: ${String(error).split('\n')[0]}.`);
  }
  const read = Scenario.safeParse(written);
  if (read.success) return read.data;
  const issue = innermost(read.error.issues);
  const where = issue.path.length > 0 ? `${issue.path.join('.')}: ` : '';
  throw new ProgramProblem('device-file', `Device file ${file}: ${where}${issue.message}.`);
}

interface Issue {
  readonly path: readonly PropertyKey[];
  readonly message: string;
}

/** The complaint that lies deepest in the branch that was meant: a union's own "invalid input" helps nobody. */
function innermost(issues: readonly z.core.$ZodIssue[]): Issue {
  const all = issues.flatMap((issue) => leaves(issue, []));
  return all.sort((a, b) => b.path.length - a.path.length)[0] ?? { path: [], message: 'is no device' };
}

function leaves(issue: z.core.$ZodIssue, above: readonly PropertyKey[]): Issue[] {
  const path = [...above, ...issue.path];
  if (issue.code !== 'invalid_union') return [{ path, message: issue.message }];
  const meant = issue.errors.filter((branch) => !branch.some(({ path: [first] }) => first === 'kind'));
  return (meant.length > 0 ? meant : issue.errors).flatMap((branch) => branch.flatMap((inner) => leaves(inner, path)));
}

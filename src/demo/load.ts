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
  if (!read.success) {
    const issue = innermost(read.error.issues);
    throw new ProgramProblem('device-file', `Device file ${file}: ${issue?.path.join('.')} ${issue?.message}.`);
  }
  return read.data;
}

/** The complaint of the branch that got furthest: a union's own "invalid input" helps nobody. */
function innermost(issues: readonly z.core.$ZodIssue[]): z.core.$ZodIssue | undefined {
  const [first] = issues;
  if (first?.code !== 'invalid_union') return first;
  const branches = [...first.errors].sort((a, b) => a.length - b.length);
  return branches[0]?.[0] ?? first;
}

import { dirname, isAbsolute, join } from 'node:path';
import type { ConfigProblem } from '../config/config.js';
import { findConfig, readConfigText, readSecret } from '../config/load.js';
import { modelFileSchema } from '../config/model-file.js';
import { type ConfigReading, parseConfig, parseStrict } from '../config/parse.js';
import { CONFIG_CHECK_SCHEMA, type ConfigCheckDocument } from '../model/config-check.js';
import { EXIT, type ExitCode, ProgramProblem } from '../model/problem.js';
import { forTerminal } from '../render/escape.js';
import { renderJson } from '../render/json.js';
import { parseRanges } from '../sweep/ranges.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';

export interface CheckConfigArgs {
  /** Absent: the file that every other command would use. */
  readonly file?: string;
  readonly options: CommonOptions;
}

/**
 * Says what is wrong in a configuration file, a line each, `FILE:LINE:COLUMN: what`; also whether the files and
 * variables that it points to are there. Exit 0 when nothing is wrong, 2 otherwise.
 */
export async function runCheckConfig(args: CheckConfigArgs, io: Io): Promise<ExitCode> {
  const file = await findConfig(args.file ?? args.options.config, io);
  const problems = file === undefined ? [] : await problemsOf(file, io);
  const document: ConfigCheckDocument = { schema: CONFIG_CHECK_SCHEMA, file: file ?? null, problems };
  io.stdout(args.options.json ? renderJson(document) : asText(document));
  return problems.length === 0 ? EXIT.nothingWrong : EXIT.usage;
}

function asText({ file, problems }: ConfigCheckDocument): string {
  if (file === null) return 'There is no configuration file; the defaults hold.\n';
  const name = forTerminal(file);
  if (problems.length === 0) return `${name}: nothing wrong found.\n`;
  return problems.map(({ line, column, text }) => `${name}:${line}:${column}: ${forTerminal(text)}\n`).join('');
}

async function problemsOf(file: string, io: Io): Promise<readonly ConfigProblem[]> {
  const folder = dirname(file);
  const reading = parseConfig(await readConfigText(file), folder);
  if ('problems' in reading) return reading.problems;
  const checked = await Promise.all(reading.references.map((reference) => checkReference(reference, folder, io)));
  return [...checkRanges(reading), ...checked.flat()].sort((a, b) => a.line - b.line || a.column - b.column);
}

/** Ranges are read here as a sweep would read them, but for its permits: those are asked for when it starts. */
function checkRanges({ config, at }: Extract<ConfigReading, { config: unknown }>): readonly ConfigProblem[] {
  return config.sweep.ranges.flatMap((range, index) => {
    try {
      parseRanges([range], { yesLarge: true, allowPublic: true });
      return [];
    } catch (error) {
      if (error instanceof ProgramProblem) return [at(['sweep', 'ranges', index], error.message)];
      throw error;
    }
  });
}

type Placed = Extract<ConfigReading, { references: unknown }>['references'][number];

async function checkReference(reference: Placed, folder: string, io: Io): Promise<readonly ConfigProblem[]> {
  const { kind, name, line, column } = reference;
  try {
    if (kind === 'model') return await checkModel(reference, folder);
    await readSecret(
      kind === 'secret-env' ? { env: name } : { file: name },
      String(reference.path.at(-1)),
      folder,
      io.env,
    );
    return [];
  } catch (error) {
    if (error instanceof ProgramProblem) return [{ line, column, text: error.message }];
    throw error;
  }
}

async function checkModel({ name, line, column }: Placed, folder: string): Promise<readonly ConfigProblem[]> {
  const file = isAbsolute(name) ? name : join(folder, name);
  const model = parseStrict(await readConfigText(file), modelFileSchema);
  if (!('problems' in model)) return [];
  return model.problems.map((problem) => ({
    line,
    column,
    text: `${file}:${problem.line}:${problem.column}: ${problem.text}`,
  }));
}

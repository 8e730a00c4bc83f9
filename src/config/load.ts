import { stat } from 'node:fs/promises';
import { homedir } from 'node:os';
import { dirname, isAbsolute, join, resolve } from 'node:path';
import { ProgramProblem } from '../model/problem.js';
import type { Config, ConfigProblem, SecretRef } from './config.js';
import { filledIn } from './fill.js';
import { readGiven, unreadable } from './given-file.js';

/** More than any site's configuration comes to: five thousand printers take two thirds of it. */
const MOST_BYTES = 1_000_000;
const FILE_NAME = 'outfeed.yaml';

/** Where the program runs: what finding a file depends on. */
export interface Surroundings {
  readonly cwd: string;
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly platform?: NodeJS.Platform;
}

/** The configuration that holds without a file. */
export function emptyConfig(): Config {
  return filledIn({}, null);
}

/**
 * Loads the configuration: the file given, else the first that exists of `./outfeed.yaml` and the user's own.
 * Without any, the defaults hold. Throws ProgramProblem for a file that can't be read or holds mistakes.
 */
export async function loadConfig(given: string | undefined, around: Surroundings): Promise<Config> {
  const file = await findConfig(given, around);
  if (file === undefined) return emptyConfig();
  // The reader is worth its loading only where there is a file.
  const { parseConfig } = await import('./parse.js');
  const reading = parseConfig(await readConfigText(file), dirname(file));
  if ('config' in reading) return reading.config;
  throw new ProgramProblem('configuration', summary(file, reading.problems));
}

/** Absolute path of the configuration file in use, undefined when there is none. */
export async function findConfig(given: string | undefined, around: Surroundings): Promise<string | undefined> {
  if (given !== undefined) return resolve(around.cwd, given);
  for (const candidate of [join(around.cwd, FILE_NAME), ownConfig(around)]) {
    if (candidate !== undefined && (await exists(candidate))) return candidate;
  }
  return undefined;
}

/** `$XDG_CONFIG_HOME/outfeed/outfeed.yaml`, on other platforms their own place. Undefined without a home. */
export function ownConfig({ env, platform = process.platform }: Surroundings): string | undefined {
  const home = env.HOME ?? env.USERPROFILE ?? homedir();
  if (env.XDG_CONFIG_HOME) return join(env.XDG_CONFIG_HOME, 'outfeed', FILE_NAME);
  if (platform === 'win32') return join(env.APPDATA ?? join(home, 'AppData', 'Roaming'), 'outfeed', FILE_NAME);
  if (platform === 'darwin') return join(home, 'Library', 'Application Support', 'outfeed', FILE_NAME);
  return join(home, '.config', 'outfeed', FILE_NAME);
}

/** Text of a configuration file; ProgramProblem when it can't be had. */
export async function readConfigText(file: string): Promise<string> {
  const octets = await readGiven(file, { what: '', mostBytes: MOST_BYTES, than: 'any configuration' });
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(octets);
  } catch (error) {
    throw unreadable('', file, error);
  }
}

/** Value of a secret, trailing line break removed. ProgramProblem when its file or variable is not there. */
export async function readSecret(
  ref: SecretRef,
  what: string,
  folder: string,
  env: Surroundings['env'],
): Promise<string> {
  if ('env' in ref) {
    const value = env[ref.env];
    if (value !== undefined && value !== '') return value;
    throw new ProgramProblem(
      'secret-missing',
      `The environment variable ${ref.env} (${what}) is not set; set it and try again.`,
    );
  }
  const text = await readNamedFile(ref.file, what, folder);
  const value = text.replace(/\r?\n$/, '');
  if (value !== '') return value;
  throw new ProgramProblem('secret-empty', `${placed(ref.file, folder)} (${what}) is empty; put the key into it.`);
}

/** A text file that the configuration names. Throws ProgramProblem when it can't be read. */
export async function readNamedFile(path: string, what: string, folder: string): Promise<string> {
  const octets = await readGiven(placed(path, folder), { what, mostBytes: MOST_BYTES, than: 'any key or certificate' });
  return octets.toString('utf8');
}

function placed(path: string, folder: string): string {
  return isAbsolute(path) ? path : join(folder, path);
}

function summary(file: string, problems: readonly ConfigProblem[]): string {
  const [first] = problems;
  if (first === undefined) return `${file} can't be used.`;
  const more = problems.length === 1 ? '' : ` (and ${problems.length - 1} more: run "outfeed check-config ${file}")`;
  const sentence = `${file}:${first.line}:${first.column}: ${first.text}${more}`;
  return sentence.endsWith('?') ? sentence : `${sentence}.`;
}

async function exists(file: string): Promise<boolean> {
  return stat(file).then(
    (found) => found.isFile(),
    () => false,
  );
}

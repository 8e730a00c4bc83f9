import { writeFile } from 'node:fs/promises';
import { resolve } from 'node:path';
import { loadConfig } from '../config/load.js';
import { readTime } from '../forecast/time.js';
import { EXIT, type ExitCode, ProgramProblem } from '../model/problem.js';
import { forTerminal } from '../render/escape.js';
import { runAgent } from './agent.js';
import { openAgentStore } from './agent-store.js';
import { installHelp } from './install-help.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';
import { unwritable } from './whole-file.js';

/** `outfeed agent`, with what a person may tell it instead of starting it. */
export async function runAgentCommand(
  given: Readonly<Record<string, unknown>>,
  options: CommonOptions,
  io: Io,
): Promise<ExitCode> {
  const text = (key: string): string | undefined =>
    typeof given[key] === 'string' ? (given[key] as string) : undefined;
  const acknowledge = text('acknowledge');
  const tokenFile = text('newToken');
  const plan = text('plan');
  if (given.installHelp === true) {
    io.stdout(await installHelp(process.platform));
    return EXIT.nothingWrong;
  }
  if (tokenFile !== undefined) return makeToken(tokenFile, io);
  if (acknowledge !== undefined) return acknowledgeIncident(acknowledge, text('note') ?? null, options, io);
  if (text('note') !== undefined) throw usage('--note belongs to --acknowledge ID.');
  if (plan !== undefined) return planWork(plan, text('printer') ?? null, options, io);
  if (text('printer') !== undefined) throw usage('--printer belongs to --plan FROM/TO.');
  return runAgent({ once: given.once === true, options }, io);
}

/** The token itself is shown once and kept nowhere. */
async function makeToken(file: string, io: Io): Promise<ExitCode> {
  const { newToken } = await import('../daemon/outside/http/secret.js');
  const { token, hashed } = await newToken();
  const path = resolve(io.cwd, file);
  await writeFile(path, `${hashed}\n`, { flag: 'wx', mode: 0o600 }).catch((error: unknown) => {
    const code = String((error as NodeJS.ErrnoException).code);
    const why = code === 'EEXIST' ? 'it is there already, and nothing is overwritten' : unwritable(code);
    throw new ProgramProblem('token-file', `Can't write ${forTerminal(path, 200)}: ${why}; name another file.`);
  });
  io.stdout(`${token}\n`);
  io.stderr(`This token is shown once. Put "tokenFile: ${forTerminal(file, 200)}" into "page" of the configuration.\n`);
  return EXIT.nothingWrong;
}

async function acknowledgeIncident(id: string, note: string | null, options: CommonOptions, io: Io): Promise<ExitCode> {
  const store = await openAgentStore(await loadConfig(options.config, io), io);
  try {
    const known = await store.acknowledge(id, io.now().getTime(), note?.slice(0, 1_000) ?? null);
    if (!known) throw usage(`There is no incident "${forTerminal(id, 60)}"; /api/v1/incidents lists them.`);
    if (!options.quiet) io.stdout(`Incident ${forTerminal(id, 60)} is acknowledged.\n`);
    return EXIT.nothingWrong;
  } finally {
    await store.close();
  }
}

async function planWork(span: string, printer: string | null, options: CommonOptions, io: Io): Promise<ExitCode> {
  const { from, to } = readSpan(span);
  const config = await loadConfig(options.config, io);
  if (printer !== null && config.printers.length > 0 && !config.printers.some(({ name }) => name === printer)) {
    throw usage(`The configuration names no printer "${forTerminal(printer, 60)}".`);
  }
  const store = await openAgentStore(config, io);
  try {
    await store.plan({ printer, from, to, why: '' });
    if (to <= io.now().getTime() && !options.quiet)
      io.stderr('That time is over already, so it changes nothing that is still to be told: look at the date again.\n');
    const what = printer === null ? 'the whole site' : forTerminal(printer, 60);
    if (!options.quiet) io.stdout(`Nothing is told of ${what} from ${iso(from)} to ${iso(to)}.\n`);
    return EXIT.nothingWrong;
  } finally {
    await store.close();
  }
}

/** `FROM/TO` (ISO 8601), each with an offset or in the time of this machine. */
function readSpan(text: string): { readonly from: number; readonly to: number } {
  const [from, to, more] = text.split('/').map(readMoment);
  if (from === undefined || to === undefined || more !== undefined || !(from < to)) {
    throw usage(
      `--plan takes two times, the first before the second, as 2026-02-01T18:00/2026-02-01T20:00, not "${forTerminal(text, 60)}".`,
    );
  }
  return { from, to };
}

/** `Date.parse` alone takes "1" for a year's first day and a 31st of February for the 3rd of March. */
function readMoment(text: string): number {
  const part = text.trim();
  if (readTime(part) === undefined) return Number.NaN;
  return Date.parse(/^\d{4}-\d{2}-\d{2}$/.test(part) ? `${part}T00:00` : part);
}

function iso(time: number): string {
  return new Date(time).toISOString();
}

function usage(text: string): ProgramProblem {
  return new ProgramProblem('agent-arguments', text);
}

import { readFacts } from '../facts/facts.js';
import { unreadWords } from '../ladder/queue/unread.js';
import { type ExitCode, ProgramProblem } from '../model/problem.js';
import type { EvidenceBundle } from '../model/why.js';
import { withEvidence } from '../probes/collect.js';
import { forTerminal } from '../render/escape.js';
import { renderJson } from '../render/json.js';
import { renderWhy } from '../render/why-text.js';
import { withAnswers } from '../verdict/answers.js';
import { exitCodeOf } from '../verdict/exit-code.js';
import { judge } from '../verdict/verdict.js';
import { readAnswer } from './answers.js';
import { askAtTerminal } from './ask.js';
import { loadBundle, saveBundle } from './bundle-file.js';
import { collectFor } from './collected.js';
import { withMemory } from './from-store.js';
import type { Io } from './io.js';
import { readJob, withJobFile } from './job-file.js';
import type { CommonOptions } from './options.js';
import { filesAsEvidence, type QueueFiles } from './queue-files.js';

export interface WhyArgs {
  /** Not needed with `from`. */
  readonly target?: string;
  readonly options: CommonOptions;
  /** File that the evidence is written to. */
  readonly save?: string;
  /** File of evidence that is judged instead of asking the network. */
  readonly from?: string;
  /** `CHECK=OUTCOME`. */
  readonly answers: readonly string[];
  /** Ask the person at the terminal what only they can see. */
  readonly ask: boolean;
  /** A print host's report, exported events. */
  readonly files?: QueueFiles;
}

/**
 * Says why a printer gives no output: collects evidence or reads it from a file, adds what a person saw, judges, prints.
 * Exit 0: nothing wrong found. 1: a fault. 3: not enough evidence to decide.
 */
export async function runWhy(args: WhyArgs, io: Io): Promise<ExitCode> {
  const answers = args.answers.map(readAnswer);
  const job = args.options.file === undefined ? undefined : await readJob(args.options.file, io.cwd);
  const files = await filesAsEvidence(args.files ?? {}, io);
  const asked = withEvidence(await evidenceFor(args, io), files);
  const found = job === undefined ? asked : withJobFile(asked, job, io.now().toISOString());
  const seen = answers.length === 0 ? found : withAnswers(found, answers, io.now().toISOString());
  const bundle = args.ask ? await askAtTerminal(seen, judge, io) : seen;
  const document = judge(bundle);
  if (!args.options.quiet) remark(bundle, io);
  if (args.save !== undefined) await saveBundle(bundle, args.save, io.cwd);
  const { json, color, verbose } = args.options;
  io.stdout(
    json ? renderJson(document) : renderWhy(document, { color: io.color && color, columns: io.columns, verbose }),
  );
  return exitCodeOf(document);
}

/** What was asked for and told nothing: the ladder has no place for it, and the verdict speaks of the rest alone. */
function remark(bundle: EvidenceBundle, io: Io): void {
  const { printer, queues } = readFacts(bundle);
  for (const words of [printer?.missing, unreadWords(queues ?? [])]) {
    if (words !== undefined) io.stderr(`${forTerminal(words)}\n`);
  }
}

async function evidenceFor({ target, from, options }: WhyArgs, io: Io): Promise<EvidenceBundle> {
  if (from !== undefined && target !== undefined) {
    throw new ProgramProblem(
      'why-arguments',
      'Give a TARGET to ask, or --from FILE to judge what was saved, not both.',
    );
  }
  if (from !== undefined) return loadBundle(from, io.cwd);
  if (target !== undefined) return withMemory(await collectFor(target, options, io), options, io);
  throw new ProgramProblem('why-arguments', 'Which printer? Give a TARGET, or --from FILE to judge what was saved.');
}

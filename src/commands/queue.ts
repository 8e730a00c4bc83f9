import { loadConfig } from '../config/load.js';
import { readFacts } from '../facts/facts.js';
import { EXIT, type ExitCode } from '../model/problem.js';
import { QUEUE_SCHEMA, type QueueDocument } from '../model/queue.js';
import { renderJson } from '../render/json.js';
import { renderQueues } from '../render/queue-text.js';
import { crashReport } from '../verdict/crash-report.js';
import type { Io } from './io.js';
import { limitsOf } from './limits.js';
import type { CommonOptions } from './options.js';
import type { Apply } from './queue-actions.js';
import { applyToJob } from './queue-apply.js';
import { entriesOf, reportLabels } from './queue-entries.js';
import { filesAsEvidence, type QueueFiles } from './queue-files.js';
import { findPlaces } from './queue-places.js';
import { bundleOf, knownPrinters, printerBundles, readPlaces, type Site } from './queue-reading.js';

export interface QueueArgs {
  /** TARGETs and URIs. */
  readonly targets: readonly string[];
  readonly options: CommonOptions;
  readonly files: QueueFiles;
  /** The local spooler, when it is not the one on loopback; `none` leaves it out. */
  readonly spooler?: string;
  /** Set one job aside. */
  readonly apply?: Apply;
}

/**
 * Shows the print queues and jobs on the way to a printer, and what blocks them. Exit 0: nothing blocks. 1: something does. 3: no
 * queue could be found or read.
 */
export async function runQueue(args: QueueArgs, io: Io): Promise<ExitCode> {
  const { document, uris } = await queueDocument(args, io);
  const { json, color } = args.options;
  io.stdout(json ? renderJson(document) : renderQueues(document, { color: io.color && color, columns: io.columns }));
  if (args.apply !== undefined) await applyToJob(args.apply, document, uris, args.options, io);
  return exitOf(document);
}

function exitOf({ queues, crashLoop }: QueueDocument): ExitCode {
  const fault = queues.some(({ findings }) => findings.some(({ severity }) => severity === 'fault'));
  if (fault || (crashLoop !== null && crashLoop.crashes > 1)) return EXIT.fault;
  const read = queues.some(({ state }) => state !== null);
  return read || crashLoop !== null ? EXIT.nothingWrong : EXIT.undecided;
}

interface Made {
  readonly document: QueueDocument;
  /** URIs of the queues that were asked over IPP. */
  readonly uris: ReadonlySet<string>;
}

/** Asks and judges; prints nothing. */
export async function queueDocument(args: QueueArgs, io: Io): Promise<Made> {
  const config = await loadConfig(args.options.config, io);
  const files = await filesAsEvidence(args.files, io);
  const net = await io.net();
  const limits = await limitsOf(args.options, config, io);
  const look = files.length === 0 || args.targets.length > 0 || args.spooler !== undefined;
  const asking = {
    targets: args.targets,
    options: args.options,
    look,
    ...(args.spooler === undefined ? {} : { spooler: args.spooler }),
  };
  const found = await findPlaces(asking, config, net, io, limits.timeoutMs);
  const known = await knownPrinters(found.targets, config, net, limits);
  const read = await readPlaces(found, known, net, limits);
  const askedAt = net.now().toISOString();
  const site: Site = { files, found, known, limits, askedAt };
  const bundles = await printerBundles(site, read, reportLabels(site), net);
  const host = readFacts(bundleOf(site, null, files)).printHost;
  return {
    document: {
      schema: QUEUE_SCHEMA,
      askedAt,
      queues: entriesOf(site, read, bundles),
      crashLoop: crashReport(host),
      problems: [...found.problems, ...(host?.denied ?? []).map((part) => `The report could not tell of ${part}.`)],
    },
    uris: new Set(read.map(({ place }) => place.uri)),
  };
}

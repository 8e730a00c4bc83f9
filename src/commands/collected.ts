import type { Config } from '../config/config.js';
import { loadConfig } from '../config/load.js';
import { nearest } from '../model/nearest.js';
import { looksLikeUri } from '../model/uri.js';
import type { EvidenceBundle } from '../model/why.js';
import { collectEvidence } from '../probes/collect.js';
import type { Probe } from '../probes/probe.js';
import { forTerminal } from '../render/escape.js';
import { behindQueue } from './behind-queue.js';
import type { Io } from './io.js';
import { limitsOf } from './limits.js';
import type { CommonOptions } from './options.js';
import { resolveTarget, settingOf } from './target.js';

/** Asks one target as the options and the configuration say. Throws ProgramProblem for what can't be asked. */
export async function collectFor(
  target: string,
  options: CommonOptions,
  io: Io,
  probes?: readonly Probe[],
): Promise<EvidenceBundle> {
  const config = await loadConfig(options.config, io);
  const resolved = resolveTarget(target, config, options);
  const limits = await limitsOf(options, config, io);
  if (!options.quiet) remarkOnName(target, config, io);
  const net = await io.net();
  const behind = await behindQueue(target, resolved, net, limits);
  if (behind !== null && !options.quiet) io.stderr(`${behind.remark}\n`);
  const bundle = await collectEvidence(behind?.target ?? resolved, net, limits, probes);
  if (options.verbose) await logEvidence(bundle, io);
  return bundle;
}

/** A name that is only nearly one of the configuration is asked for as a host name; say so, since it was hardly meant. */
function remarkOnName(target: string, config: Config, io: Io): void {
  if (looksLikeUri(target) || settingOf(target.replace(/#\d+$/, ''), config) !== undefined) return;
  const close = nearest(
    target,
    config.printers.map(({ name }) => name),
  );
  if (close === undefined || /^[\d.]+$|:/.test(target)) return;
  io.stderr(
    `"${forTerminal(target, 100)}" is not in the configuration and is taken for a host name; did you mean "${close}"?\n`,
  );
}

async function logEvidence(bundle: EvidenceBundle, io: Io): Promise<void> {
  const { createLog } = await import('../net/log.js');
  const log = createLog(io.stderr, 'debug');
  for (const { id, source, what, subject, outcome, tookMs } of bundle.evidence) {
    log.debug({ id, source, what, subject, outcome, tookMs }, 'asked');
  }
}

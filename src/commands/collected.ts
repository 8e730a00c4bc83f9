import { loadConfig } from '../config/load.js';
import type { EvidenceBundle } from '../model/why.js';
import { collectEvidence } from '../probes/collect.js';
import type { Probe } from '../probes/probe.js';
import type { Io } from './io.js';
import { limitsOf } from './limits.js';
import type { CommonOptions } from './options.js';
import { resolveTarget } from './target.js';

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
  const bundle = await collectEvidence(resolved, await io.net(), limits, probes);
  if (options.verbose) await logEvidence(bundle, io);
  return bundle;
}

async function logEvidence(bundle: EvidenceBundle, io: Io): Promise<void> {
  const { createLog } = await import('../net/log.js');
  const log = createLog(io.stderr, 'debug');
  for (const { id, source, what, subject, outcome, tookMs } of bundle.evidence) {
    log.debug({ id, source, what, subject, outcome, tookMs }, 'asked');
  }
}

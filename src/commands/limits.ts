import type { Config } from '../config/config.js';
import type { Limits } from '../probes/probe.js';
import { credentialsOf } from './credentials.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';

const TIMEOUT_MS = 2_000;
const RETRIES = 1;
/** What a probe may take beyond its answers, for what lies between them. */
const MARGIN_MS = 500;

/**
 * How patient to be and in whose name to ask: options first, then the configuration, then two seconds and one retry. A whole probe
 * takes no longer than one answer with all its retries, and half a second.
 */
export async function limitsOf(options: CommonOptions, config: Config, io: Pick<Io, 'env' | 'cwd'>): Promise<Limits> {
  const timeoutMs = options.timeoutMs ?? config.read.timeoutMs ?? TIMEOUT_MS;
  const retries = options.retries ?? config.read.retries ?? RETRIES;
  return {
    timeoutMs,
    retries,
    deadlineMs: timeoutMs * (retries + 1) + MARGIN_MS,
    credentials: await credentialsOf(options, config, io),
    worked: new Map(),
    ...(options.user === undefined ? {} : { user: options.user }),
  };
}

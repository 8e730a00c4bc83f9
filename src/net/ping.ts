import { isIP } from 'node:net';
import type { Outcome } from '../model/evidence.js';
import { type ChildResult, runProgram } from './child.js';

export interface PingResult {
  readonly outcome: Outcome;
  readonly rttMs: number | null;
}

/** One echo by the system's own program, which may ask where this process may not. */
export async function ping(address: string, timeoutMs: number): Promise<PingResult> {
  if (isIP(address) === 0) return { outcome: 'failed', rttMs: null };
  const args = pingArguments(process.platform, address, timeoutMs);
  // The program counts in seconds on some systems: it gets one more before it is stopped.
  return readPing(await runProgram('ping', args, timeoutMs + 1000));
}

/** One request, no name look-ups; the wait in seconds on Linux, in milliseconds elsewhere. */
export function pingArguments(platform: NodeJS.Platform, address: string, timeoutMs: number): readonly string[] {
  if (platform === 'win32') return ['-n', '1', '-w', String(timeoutMs), address];
  if (platform === 'darwin') return ['-n', '-c', '1', '-W', String(timeoutMs), address];
  return ['-n', '-c', '1', '-W', String(Math.max(1, Math.ceil(timeoutMs / 1000))), address];
}

const TIME = /[=<]\s?([\d.,]{1,12})\s?ms/i;

/**
 * What the program's words say. A reply line holds a TTL (Windows ends with 0 for "unreachable" too, without one) and a
 * time; `time<1ms` counts as 1. No echo is `silent`; no program, no right to ask, or an unreachable network is `failed`.
 */
export function readPing(result: ChildResult): PingResult {
  const line = result.stdout.split('\n').find((text) => /ttl=\d/i.test(text) && TIME.test(text));
  if (line !== undefined) {
    const rttMs = Number((TIME.exec(line)?.[1] ?? '').replace(',', '.'));
    return { outcome: 'answered', rttMs: Number.isFinite(rttMs) ? rttMs : null };
  }
  if (/unreachable/i.test(result.stdout)) return { outcome: 'failed', rttMs: null };
  const ran = result.exit === 0 || result.exit === 1 || result.error === 'ETIMEDOUT';
  const noReply = /100(\.0)?% packet loss|\(100% /.test(result.stdout) || result.error === 'ETIMEDOUT';
  return { outcome: ran && noReply ? 'silent' : 'failed', rttMs: null };
}

import { isIP } from 'node:net';
import type { Outcome } from '../model/evidence.js';
import { type ChildResult, runProgram } from './child.js';

export interface PingResult {
  readonly outcome: Outcome;
  readonly rttMs: number | null;
}

/** One echo by the system's own program, which may ask where this process may not. */
export async function ping(address: string, timeoutMs: number, octets?: number): Promise<PingResult> {
  if (isIP(address) === 0) return { outcome: 'failed', rttMs: null };
  const args = pingArguments(process.platform, address, timeoutMs, octets);
  // The program counts in seconds on some systems: it gets one more before it is stopped.
  return readPing(await runProgram('ping', args, timeoutMs + (octets === undefined ? 1000 : TRIES * 1000)));
}

/** A long packet gets lost more easily than a short one: so many are sent. */
const TRIES = 3;

/** What makes a request long and forbids to cut it on the way (RFC 791 section 3.1, "don't fragment"). */
const UNCUT: Partial<Record<NodeJS.Platform, (octets: string) => readonly string[]>> = {
  win32: (octets) => ['-n', String(TRIES), '-f', '-l', octets],
  darwin: (octets) => ['-c', String(TRIES), '-D', '-s', octets],
  linux: (octets) => ['-c', String(TRIES), '-i', '0.2', '-M', 'do', '-s', octets],
};

/** One request, no name look-ups; the wait in seconds on Linux, in milliseconds elsewhere. With `octets`: some long ones, not to be cut. */
export function pingArguments(
  platform: NodeJS.Platform,
  address: string,
  timeoutMs: number,
  octets?: number,
): readonly string[] {
  if (octets !== undefined) {
    const short = pingArguments(platform, address, timeoutMs).filter((arg) => arg !== address);
    const count = short.indexOf(platform === 'win32' ? '-n' : '-c');
    const uncut = (UNCUT[platform] ?? UNCUT.linux)?.(String(octets)) ?? [];
    return [...short.slice(0, count), ...uncut, ...short.slice(count + 2), address];
  }
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
  // Somebody on the way, or this machine, says that it is too long: in any language the flag is called DF.
  if (/\bDF\b|frag|too long|mtu\s?=/i.test(`${result.stdout} ${result.stderr}`))
    return { outcome: 'failed', rttMs: null };
  if (/unreachable/i.test(result.stdout)) return { outcome: 'failed', rttMs: null };
  const ran = result.exit === 0 || result.exit === 1 || result.error === 'ETIMEDOUT';
  const noReply = /100(\.0)?% packet loss|\(100% /.test(result.stdout) || result.error === 'ETIMEDOUT';
  return { outcome: ran && noReply ? 'silent' : 'failed', rttMs: null };
}

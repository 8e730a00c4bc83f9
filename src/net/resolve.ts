import { isIP } from 'node:net';
import { performance } from 'node:perf_hooks';
import { runProgram } from './child.js';
import { outcomeOfCode } from './failure.js';
import type { ResolveResult } from './net.js';

/** Prints the addresses of the name that it is given, in the resolver's order, or the code of what went wrong. */
const SCRIPT =
  "require('node:dns').lookup(process.argv[1],{all:true,verbatim:true},(e,a)=>" +
  'process.stdout.write(JSON.stringify(e?{code:e.code}:{addresses:a.map((x)=>x.address)})))';

/**
 * A name's addresses by the system's own resolver (hosts file, DNS, whatever is set up), in its order. An IP address
 * stands for itself. A name that does not exist is `refused`; no reply within `timeoutMs` is `silent`.
 *
 * The resolver is called in a process of its own: a call can't be broken off, so where no name server answers it would
 * hold up the end of this one for many seconds.
 */
export async function resolveName(name: string, timeoutMs: number): Promise<ResolveResult> {
  const literal = name.replace(/^\[(.*)\]$/, '$1');
  if (isIP(literal) !== 0) return { outcome: 'answered', addresses: [literal], tookMs: 0 };
  const start = performance.now();
  const { stdout, error } = await runProgram(process.execPath, ['-e', SCRIPT, '--', name], timeoutMs);
  return { ...read(stdout, error), tookMs: Math.round(performance.now() - start) };
}

function read(stdout: string, error: string | undefined): Omit<ResolveResult, 'tookMs'> {
  if (error !== undefined) return { outcome: outcomeOfCode(error), addresses: [], code: error };
  try {
    const told = JSON.parse(stdout) as { readonly addresses?: readonly string[]; readonly code?: string };
    if (told.addresses !== undefined) return { outcome: 'answered', addresses: [...new Set(told.addresses)] };
    const code = told.code ?? 'UNKNOWN';
    return { outcome: outcomeOfCode(code), addresses: [], code };
  } catch {
    return { outcome: 'failed', addresses: [], code: 'UNKNOWN' };
  }
}

import { lookup } from 'node:dns';
import { isIP } from 'node:net';
import { performance } from 'node:perf_hooks';
import { failureOf } from './failure.js';
import type { ResolveResult } from './net.js';

/**
 * A name's addresses by the system's own resolver (hosts file, DNS, whatever is set up), in its order. An IP address
 * stands for itself. A name that does not exist is `refused`; no reply within `timeoutMs` is `silent`.
 */
export function resolveName(name: string, timeoutMs: number): Promise<ResolveResult> {
  const literal = name.replace(/^\[(.*)\]$/, '$1');
  if (isIP(literal) !== 0) return Promise.resolve({ outcome: 'answered', addresses: [literal], tookMs: 0 });
  const start = performance.now();
  return new Promise((resolve) => {
    const finish = (result: Omit<ResolveResult, 'tookMs'>): void => {
      clearTimeout(timer);
      resolve({ ...result, tookMs: Math.round(performance.now() - start) });
    };
    const timer = setTimeout(
      () => finish({ outcome: 'silent', addresses: [], code: 'ETIMEDOUT' }),
      Math.max(1, timeoutMs),
    );
    lookup(name, { all: true, verbatim: true }, (error, found) => {
      if (error !== null) {
        const failure = failureOf(error);
        finish({ outcome: failure.outcome, addresses: [], code: failure.code });
        return;
      }
      finish({ outcome: 'answered', addresses: [...new Set(found.map((entry) => entry.address))] });
    });
  });
}

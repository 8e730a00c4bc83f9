import { connect } from 'node:net';
import { performance } from 'node:perf_hooks';
import { failureOf } from './failure.js';
import type { TcpResult } from './net.js';

/**
 * Opens a connection and closes it at once: no byte is ever sent. `open` when the other side accepted, otherwise the
 * system's code. Nothing within `timeoutMs` is `silent`, `ETIMEDOUT`.
 */
export function tcpConnect(host: string, port: number, timeoutMs: number): Promise<TcpResult> {
  const start = performance.now();
  return new Promise((resolve) => {
    const socket = connect({ host, port });
    const finish = (outcome: TcpResult['outcome'], value: string): void => {
      clearTimeout(timer);
      socket.destroy();
      resolve({ outcome, value, tookMs: Math.round(performance.now() - start) });
    };
    const timer = setTimeout(() => finish('silent', 'ETIMEDOUT'), Math.max(1, timeoutMs));
    socket.on('connect', () => finish('answered', 'open'));
    socket.on('error', (error) => {
      const failure = failureOf(error);
      finish(failure.outcome, failure.code);
    });
  });
}

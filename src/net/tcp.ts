import { Socket } from 'node:net';
import { performance } from 'node:perf_hooks';
import { failureOf } from './failure.js';
import type { TcpResult } from './net.js';

/**
 * Sockets that were closed and may connect again. The collector of the young takes a closed handle for alive and keeps its whole socket,
 * so that a sweep of 65,000 addresses with sockets of their own holds hundreds of megabytes for nothing.
 */
const idle: Socket[] = [];
const MOST_IDLE = 256;

/**
 * Opens a connection and closes it at once: no byte is ever sent. `open` when the other side accepted, otherwise the
 * system's code. Nothing within `timeoutMs` is `silent`, `ETIMEDOUT`.
 */
export function tcpConnect(host: string, port: number, timeoutMs: number): Promise<TcpResult> {
  const start = performance.now();
  return new Promise((resolve) => {
    const socket = idle.pop() ?? new Socket();
    let lastCall: NodeJS.Immediate | undefined;
    const finish = (outcome: TcpResult['outcome'], value: string): void => {
      clearTimeout(timer);
      clearImmediate(lastCall);
      socket.destroy();
      resolve({ outcome, value, tookMs: Math.round(performance.now() - start) });
    };
    // On a machine that had no time for this program the answer may lie there unread: it is looked at before the time is called up.
    const late = (): void => {
      lastCall = setImmediate(() => finish('silent', 'ETIMEDOUT'));
    };
    const timer = setTimeout(late, Math.max(1, timeoutMs));
    socket.on('connect', () => finish('answered', 'open'));
    socket.on('error', (error) => {
      const failure = failureOf(error);
      finish(failure.outcome, failure.code);
    });
    socket.on('close', () => {
      socket.removeAllListeners();
      if (idle.length < MOST_IDLE) idle.push(socket);
    });
    socket.connect({ host, port });
  });
}

import { execFile } from 'node:child_process';

export interface Supervisor {
  /** Milliseconds within which a sign of life is wanted; null when none is. */
  readonly watchdogMs: number | null;
  /** `READY=1`, `WATCHDOG=1`, `STOPPING=1`, `STATUS=…` (sd_notify, from memory). Never fails. */
  readonly tell: (...states: readonly string[]) => Promise<void>;
}

const PATIENCE_MS = 5_000;

/**
 * Tells systemd how it goes, where it asks. Node has no sockets of the kind that takes, so its own small program carries the
 * words; the unit allows that with NotifyAccess=all.
 */
export function supervisor(env: Readonly<Record<string, string | undefined>>): Supervisor {
  if (!env.NOTIFY_SOCKET) return { watchdogMs: null, tell: async () => undefined };
  const micros = Number(env.WATCHDOG_USEC);
  const meant = env.WATCHDOG_PID === undefined || env.WATCHDOG_PID === String(process.pid);
  return {
    watchdogMs: meant && micros > 0 ? micros / 1_000 : null,
    tell: (...states) =>
      new Promise((resolve) => {
        const around = { NOTIFY_SOCKET: env.NOTIFY_SOCKET, PATH: env.PATH };
        execFile('systemd-notify', [`--pid=${process.pid}`, ...states], { env: around, timeout: PATIENCE_MS }, () =>
          resolve(),
        );
      }),
  };
}

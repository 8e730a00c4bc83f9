import { execFile } from 'node:child_process';

/** What one of the system's own programs gave back. `exit` is null when it never ran or was stopped. */
export interface ChildResult {
  readonly exit: number | null;
  readonly stdout: string;
  readonly stderr: string;
  /** `ENOENT` when the machine has no such program, `ETIMEDOUT` when it was stopped, else another system code. */
  readonly error?: string;
}

/** More than any table read here ever holds. */
const MOST_BYTES = 8 * 1024 * 1024;

/**
 * Runs one of the system's programs without a shell, in the plain C locale so that its words can be read, with its
 * input closed, stopped after `timeoutMs` and cut off at 8 MB. Never throws.
 */
export function runProgram(file: string, args: readonly string[], timeoutMs: number): Promise<ChildResult> {
  return new Promise((resolve) => {
    const options = {
      timeout: Math.max(1, timeoutMs),
      killSignal: 'SIGKILL' as const,
      maxBuffer: MOST_BYTES,
      windowsHide: true,
      env: { ...process.env, PATH: searchPath(), LC_ALL: 'C', LANG: 'C' },
    };
    const child = execFile(file, [...args], options, (error, stdout, stderr) => {
      resolve({ ...verdictOf(error), stdout, stderr });
    });
    child.stdin?.end();
  });
}

function verdictOf(error: (Error & { code?: unknown; killed?: boolean }) | null): Pick<ChildResult, 'exit' | 'error'> {
  if (error === null) return { exit: 0 };
  if (error.killed === true) return { exit: null, error: 'ETIMEDOUT' };
  if (typeof error.code === 'number') return { exit: error.code };
  return { exit: null, error: typeof error.code === 'string' ? error.code : 'UNKNOWN' };
}

/** The network programs live in sbin, which is not on every user's path. */
function searchPath(): string {
  const own = process.env.PATH ?? '';
  return process.platform === 'win32' ? own : `${own}:/usr/sbin:/sbin`;
}

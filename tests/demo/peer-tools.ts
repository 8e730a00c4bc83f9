import { execFile } from 'node:child_process';

/** Runs a peer's tool to its end; a non-zero exit is a value, as the tests ask for refusals too. */
export function ask(
  program: string,
  args: readonly string[],
): Promise<{ code: number; stdout: string; stderr: string }> {
  const env = { ...process.env, PATH: `${process.env.PATH ?? ''}:/usr/sbin:/sbin`, MIBS: '', LC_ALL: 'C' };
  return new Promise((resolve) => {
    execFile(program, args, { env, timeout: 20_000 }, (error, stdout, stderr) => {
      const code = error ? (typeof error.code === 'number' ? error.code : 1) : 0;
      resolve({ code, stdout, stderr });
    });
  });
}

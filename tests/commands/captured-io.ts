import type { Io } from '../../src/commands/io.js';
import { run } from '../../src/commands/program.js';
import type { ExitCode } from '../../src/model/problem.js';
import { createSystemNet } from '../../src/net/system-net.js';

export interface Captured {
  readonly code: ExitCode;
  readonly out: string;
  readonly err: string;
}

/** Runs the whole program in this process, with the real network, and keeps what it wrote. */
export async function outfeed(argv: readonly string[], around: Partial<Io> = {}): Promise<Captured> {
  let out = '';
  let err = '';
  const net = createSystemNet();
  const io: Io = {
    stdout: (text) => {
      out += text;
    },
    stderr: (text) => {
      err += text;
    },
    env: {},
    cwd: '/nonexistent',
    isTty: false,
    stderrIsTty: false,
    columns: 80,
    color: false,
    net: async () => net,
    now: () => new Date(),
    ...around,
  };
  const code = await run(argv, io);
  return { code, out, err };
}

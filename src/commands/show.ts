import { EXIT, type ExitCode } from '../model/problem.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';

export interface ShowArgs {
  readonly target: string;
  readonly options: CommonOptions;
}
export async function runShow(_args: ShowArgs, _io: Io): Promise<ExitCode> {
  return EXIT.undecided;
}

/** Exit codes of the program. */
export const EXIT = { nothingWrong: 0, fault: 1, usage: 2, undecided: 3, failed: 4 } as const;
export type ExitCode = (typeof EXIT)[keyof typeof EXIT];

/**
 * A mistake that a person can mend: a wrong option, a broken file, a range too large.
 * The message says what, where and what to do. It is the only error thrown on purpose; anything else thrown is a bug.
 */
export class ProgramProblem extends Error {
  override readonly name = 'ProgramProblem';
  constructor(
    /** Stable kebab-case code, for tests and logs. */
    readonly code: string,
    message: string,
    readonly exitCode: ExitCode = EXIT.usage,
  ) {
    super(message);
  }
}

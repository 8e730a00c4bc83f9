import { EXIT, type ExitCode } from '../model/problem.js';
import type { WhyDocument } from '../model/why.js';

/** 0 nothing wrong found, 1 a fault found, 3 not enough evidence to decide. */
export function exitCodeOf(document: Pick<WhyDocument, 'silent'>): ExitCode {
  if (document.silent === null) return EXIT.undecided;
  return document.silent ? EXIT.fault : EXIT.nothingWrong;
}

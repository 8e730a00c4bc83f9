import { configReference } from '../config/reference.js';
import { bashCompletion } from '../render/manual/bash.js';
import { fishCompletion } from '../render/manual/fish.js';
import { manPage } from '../render/manual/man-page.js';
import { zshCompletion } from '../render/manual/zsh.js';
import type { Io } from './io.js';
import { wordsOf } from './manual.js';
import { buildProgram } from './program.js';
import { COMPLETION_FILES } from './shells.js';

/** The man page, the page of configuration keys and the completions, by their path below `shared`. */
export function manualFiles(): Readonly<Record<string, string>> {
  const words = wordsOf(buildProgram(NOWHERE, () => undefined));
  return {
    'docs/configuration.md': configReference(),
    'man/outfeed.1': manPage(words),
    [`completion/${COMPLETION_FILES.bash}`]: bashCompletion(words),
    [`completion/${COMPLETION_FILES.zsh}`]: zshCompletion(words),
    [`completion/${COMPLETION_FILES.fish}`]: fishCompletion(words),
  };
}

const silent = (): void => undefined;
/** Nothing is run, so nothing is written, read or asked. */
const NOWHERE: Io = {
  stdout: silent,
  stderr: silent,
  env: {},
  cwd: '/',
  isTty: false,
  stderrIsTty: false,
  columns: 80,
  color: false,
  net: () => Promise.reject(new Error('a description asks no network')),
  now: () => new Date(0),
};

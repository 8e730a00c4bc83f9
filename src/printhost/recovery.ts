import type { HostRecovery, RecoveryAction } from '../model/print-host.js';

/** What the service's recovery settings lead to in a crash loop. */
export interface RecoveryOutlook {
  /** From which failure on nothing starts the service again; null: it is started again for ever. */
  readonly silentFrom: number | null;
  /** From which failure on the whole machine is started again. */
  readonly rebootsFrom: number | null;
  readonly words: string;
}

const ORDINALS = ['first', 'second', 'third', 'fourth', 'fifth'];
const ordinal = (n: number): string => ORDINALS[n - 1] ?? `${n}th`;

/**
 * The Nth failure since the count was last reset brings the Nth action; beyond the list the last action is repeated; the count
 * is reset after `resetSeconds` without failure (MS-SCMR 2.2.40). Without any action nothing is done at all.
 */
export function recoveryOutlook({ actions, resetSeconds }: HostRecovery): RecoveryOutlook {
  const kinds: readonly RecoveryAction[] = actions.length === 0 ? ['none'] : actions.map(({ action }) => action);
  const last = kinds.at(-1) ?? 'none';
  const silentFrom = last === 'none' ? trailing(kinds) : null;
  const reboot = kinds.indexOf('reboot');
  return {
    silentFrom,
    rebootsFrom: reboot < 0 ? null : reboot + 1,
    words: wordsOf(silentFrom, reboot, resetSeconds),
  };
}

/** Number of the first of the last actions that are all `none`. */
function trailing(kinds: readonly RecoveryAction[]): number {
  let from = kinds.length;
  while (from > 1 && kinds[from - 2] === 'none') from -= 1;
  return from;
}

function wordsOf(silentFrom: number | null, reboot: number, reset: number | null): string {
  const counted = reset === null || reset === 0 ? '' : ` (counted afresh after ${timeWords(reset)} without one)`;
  if (reboot >= 0) {
    return `From the ${ordinal(reboot + 1)} failure on${counted} the whole machine is started again, and the same job with it.`;
  }
  if (silentFrom === null) {
    return 'After every failure the service is started again, and the same job with it: the loop has no end of its own.';
  }
  if (silentFrom === 1) {
    return 'Nothing starts the service again after a failure: it stays down, and whoever starts it by hand starts the same job.';
  }
  const before = silentFrom === 2 ? 'The first failure starts' : `The first ${silentFrom - 1} failures start`;
  return (
    `${before} the service again, into the same job; the ${ordinal(silentFrom)} failure${counted} does nothing: the ` +
    'service then stays down and looks cured of its loop, until somebody starts it by hand and the same job brings it down again.'
  );
}

function timeWords(seconds: number): string {
  if (seconds % 86_400 === 0) return seconds === 86_400 ? 'a day' : `${seconds / 86_400} days`;
  if (seconds % 3600 === 0) return seconds === 3600 ? 'an hour' : `${seconds / 3600} hours`;
  return seconds < 120 ? `${seconds} seconds` : `${Math.round(seconds / 60)} minutes`;
}

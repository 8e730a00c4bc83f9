import { setTimeout as sleep } from 'node:timers/promises';
import type { NeighbourEntryValue, NeighbourState } from '../../model/evidence.js';
import { runProgram } from '../child.js';
import { knock } from './knock.js';
import type { AgedRow } from './linux.js';
import { readNeighbourTable } from './table.js';

export const ABSENT: NeighbourEntryValue = { kind: 'entry', state: 'absent', mac: null, interface: null };

/** States that no waiting changes. */
const SETTLED: ReadonlySet<NeighbourState> = new Set(['failed', 'permanent', 'noarp']);

/** A confirmation this much older than the question still counts as an answer to it (the kernel counts whole seconds). */
const GRACE_SECONDS = 5;

const FIRST_WAIT_MS = 20;
const LONGEST_WAIT_MS = 250;

/**
 * Makes the kernel resolve an on-link address afresh and waits until it knows, at most `timeoutMs`.
 *
 * An old row proves nothing: after a cable is pulled it reads REACHABLE for a while and STALE for long. So `reachable`
 * is said only if the host was confirmed since it was asked or seconds before. A row with an older answer that the kernel
 * had not yet checked again when the time was up (REACHABLE, DELAY, PROBE) comes back as `stale`.
 */
export async function resolveAfresh(
  address: string,
  timeoutMs: number,
  clock: () => number,
): Promise<NeighbourEntryValue> {
  const start = clock();
  const before = (await readNeighbourTable(address))[0];
  if (before !== undefined && hasOldAnswer(before)) await askForProbe(before);
  const datagram = knock(address);
  try {
    let row = before;
    for (let wait = FIRST_WAIT_MS; clock() - start < timeoutMs; wait = Math.min(wait * 2, LONGEST_WAIT_MS)) {
      await sleep(Math.max(1, Math.min(wait, timeoutMs - (clock() - start))));
      row = (await readNeighbourTable(address))[0];
      if (datagram.answered() && row?.mac != null) return shown(row, 'reachable');
      if (row !== undefined && isDecided(row, before, (clock() - start) / 1000)) return shown(row, freshState(row));
    }
    return row === undefined ? ABSENT : shown(row, agedState(row, (clock() - start) / 1000));
  } finally {
    datagram.close();
  }
}

function hasOldAnswer(row: AgedRow): boolean {
  return row.mac !== null && (row.state === 'reachable' || row.state === 'stale' || row.state === 'delay');
}

/**
 * With the right to administer the network the kernel's own re-check of a row can be started at once, rather than after
 * its five seconds of grace. Without that right the program says no, and the wait below takes its course.
 */
async function askForProbe(row: AgedRow): Promise<void> {
  if (process.platform !== 'linux' || process.getuid?.() !== 0 || row.interface === null || row.mac === null) return;
  const change = ['neigh', 'change', row.address, 'lladdr', row.mac, 'dev', row.interface, 'nud', 'probe'];
  await runProgram('ip', change, 1000);
}

/** Whether the row is an answer to this question. A failed row left over from before is not, until it was asked again. */
function isDecided(row: AgedRow, before: AgedRow | undefined, askedSecondsAgo: number): boolean {
  if (row.state === 'reachable') return isFresh(row, askedSecondsAgo);
  if (row.state === 'failed') return before?.state !== 'failed' || askedSecondsAgo > 1;
  if (row.state === 'stale' && row.confirmedSecondsAgo === null) return before?.mac == null;
  return SETTLED.has(row.state);
}

/** Tables without ages show a row that was not there before the question: it is new, so it was answered now. */
function freshState(row: AgedRow): NeighbourState {
  return row.state === 'stale' ? 'reachable' : row.state;
}

function agedState(row: AgedRow, askedSecondsAgo: number): NeighbourState {
  if (row.state !== 'reachable' && row.state !== 'delay' && row.state !== 'probe') return row.state;
  return isFresh(row, askedSecondsAgo) ? 'reachable' : 'stale';
}

function isFresh(row: AgedRow, askedSecondsAgo: number): boolean {
  return row.confirmedSecondsAgo !== null && row.confirmedSecondsAgo <= askedSecondsAgo + GRACE_SECONDS;
}

function shown(row: AgedRow, state: NeighbourState): NeighbourEntryValue {
  return { kind: 'entry', state, mac: row.mac, interface: row.interface };
}

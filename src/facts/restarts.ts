import type { Evidence } from '../model/evidence.js';
import { from, type PrinterFact } from './fact.js';

/** How often the device came up by itself or by somebody's hand, as its up-time tells. */
export interface RestartsFact {
  /** Within two hours before the question. */
  readonly lately: number;
  /** Within a day before it. */
  readonly inDay: number;
  readonly evidence: readonly string[];
}

const HOUR = 3_600_000;
/** Two readings of one start differ by what the answer took and by the clocks. */
const SAME_START_MS = 5 * 60_000;

/** Counts the starts on record, and the one that the present up-time tells of. Undefined without a record. */
export function readRestarts(
  evidence: readonly Evidence[],
  printer: PrinterFact | undefined,
  askedAt: string,
): RestartsFact | undefined {
  const record = from(evidence, 'history').find(({ what }) => what === 'starts');
  if (!Array.isArray(record?.value?.starts)) return undefined;
  const now = Date.parse(askedAt);
  const ticks = printer?.document.upTimeTicks ?? null;
  const told = record.value.starts.map((start) => Date.parse(String(start)));
  const all = [...told, ...(ticks === null ? [] : [now - ticks * 10])].filter((at) => at <= now).sort((a, b) => b - a);
  const starts = all.filter((at, index) => index === 0 || (all[index - 1] ?? 0) - at > SAME_START_MS);
  return {
    lately: starts.filter((at) => now - at <= 2 * HOUR).length,
    inDay: starts.filter((at) => now - at <= 24 * HOUR).length,
    evidence: [record.id, ...(ticks === null ? [] : (printer?.evidence.state ?? []))],
  };
}

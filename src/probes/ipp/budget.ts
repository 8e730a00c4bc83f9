import type { Net } from '../../net/net.js';
import type { Limits } from '../probe.js';

/** The time that one probe may still spend, and the numbers of its requests. */
export interface Budget {
  /** Milliseconds until the probe must be over. */
  left(): number;
  /** For a connection to come about. */
  connectMs(): number;
  /** For a whole exchange: printers that sleep or think take longer to answer than to connect. */
  readMs(): number;
  nextRequestId(): number;
}

/** A read may take this many times what a single answer may, within the deadline. */
const READ_FACTOR = 2;
/** Kept back so that the probe's own work still ends before its deadline. */
const MARGIN_MS = 20;

export function startBudget(net: Net, limits: Limits): Budget {
  const start = net.monotonic();
  const left = (): number => limits.deadlineMs - MARGIN_MS - (net.monotonic() - start);
  const within = (ms: number): number => Math.max(1, Math.min(ms, left()));
  let requestId = 0;
  return {
    left,
    connectMs: () => within(limits.timeoutMs),
    readMs: () => within(limits.timeoutMs * READ_FACTOR),
    nextRequestId: () => {
      requestId += 1;
      return requestId;
    },
  };
}

/**
 * Status bits of Windows queues and jobs in the words of IPP (RFC 8011 5.4.12 and 5.3.8), so that one judge serves both.
 * Queue bits: PRINTER_STATUS (MS-RPRN 2.2.3.12). Job bits: JOB_STATUS (MS-RPRN 2.2.3.6 has them as JOB_INFO status; winspool.h).
 * Numbers from memory of those tables.
 */
const QUEUE_BITS: readonly (readonly [number, string])[] = [
  [0x1, 'paused'],
  [0x2, 'other-error'],
  [0x4, 'deleting'],
  [0x8, 'media-jam-error'],
  [0x10, 'media-empty-error'],
  [0x20, 'media-needed'],
  [0x40, 'media-needed'],
  [0x80, 'offline'],
  [0x800, 'output-area-full-error'],
  [0x1000, 'offline'],
  [0x20000, 'toner-low-warning'],
  [0x40000, 'toner-empty-error'],
  [0x100000, 'media-needed'],
  [0x400000, 'door-open-error'],
];
const BUSY_BITS = 0x400 | 0x4000 | 0x200 | 0x100;
const PAUSED = 0x1;
const DELETING = 0x4;

export interface QueueStatus {
  readonly state: 'idle' | 'processing' | 'stopped';
  readonly reasons: readonly string[];
  readonly accepting: boolean;
}

/** One queue's bits, with "use printer offline" beside them. */
export function queueStatus(bits: number, offline: boolean | null): QueueStatus {
  const reasons = QUEUE_BITS.filter(([bit]) => (bits & bit) !== 0).map(([, word]) => word);
  const all = [...new Set(offline === true ? [...reasons, 'offline'] : reasons)];
  const stopped = (bits & PAUSED) !== 0 || offline === true;
  return {
    state: stopped ? 'stopped' : (bits & BUSY_BITS) !== 0 ? 'processing' : 'idle',
    reasons: all,
    accepting: (bits & DELETING) === 0,
  };
}

export interface JobStatus {
  /** job-state keyword. */
  readonly state: string;
  readonly reasons: readonly string[];
  readonly holdUntil: string | null;
}

/** One job's bits. */
export function jobStatus(bits: number): JobStatus {
  const has = (bit: number): boolean => (bits & bit) !== 0;
  if (has(0x1)) return { state: 'pending-held', reasons: ['job-hold-until-specified'], holdUntil: 'indefinite' };
  if (has(0x80) || has(0x1000)) return { state: 'completed', reasons: ['job-completed-successfully'], holdUntil: null };
  if (has(0x4) || has(0x100)) return { state: 'processing', reasons: ['processing-to-stop-point'], holdUntil: null };
  if (has(0x40)) return { state: 'processing-stopped', reasons: ['media-needed'], holdUntil: null };
  if (has(0x400)) return { state: 'processing-stopped', reasons: ['printer-stopped-partly'], holdUntil: null };
  if (has(0x2) || has(0x200))
    return { state: 'processing-stopped', reasons: ['document-unprintable-error'], holdUntil: null };
  if (has(0x10)) return { state: 'processing', reasons: ['job-printing'], holdUntil: null };
  return { state: 'pending', reasons: has(0x20) ? ['printer-stopped'] : [], holdUntil: null };
}

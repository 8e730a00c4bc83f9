import type { Certainty, LayerId, NextStep, Severity } from './layers.js';

/** `outfeed.queue/1`: the print queues and jobs on the way to a printer, and what blocks them. */
export const QUEUE_SCHEMA = 'outfeed.queue/1';

export interface QueuedJob {
  readonly id: number;
  /** job-state keyword (RFC 8011 5.3.7). */
  readonly state: string;
  readonly reasons: readonly string[];
  /** Null where the spooler keeps it to itself. */
  readonly name: string | null;
  readonly user: string | null;
  readonly kOctets: number | null;
  readonly createdAt: string | null;
  readonly waitingSeconds: number | null;
  /** Since its processing began. */
  readonly processingSeconds: number | null;
  readonly format: string | null;
  readonly impressions: number | null;
}

export interface QueueFinding {
  readonly layer: LayerId;
  readonly cause: string;
  readonly certainty: Certainty;
  readonly severity: Severity;
  /** The job that it is about, null when it is about the queue. */
  readonly job: number | null;
  readonly summary: string;
  readonly next: readonly NextStep[];
}

/** One way for a job, tried without paper (Validate-Job makes none, RFC 8011 4.2.3). */
export interface RouteStep {
  readonly taken: boolean | null;
  /** Status keyword or code. */
  readonly code: string;
}

/** Where a job of this user stops: asked of the printer itself and of the queue. */
export interface RouteTest {
  readonly user: string | null;
  /** Null: the printer was not asked. */
  readonly direct: RouteStep | null;
  readonly throughQueue: RouteStep | null;
  /** `nowhere`: both ways were shown to take it. Null: can't be told. */
  readonly stopsAt: 'queue' | 'printer' | 'nowhere' | null;
  readonly summary: string;
}

/** Whether what waits will be gone without anybody's doing, and when. */
export interface Clearing {
  /** Null: can't be told. */
  readonly byItself: boolean | null;
  readonly inSeconds: number | null;
  readonly because: string;
}

type Allowed = 'allowed' | 'refused' | 'unknown';

/** Three rights that Windows hosts tell apart. */
export interface QueueRights {
  readonly user: string;
  readonly print: Allowed;
  readonly manageDocuments: Allowed;
  readonly managePrinter: Allowed;
}

export interface QueueEntry {
  readonly uri: string;
  readonly name: string;
  readonly server: string;
  readonly state: 'idle' | 'processing' | 'stopped' | null;
  readonly reasons: readonly string[];
  /** printer-state-message, as the spooler gave it. */
  readonly message: string | null;
  readonly accepting: boolean | null;
  readonly deviceUri: string | null;
  /** Name of the configured printer that it sends to. */
  readonly leadsTo: string | null;
  /** Queues of a class. */
  readonly members: readonly string[];
  readonly jobs: readonly QueuedJob[];
  /** For a job handed in now; null when it can't be told or would wait for ever. */
  readonly expectedWaitSeconds: number | null;
  readonly clears: Clearing;
  readonly route: RouteTest | null;
  /** What the user may do there, where a print host's report tells. */
  readonly rights: QueueRights | null;
  readonly findings: readonly QueueFinding[];
}

/** Who or what stands out from chance in repeated crashes of a print service. */
export interface CrashSuspect {
  /** What is accused: everything else is told of the latest job in question. */
  readonly kind: 'job' | 'document' | 'user' | 'driver' | 'format';
  readonly job: number | null;
  readonly document: string | null;
  readonly user: string | null;
  readonly driver: string | null;
  readonly format: string | null;
  readonly queue: string | null;
}

export interface CrashLoopReport {
  readonly crashes: number;
  readonly suspect: CrashSuspect | null;
  /** Crashes at which the suspect was in progress. */
  readonly explains: number;
  /** Chance that anything would stand out so far by accident; null when nothing could be tested. */
  readonly byChance: number | null;
  readonly firstAt: string;
  readonly lastAt: string;
  /** What the service's recovery settings will do next, in words; null when they are not known. */
  readonly recovery: string | null;
  readonly summary: string;
  readonly next: readonly NextStep[];
}

export interface QueueDocument {
  readonly schema: typeof QUEUE_SCHEMA;
  readonly askedAt: string;
  readonly queues: readonly QueueEntry[];
  /** Null without crashes, or without a record of them. */
  readonly crashLoop: CrashLoopReport | null;
  /** What could not be asked or read, and why. */
  readonly problems: readonly string[];
}

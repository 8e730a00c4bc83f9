import type { Allowed } from '../printhost/sddl.js';
import type { JobLanguage } from '../wire/job/languages.js';
import type { DeviceFact } from './device-uri.js';
import type { IppStep } from './ipp.js';
import type { JobFact } from './jobs.js';

/** One print queue, asked over IPP or told of by a print host's report. */
export interface QueueFact {
  readonly uri: string;
  readonly name: string;
  readonly server: string;
  /** How the spooler took Get-Printer-Attributes. */
  readonly read: IppStep;
  readonly validate: IppStep | null;
  readonly state: 'idle' | 'processing' | 'stopped' | null;
  readonly reasons: readonly string[];
  readonly message: string | null;
  readonly accepting: boolean | null;
  readonly device: DeviceFact | null;
  /** Names a user who may not print here, when one was asked for. */
  readonly refusesUser: boolean;
  readonly wantsSignIn: boolean;
  readonly formats: readonly string[];
  /** Not completed, in the order the spooler gives: the head first. */
  readonly jobs: readonly JobFact[];
  /** Ended jobs, newest first. */
  readonly ended: readonly JobFact[];
  /** Queues that a class hands its jobs to. */
  readonly members: readonly string[];
  /** What the spooler does with a job that could not be sent: `retry-job`, `retry-current-job`, `abort-job`, `stop-printer`. */
  readonly errorPolicy: string | null;
  /** operations-supported, by number. */
  readonly operations: readonly number[];
  /** Out of a print host's report only. */
  readonly driver: HostDriverFact | null;
  readonly rights: RightsFact | null;
  readonly evidence: { readonly read: string; readonly jobs: readonly string[]; readonly device: readonly string[] };
}

export interface HostDriverFact {
  readonly name: string;
  /** Language that its name tells; null when it tells none. */
  readonly language: JobLanguage | null;
  readonly problem: 'missing' | 'wrong-architecture' | null;
  /** In words: what is there, and what is wanted. */
  readonly has: string;
  readonly wants: string;
}

/** What the user asked for may do with a queue. */
export interface RightsFact {
  readonly user: string;
  readonly print: Allowed;
  readonly manageDocuments: Allowed;
  readonly managePrinter: Allowed;
}

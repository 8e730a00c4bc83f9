import { findCrashLoop } from '../../src/queues/crash-loop.js';
import type { Story } from './histories.js';

/**
 * What the finder made of one story. `right`: who must be named is named. `part`: a job that did bring the service down, where its
 * driver or its document is the whole truth: setting it aside helps, for now. `wrong`: somebody innocent. `silent`: nobody.
 */
export type Outcome = 'right' | 'part' | 'wrong' | 'silent';

export function outcomeOf(story: Story): Outcome {
  const accused = findCrashLoop(story.history)?.accused ?? null;
  if (accused === null) return 'silent';
  const { truth, killers } = story;
  if (truth === null) return 'wrong';
  const { job, kind } = accused;
  const key = { job: String(job.id), document: job.document, driver: job.driver, format: null, user: null }[kind];
  if (kind === truth.kind && key === truth.key) return 'right';
  // A document that was sent once is its job.
  if (kind === 'document' && truth.kind === 'job' && String(job.id) === truth.key) return 'right';
  return (kind === 'job' || kind === 'document') && killers.has(job.id) ? 'part' : 'wrong';
}

/** What `queue --apply` may do, to one job and never to a whole queue. */
export const ACTIONS = ['hold', 'cancel'] as const;
export type Action = (typeof ACTIONS)[number];

export interface Apply {
  readonly action: Action;
  /** Number of the job; absent: the one that is suspected or stands in the way. */
  readonly job?: number;
  /** Number of the job, given beforehand in place of the answer at the terminal. */
  readonly yes?: number;
}

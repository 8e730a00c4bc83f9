import { expect, test } from 'vitest';
import { recoveryOutlook } from '../../src/printhost/recovery.js';
import { jobStatus, queueStatus } from '../../src/printhost/status.js';

const actions = (...kinds: ('none' | 'restart' | 'reboot' | 'run')[]) => ({
  resetSeconds: 86_400,
  actions: kinds.map((action) => ({ action, delayMs: 60_000 })),
});

// "When the service fails for the Nth time, the service controller performs the action specified in element [N-1]… If N is
// greater than cActions, the service controller repeats the last action" (MS-SCMR 2.2.40).
test.each([
  [
    actions('restart', 'restart', 'none'),
    3,
    null,
    /The first 2 failures start.*the third failure \(counted afresh after a day without one\) does nothing/,
  ],
  [actions('restart', 'none'), 2, null, /The first failure starts/],
  [actions('restart', 'none', 'none'), 2, null, /the second failure/],
  [actions(), 1, null, /Nothing starts the service again/],
  [actions('none'), 1, null, /it stays down/],
  [actions('restart'), null, null, /no end of its own/],
  [actions('restart', 'reboot', 'reboot'), null, 2, /the whole machine is started again/],
  [
    { ...actions('restart', 'restart', 'none'), resetSeconds: 900 },
    3,
    null,
    /counted afresh after 15 minutes without one/,
  ],
  [{ ...actions('restart', 'none'), resetSeconds: null }, 2, null, /the second failure does nothing/],
] as const)('%j', (recovery, silentFrom, rebootsFrom, words) => {
  expect(recoveryOutlook(recovery)).toMatchObject({ silentFrom, rebootsFrom, words: expect.stringMatching(words) });
});

// Bits: MS-RPRN 2.2.3.12 and winspool.h, from memory.
test('states of queues and jobs by their bits', () => {
  expect(queueStatus(0, false)).toEqual({ state: 'idle', reasons: [], accepting: true });
  expect(queueStatus(0x1 | 0x10, null)).toMatchObject({ state: 'stopped', reasons: ['paused', 'media-empty-error'] });
  expect(queueStatus(0x80, false)).toMatchObject({ state: 'idle', reasons: ['offline'] });
  expect(queueStatus(0x400, true)).toMatchObject({ state: 'stopped', reasons: ['offline'] });
  expect(jobStatus(0)).toMatchObject({ state: 'pending' });
  expect(jobStatus(0x10 | 0x1)).toMatchObject({ state: 'pending-held', holdUntil: 'indefinite' });
  expect(jobStatus(0x80)).toMatchObject({ state: 'completed' });
  expect(jobStatus(0x40)).toMatchObject({ state: 'processing-stopped', reasons: ['media-needed'] });
});

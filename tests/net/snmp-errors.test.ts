import { describe, expect, test } from 'vitest';
import { failedReply, reportName, statusName } from '../../src/net/snmp-errors.js';

const NOTHING = { report: undefined, garbled: false, discovered: false };

function system(code: string): Error {
  return Object.assign(new Error(`send ${code} with words that may hold secrets`), { code });
}

describe('what an unanswered question comes to', () => {
  test.each([
    ['ECONNREFUSED', 'refused'],
    ['EHOSTUNREACH', 'failed'],
    ['ENETUNREACH', 'failed'],
    ['EPERM', 'failed'],
    ['EMSGSIZE', 'failed'],
  ])('%s', (code, outcome) => {
    expect(failedReply(system(code), NOTHING)).toEqual({ outcome, varbinds: [], error: code, problems: [] });
  });

  test('a time-out, by what was heard meanwhile', () => {
    const timedOut = Object.assign(new Error('x'), { name: 'RequestTimedOutError' });
    expect(failedReply(timedOut, NOTHING)).toEqual({ outcome: 'silent', varbinds: [], problems: [] });
    expect(failedReply(timedOut, { ...NOTHING, garbled: true }).outcome).toBe('garbled');
    expect(failedReply(timedOut, { ...NOTHING, discovered: true }).error).toBe('no-answer-after-discovery');
    expect(failedReply(timedOut, { ...NOTHING, report: 'usmStatsWrongDigests' }).outcome).toBe('denied');
  });

  test('anything else has failed, and its words stay inside', () => {
    expect(failedReply(new Error('password=1234'), NOTHING)).toEqual({
      outcome: 'failed',
      varbinds: [],
      error: 'UNKNOWN',
      problems: [],
    });
  });
});

describe('names', () => {
  test('of error statuses (RFC 3416 3)', () => {
    expect([0, 1, 2, 5, 16, 18, 19, -1].map(statusName)).toEqual([
      'noError',
      'tooBig',
      'noSuchName',
      'genErr',
      'authorizationError',
      'inconsistentName',
      'error-status 19',
      'error-status -1',
    ]);
  });

  test('of reports (RFC 3414 5)', () => {
    expect(reportName(['1.3.6.1.6.3.15.1.1.5.0'])).toBe('usmStatsWrongDigests');
    expect(reportName(['1.3.6.1.6.3.11.2.1.3.0'])).toBe('report 1.3.6.1.6.3.11.2.1.3.0');
    expect(reportName([])).toBe('report');
  });
});

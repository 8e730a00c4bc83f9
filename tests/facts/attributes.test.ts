import { describe, expect, test } from 'vitest';
import { reasonsOf } from '../../src/facts/attributes.js';
import type { IppAttributes } from '../../src/model/evidence.js';

const given = (...values: string[]): IppAttributes => ({
  'job-state-reasons': values.map((value) => ({ tag: 'keyword', value })),
});

// RFC 8011 5.1.4: a keyword holds letters, digits, "-", "_" and ".".
describe('reasons of a queue or a job', () => {
  test.each([
    ['one a value', ['job-printing', 'queued-in-device'], ['job-printing', 'queued-in-device']],
    ['all in one value', ['aborted-by-system, document-format-error'], ['aborted-by-system', 'document-format-error']],
    ['none among them', ['none,job-printing'], ['job-printing']],
    ['none alone', ['none'], []],
  ])('%s', (_, values, reasons) => {
    expect(reasonsOf(given(...values), 'job-state-reasons')).toEqual(reasons);
  });
});

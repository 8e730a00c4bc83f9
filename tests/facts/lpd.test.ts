import { expect, test } from 'vitest';
import { readLpd } from '../../src/facts/lpd.js';
import type { Evidence, LpdEvidence } from '../../src/model/evidence.js';

const record = (id: string, more: Partial<LpdEvidence>): Evidence => ({
  id,
  source: 'lpd',
  what: 'short state',
  about: 'queue',
  subject: 'lpd://192.0.2.5/plotter%2Fa3',
  outcome: 'answered',
  value: { text: 'no entries' },
  at: '2026-01-31T09:00:00.000Z',
  tookMs: 4,
  ...more,
});

test('short and long state of a queue are one fact', () => {
  const found = readLpd([record('e1', {}), record('e2', { what: 'long state', value: { text: 'long' } })]);
  expect(found).toMatchObject([
    { name: 'plotter/a3', outcome: 'answered', state: { empty: true }, evidence: ['e1', 'e2'] },
  ]);
});

test('a daemon that said nothing has no state', () => {
  const found = readLpd([
    record('e1', { outcome: 'silent', value: null }),
    record('e2', { subject: 'lpd://192.0.2.6/' }),
  ]);
  expect(found).toMatchObject([{ outcome: 'silent', state: null }, { name: 'lpd://192.0.2.6/' }]);
});

test('not asked', () => {
  expect(readLpd([])).toBeUndefined();
});

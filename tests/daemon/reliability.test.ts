import { expect, test } from 'vitest';
import { reliabilityOf } from '../../src/daemon/reliability.js';
import type { KeptIncident } from '../../src/model/incident.js';

const HOUR = 3_600_000;
const T0 = Date.parse('2026-03-02T00:00:00Z');
const at = (hours: number) => new Date(T0 + hours * HOUR).toISOString();

function incident(affects: readonly string[], from: number, to: number | null): KeptIncident {
  return {
    id: `i${from}`,
    printer: affects[0] ?? '',
    layer: 'media',
    cause: 'media-empty',
    component: null,
    startedAt: at(from),
    endedAt: to === null ? null : at(to),
    acknowledgedAt: null,
    affects,
    note: null,
    flapping: false,
  };
}

/** Sums by hand over a hundred hours. */
test('availability and the time between faults', () => {
  const incidents = [
    incident(['quay'], 10, 12),
    // Overlaps: one silence from 40 to 45.
    incident(['quay'], 40, 44),
    incident(['quay', 'loft'], 42, 45),
    // Still open at the end, and begun before the start.
    incident(['loft'], 98, null),
    incident(['cellar'], -5, 1),
  ];
  const watched = ['quay', 'loft', 'cellar', 'attic'].map((printer) => ({ printer, since: T0 - 50 * HOUR }));
  const young = { printer: 'young', since: T0 + 90 * HOUR };
  const said = reliabilityOf([...watched, young], incidents, { from: T0, to: T0 + 100 * HOUR });
  const gist = said.map((one) => [
    one.printer,
    one.silentSeconds / 3600,
    one.availability,
    one.faults,
    one.meanSecondsBetweenFaults === null ? null : one.meanSecondsBetweenFaults / 3600,
  ]);
  expect(gist).toEqual([
    ['quay', 7, 0.93, 3, 31],
    ['loft', 5, 0.95, 2, 47.5],
    ['cellar', 1, 0.99, 0, null],
    ['attic', 0, 1, 0, null],
    ['young', 0, 1, 0, null],
  ]);
  expect(said.find(({ printer }) => printer === 'young')?.watchedSeconds).toBe(10 * 3600);
});

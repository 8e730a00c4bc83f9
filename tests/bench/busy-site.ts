import type { Change } from '../../src/store/change.js';

const MINUTE = 60_000;

/** One site's share of a busy hour: levels and pages, and now and then an incident. */
export function busyChanges(site: number, round: number): Change[] {
  const at = Date.parse('2026-03-02T09:00:00Z') + round * MINUTE;
  return Array.from({ length: 25 }, (_, n) => `p${n}`).flatMap((printer, n): Change[] => {
    const series = {
      place: '1',
      name: 'Black toner',
      type: 'toner',
      class: 'supplyThatIsConsumed',
      colour: 'black',
      unit: 'impressions',
      capacity: 6000,
    };
    const counter = { place: '', name: '', type: '', class: '', colour: null, unit: null, capacity: null };
    const samples: Change[] = [
      { kind: 'sample', printer, series: { kind: 'level', ...series }, at, value: 6000 - round },
      { kind: 'sample', printer, series: { kind: 'pages', ...counter }, at, value: 1000 + round },
    ];
    if ((n + round) % 25 !== 0) return samples;
    const id = `${site}-${round}-${n}`;
    const incident = {
      id,
      printer,
      layer: 'media' as const,
      cause: 'media-empty',
      component: 'Tray 1',
      startedAt: at,
      endedAt: round % 2 === 0 ? at : null,
      affects: [printer],
      flapping: false,
      told: true,
    };
    return [...samples, { kind: 'incident', incident }];
  });
}

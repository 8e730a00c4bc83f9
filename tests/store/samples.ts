import type { Change, IncidentRecord, SeriesOf } from '../../src/store/change.js';

export const T0 = Date.parse('2026-03-02T09:00:00Z');
export const HOUR = 3_600_000;
export const DAY = 24 * HOUR;

export const black: SeriesOf = {
  kind: 'level',
  place: '1',
  name: 'Black toner',
  type: 'tonerCartridge',
  class: 'supplyThatIsConsumed',
  colour: 'black',
  unit: 'impressions',
  capacity: 6000,
};
export const pages: SeriesOf = {
  ...black,
  kind: 'pages',
  place: '',
  name: '',
  type: '',
  class: '',
  colour: null,
  unit: null,
  capacity: null,
};

export function printer(name: string, at = T0, more: Partial<Extract<Change, { kind: 'printer' }>> = {}): Change {
  const address = '192.0.2.21';
  return { kind: 'printer', printer: name, address, configured: true, at, lastAnswerAt: at, goneAt: null, ...more };
}

export function sample(name: string, at: number, value: number, series = black): Change {
  return { kind: 'sample', printer: name, series, at, value };
}

export function verdict(name: string, at: number, cause = 'media-empty', silent: boolean | null = true): Change {
  return {
    kind: 'verdict',
    printer: name,
    at,
    silent,
    layer: 'media',
    cause,
    component: 'Tray 2',
    certainty: 'sure',
    summary: 'Tray 2 is empty.',
    evidence: {
      schema: 'outfeed.evidence/1',
      target: name,
      address: '192.0.2.21',
      askedAt: new Date(at).toISOString(),
      tookMs: 12,
      evidence: [],
    },
  };
}

export function incident(id: string, at: number, more: Partial<IncidentRecord> = {}): Change {
  return {
    kind: 'incident',
    incident: {
      id,
      printer: 'front-desk',
      layer: 'media',
      cause: 'media-empty',
      component: 'Tray 2',
      startedAt: at,
      endedAt: null,
      affects: ['front-desk'],
      flapping: false,
      told: true,
      ...more,
    },
  };
}

export function event(id: string, at: number, tellers: readonly string[] = ['hook'], dueAt = at): Change {
  return {
    kind: 'event',
    event: {
      schema: 'outfeed.event/1',
      id,
      kind: 'fault',
      printer: 'front-desk',
      layer: 'media',
      cause: 'media-empty',
      at: new Date(at).toISOString(),
      summary: 'Tray 2 of front-desk is empty.',
    },
    incident: null,
    tell: tellers.map((teller) => ({ teller, dueAt })),
  };
}

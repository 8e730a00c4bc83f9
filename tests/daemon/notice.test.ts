import { describe, expect, test } from 'vitest';
import { type Noted, nothingNoted, notice } from '../../src/daemon/notice.js';
import { readPrinter } from '../../src/facts/printer/printer.js';
import type { PrinterDocument } from '../../src/model/printer.js';
import type { Blame } from '../../src/model/why.js';
import { bundleOf, HEALTHY } from '../ladder/bundle.js';
import { MINUTE, T0 } from './conditions.js';

const HOUR = 60 * MINUTE;
const read = readPrinter(bundleOf(HEALTHY).evidence, { address: '192.0.2.21', readAt: '' })?.document;
if (read === undefined) throw new Error('no document');
const document: PrinterDocument = {
  ...read,
  identity: { ...read.identity, serial: 'EX-1', firmware: '4.1.7', macs: ['02:00:00:00:00:15'] },
  supplies: [
    {
      index: 1,
      name: 'Black toner',
      type: 'toner',
      class: 'supplyThatIsConsumed',
      colour: 'black',
      unit: 'impressions',
      level: 4000,
      capacity: 6000,
      percent: 67,
      meaning: 'measured',
      state: 'ok',
    },
  ],
  counters: { lifePages: 1000, powerOnPages: 1 },
  alerts: [],
  upTimeTicks: 360_000,
};
const low: Blame = {
  layer: 'supplies',
  cause: 'supply-low',
  certainty: 'sure',
  component: 'Black toner',
  summary: 'Black toner is running low.',
};

function look(before: Noted, at: number, more: Partial<PrinterDocument> = {}, warnings: readonly Blame[] = []) {
  const address = '192.0.2.21';
  return notice(before, { site: 'x', printer: 'p', at, document: { ...document, ...more }, warnings, address });
}
const kinds = (changes: readonly { kind: string }[]) => [...new Set(changes.map(({ kind }) => kind))].sort();

describe('only what changed is put down', () => {
  test('the first time all, the second time nothing, after a day that it is still so', () => {
    const first = look(nothingNoted(), T0);
    expect(kinds(first.changes)).toEqual(['identity', 'sample']);
    expect(look(first.noted, T0 + MINUTE, { upTimeTicks: 366_000 }).changes).toEqual([]);
    expect(kinds(look(first.noted, T0 + 25 * HOUR, { upTimeTicks: 9_360_000 }).changes)).toEqual(['identity']);
  });

  test('new firmware, and a level that fell', () => {
    const { noted } = look(nothingNoted(), T0);
    const supplies = document.supplies.map((supply) => ({ ...supply, level: 3990 }));
    const identity = { ...document.identity, firmware: '4.2.0' };
    expect(look(noted, T0 + MINUTE, { supplies, identity, upTimeTicks: 366_000 }).changes).toMatchObject([
      { kind: 'identity', what: 'firmware', value: '4.2.0' },
      { kind: 'sample', series: { kind: 'level', place: '1' }, value: 3990 },
    ]);
  });

  test.each(['unknown', 'no-limit'] as const)(
    'a level that is no number of anything (%s) is not put down',
    (meaning) => {
      const supplies = document.supplies.map((supply) => ({ ...supply, level: -2, meaning }));
      const { changes } = look(nothingNoted(), T0, { supplies });
      expect(changes.some((change) => change.kind === 'sample' && change.series.kind === 'level')).toBe(false);
    },
  );

  test('one that makes up another name each time does not grow without bound', () => {
    let noted = nothingNoted();
    for (let n = 0; n < 1000; n++) {
      noted = look(noted, T0 + n, { identity: { ...document.identity, name: `n${n}` } }).noted;
    }
    expect(noted.identities.size).toBeLessThanOrEqual(200);
  });
});

describe('starts', () => {
  const starts = (changes: readonly { kind: string }[]) =>
    changes.filter(
      (change) => change.kind === 'sample' && (change as { series?: { kind: string } }).series?.kind === 'booted',
    );

  test('an up-time that fell is a start', () => {
    const { noted } = look(nothingNoted(), T0);
    const { changes } = look(noted, T0 + HOUR, { upTimeTicks: 6_000 });
    expect(starts(changes)).toMatchObject([{ value: T0 + HOUR - 60_000 }]);
  });

  test('a clock that was set is none', () => {
    const { noted } = look(nothingNoted(), T0);
    expect(starts(look(noted, T0 - HOUR, { upTimeTicks: 366_000 }).changes)).toEqual([]);
    expect(starts(look(noted, T0 + 9_000 * HOUR, { upTimeTicks: 366_000 }).changes)).toEqual([]);
  });

  test('one while the agent was away is found by when it came up', () => {
    const { noted } = look(nothingNoted(), T0);
    const away: Noted = { ...noted, upTicks: null };
    expect(starts(look(away, T0 + 5 * HOUR, { upTimeTicks: 360_000 + 5 * 360_000 }).changes)).toEqual([]);
    expect(starts(look(away, T0 + 5 * HOUR, { upTimeTicks: 360_000 }).changes)).toHaveLength(1);
  });
});

describe('alerts and supplies', () => {
  const alert = {
    source: 'snmp',
    index: 3,
    severity: 'critical',
    group: 'input',
    groupIndex: 2,
    component: 'Tray 2',
    code: 'subunitEmpty',
    codeNumber: 13,
    trainingLevel: 'untrained',
    location: 5,
    description: 'Tray 2 empty',
    reason: 'media-empty-error',
    raisedAtTicks: 1,
  } as const;

  test('an alert has a start and an end', () => {
    const first = look(nothingNoted(), T0, { alerts: [alert, alert] });
    expect(first.changes.filter(({ kind }) => kind === 'alert')).toMatchObject([{ startedAt: T0, endedAt: null }]);
    const same = look(first.noted, T0 + MINUTE, { alerts: [alert], upTimeTicks: 366_000 });
    expect(same.changes).toEqual([]);
    const { changes } = look(same.noted, T0 + HOUR, { upTimeTicks: 720_000 });
    expect(changes).toMatchObject([{ kind: 'alert', startedAt: T0, endedAt: T0 + HOUR }]);
  });

  test('a supply that runs low is told once, also when its level swings about the mark', () => {
    let { noted, events } = look(nothingNoted(), T0, {}, [low]);
    expect(events).toMatchObject([{ kind: 'supply', cause: 'supply-low', layer: 'supplies', printer: 'p' }]);
    for (let n = 1; n < 20; n++) {
      ({ noted, events } = look(noted, T0 + n * 5 * MINUTE, { upTimeTicks: 360_000 + n }, n % 2 === 0 ? [low] : []));
      expect(events).toEqual([]);
    }
  });

  test('after a new cartridge it is told again', () => {
    let { noted } = look(nothingNoted(), T0, {}, [low]);
    for (let n = 1; n < 40; n++) ({ noted } = look(noted, T0 + n * 5 * MINUTE, { upTimeTicks: 360_000 + n }));
    const again = look(noted, T0 + 100 * HOUR, { upTimeTicks: 400_000 }, [low]);
    expect(again.events).toHaveLength(1);
    expect(again.events[0]?.id).not.toBe(look(nothingNoted(), T0, {}, [low]).events[0]?.id);
  });
});

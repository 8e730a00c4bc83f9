import { describe, expect, test } from 'vitest';
import { buildSnapshot, type SnapshotInput } from '../../src/snapshot/snapshot.js';
import { samplePrinter, sampleSite } from '../render/site-samples.js';
import { layersUpTo, sampleWhy, wellWhy } from '../render/why-samples.js';

const SITE = { site: 'Harbour annex', madeAt: '2026-01-31T09:00:00.000Z' };

function paused(target: string, minutes: number): SnapshotInput {
  const base = sampleWhy({ target });
  const summary = `The print queue ${target} is paused.`;
  return {
    printer: null,
    why: {
      ...base,
      verdict: {
        layer: 'queue',
        cause: 'queue-paused',
        certainty: 'sure',
        summary,
        next: [{ step: 'Resume it.', minutes, cautions: [] }],
      },
      layers: layersUpTo('queue', 'fault', 'queue-paused', summary),
    },
  };
}

function empty(target: string): SnapshotInput {
  return { printer: samplePrinter(), why: sampleWhy({ target }) };
}

describe('the snapshot document', () => {
  test('holds every printer in the order given, with levels, and a forecast only where something is remembered', () => {
    const snapshot = sampleSite();
    expect(snapshot.schema).toBe('outfeed.snapshot/1');
    expect(snapshot.redacted).toBe(false);
    expect(snapshot.printers.map((entry) => entry.why.target)).toEqual([
      'archive',
      'front-desk',
      'back-office',
      'studio',
      'post-room',
    ]);
    const [black] = snapshot.printers[0]?.supplies ?? [];
    expect(black).toMatchObject({
      printer: 'archive',
      supply: { index: 1, name: 'Black toner cartridge', type: 'toner', colour: 'black' },
      percent: 70,
      state: 'ok',
      enough: false,
      because: 'no history kept yet',
      daysLeft: null,
      refills: [],
    });
    const [remembered, cyan] = snapshot.printers[1]?.supplies ?? [];
    expect([remembered?.daysLeft?.median, cyan?.enough]).toEqual([87, false]);
    expect(snapshot.printers[1]?.incidents).toHaveLength(4);
    expect(snapshot.printers[2]).toMatchObject({ printer: null, supplies: [], counters: null, incidents: [] });
  });

  test('the round: from the desk first, then most people for a minute, then quickest', () => {
    const inputs = [empty('b'), empty('a'), paused('q', 30), empty('many'), { printer: null, why: wellWhy() }];
    const { order } = buildSnapshot(inputs, { ...SITE, people: { many: 12 } }).visit;
    expect(order.map((stop) => stop.printer)).toEqual(['q', 'many', 'a', 'b']);
    expect(order[0]).toMatchObject({ remote: true, minutes: 30, people: null, steps: ['Resume it.'] });
    expect(order[1]).toMatchObject({ remote: false, minutes: 2, people: 12 });
  });

  test('what can print is not visited', () => {
    expect(buildSnapshot([{ printer: null, why: wellWhy() }], SITE).visit.order).toEqual([]);
  });

  test('the bag: the part that is named, each thing once with all it is for', () => {
    const { bring } = buildSnapshot([empty('a'), empty('b'), { printer: null, why: wellWhy() }], SITE).visit;
    expect(bring.filter(({ kind }) => kind === 'paper')).toEqual([
      {
        what: '250 sheets of paper A4, 210 x 297 mm, for Tray 2 (Model 21)',
        for: ['a', 'b'],
        because: 'Tray 2 is empty, and no other tray can take its place.',
        kind: 'paper',
        quantity: 2,
      },
    ]);
    expect(bring).toContainEqual({
      what: 'black toner, spare (Model 21)',
      for: ['front-desk'],
      because: 'Black toner is low (9 %).',
      kind: 'supply',
      quantity: 1,
    });
  });
});

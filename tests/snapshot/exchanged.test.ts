import { describe, expect, test } from 'vitest';
import type { FixedFault } from '../../src/model/compare.js';
import type { PrinterDocument } from '../../src/model/printer.js';
import type { Incident, SnapshotDocument } from '../../src/model/snapshot.js';
import { changeSections } from '../../src/render/compare-words.js';
import { compareSnapshots } from '../../src/snapshot/compare.js';
import { buildSnapshot } from '../../src/snapshot/snapshot.js';
import { samplePrinter } from '../render/site-samples.js';
import { sampleWhy, wellWhy } from '../render/why-samples.js';

const THEN = '2026-01-31T09:00:00.000Z';
const NOW = '2026-02-20T09:00:00.000Z';

/** A site of one printer with one supply. */
function site(
  madeAt: string,
  supply: { name?: string; percent?: number },
  over: Partial<PrinterDocument> = {},
): SnapshotDocument {
  const sample = samplePrinter(over);
  const [first] = sample.supplies;
  const supplies = first === undefined ? [] : [{ ...first, ...supply }];
  return buildSnapshot([{ printer: { ...sample, supplies }, why: wellWhy() }], { site: 'Annex', madeAt });
}

const replaced = (a: SnapshotDocument, b: SnapshotDocument) => compareSnapshots(a, b).replaced;

test('names come first, of all printers: a device that took the place of another leaves its old place empty', () => {
  const at = (target: string, serial: string) => {
    const sample = samplePrinter();
    const printer = { ...sample, identity: { ...sample.identity, serial, uuid: null, macs: [] } };
    return { printer, why: { ...wellWhy(), target } };
  };
  const before = buildSnapshot([at('attic', 'EX-1'), at('lobby', 'EX-2')], { site: 'Annex', madeAt: THEN });
  const after = buildSnapshot([at('lobby', 'EX-1')], { site: 'Annex', madeAt: NOW });
  const { gone, replaced: exchanged } = compareSnapshots(before, after);
  expect(gone).toEqual(['attic']);
  expect(exchanged).toMatchObject([{ printer: 'lobby', kind: 'device' }]);
});

describe('what was exchanged', () => {
  test('another number in the description is another cartridge, however full it is', () => {
    const list = replaced(
      site(THEN, { name: 'Black Toner; S/N: A1B2C3D4', percent: 40 }),
      site(NOW, { name: 'Black Toner; S/N: Z9Y8X7W6', percent: 45 }),
    );
    expect(list).toMatchObject([{ kind: 'cartridge', before: 'A1B2C3D4', after: 'Z9Y8X7W6' }]);
    expect(list[0]?.what).toBe('Black Toner: cartridge A1B2C3D4 before, Z9Y8X7W6 now; level 40 % before, 45 % now');
  });

  test('the same number and more in it is a refill, or a counter that somebody set back', () => {
    const name = 'Black Toner, serial number A1B2C3D4';
    const list = replaced(site(THEN, { name, percent: 3 }), site(NOW, { name, percent: 100 }));
    expect(list).toMatchObject([{ kind: 'refill', before: '3 %', after: '100 %' }]);
    expect(list[0]?.what).toContain('the same cartridge, A1B2C3D4');
  });

  test('a level that wavers is nothing; one that rises by ten points is', () => {
    expect(replaced(site(THEN, { percent: 40 }), site(NOW, { percent: 49 }))).toEqual([]);
    expect(replaced(site(THEN, { percent: 40 }), site(NOW, { percent: 50 }))).toMatchObject([{ kind: 'refill' }]);
  });

  test('firmware', () => {
    const { identity } = samplePrinter();
    const list = replaced(
      site(THEN, {}, { identity: { ...identity, firmware: '4.1.7' } }),
      site(NOW, {}, { identity: { ...identity, firmware: '4.2.0' } }),
    );
    expect(list).toEqual([
      {
        printer: expect.any(String),
        kind: 'firmware',
        what: 'firmware: 4.1.7 before, 4.2.0 now',
        before: '4.1.7',
        after: '4.2.0',
      },
    ]);
  });

  test('the device: then its levels and its firmware compare with nothing', () => {
    const { identity } = samplePrinter();
    const list = replaced(
      site(THEN, { percent: 3 }, { identity: { ...identity, serial: 'AA-1' } }),
      site(NOW, { percent: 100 }, { identity: { ...identity, serial: 'BB-2', firmware: '9' } }),
    );
    expect(list).toMatchObject([{ kind: 'device' }]);
    expect(list[0]?.what).toMatch(/^the device itself: .* AA-1 before, .* BB-2 now$/);
  });
});

describe('whether a repair held', () => {
  const fault = sampleWhy({ target: 'annex' });
  const old = buildSnapshot([{ printer: samplePrinter(), why: fault }], { site: 'Annex', madeAt: THEN });
  const later = (incidents: readonly Incident[]): FixedFault | undefined => {
    const why = { ...wellWhy(), target: 'annex' };
    return compareSnapshots(
      old,
      buildSnapshot([{ printer: samplePrinter(), why, incidents }], { site: 'Annex', madeAt: NOW }),
    ).fixed[0];
  };
  const incident = (startedAt: string, endedAt: string | null): Incident => ({
    id: startedAt,
    printer: 'annex',
    layer: fault.verdict.layer,
    cause: fault.verdict.cause,
    component: null,
    startedAt,
    endedAt,
    acknowledgedAt: null,
  });
  const words = (fixed: FixedFault | undefined): string => {
    const document = { ...compareSnapshots(old, old), days: 20, fixed: fixed === undefined ? [] : [fixed], still: [] };
    return changeSections(document)[0]?.rows[0]?.says ?? '';
  };

  test('an agent watched: counted from the end of the fault', () => {
    const fixed = later([incident('2026-01-30T08:00:00.000Z', '2026-02-02T10:00:00.000Z')]);
    expect(fixed).toMatchObject({ heldDays: 17, cameBack: 0, endedAt: '2026-02-02T10:00:00.000Z' });
    expect(words(fixed)).toMatch(/^Held for 17 days, since 2026-02-02 10:00\. It was: /);
  });

  test('it came back in between: said, and counted from the last time', () => {
    const fixed = later([
      incident('2026-01-30T08:00:00.000Z', '2026-02-02T10:00:00.000Z'),
      incident('2026-02-10T08:00:00.000Z', '2026-02-12T10:00:00.000Z'),
      incident('2025-12-01T08:00:00.000Z', '2025-12-02T10:00:00.000Z'),
    ]);
    expect(fixed).toMatchObject({ heldDays: 7, cameBack: 1 });
    expect(words(fixed)).toMatch(/^Held for 7 days after it came back 1 time, since 2026-02-12 10:00\./);
  });

  test('nobody watched: only that it was over when looked again', () => {
    const fixed = later([]);
    expect(fixed).toMatchObject({ heldDays: null, cameBack: null, endedAt: null });
    expect(words(fixed)).toMatch(/^Over when looked again 20 days later; nobody watched in between\. It was: /);
  });
});

import { describe, expect, test } from 'vitest';
import { meaningOf } from '../../src/facts/condition/reason-words.js';
import { splitReason } from '../../src/facts/printer/ipp-reasons.js';
import { PRINTER_STATE_REASONS } from '../../src/registry/reasons.generated.js';
import { judge } from '../../src/verdict/verdict.js';
import { bundleOf, HEALTHY, ippPrinter } from './bundle.js';

const verdictOf = (state: number, keyword: string) => {
  const attributes = ippPrinter({ state, reasons: [keyword] });
  return judge(bundleOf({ ...HEALTHY, snmp: 'silent', ipp: { attributes } }));
};
const conditions = PRINTER_STATE_REASONS.filter(
  (word) => word !== 'none' && meaningOf(splitReason(word).keyword) === 'condition',
);

// Keywords: IANA IPP registry, printer-state-reasons. Rule on suffixes: RFC 8011 5.4.12.
describe('every registered printer-state-reasons keyword', () => {
  test('there are many of them', () => {
    expect(PRINTER_STATE_REASONS.length).toBe(875);
    expect(conditions.length).toBeGreaterThan(300);
  });

  test('as an error on a stopped printer it is a fault of a layer that speaks of the printer', () => {
    const wrong = conditions.filter((word) => {
      const { silent, verdict } = verdictOf(5, word);
      return silent !== true || !['device', 'media', 'supplies', 'language'].includes(verdict.layer);
    });
    expect(wrong).toEqual([]);
  });

  test('as a report on an idle printer it is no fault', () => {
    const wrong = conditions.filter((word) => verdictOf(3, `${splitReason(word).keyword}-report`).silent !== false);
    expect(wrong).toEqual([]);
  });

  test('as a warning on an idle printer it is no fault', () => {
    const wrong = conditions.filter((word) => verdictOf(3, `${splitReason(word).keyword}-warning`).silent !== false);
    expect(wrong).toEqual([]);
  });
});

// Meaning: RFC 8011 5.4.12 and PWG 5100.9 by the words of each keyword.
describe('what a keyword stands for', () => {
  test.each([
    ['cover-open', 'device/cover-open'],
    ['door-open', 'device/cover-open'],
    ['interlock-open', 'device/interlock-open'],
    ['media-jam', 'device/media-jam'],
    ['media-path-output-jam', 'device/media-jam'],
    ['paused', 'device/paused'],
    ['shutdown', 'device/offline'],
    ['fuser-over-temp', 'device/fuser-fault'],
    ['fuser-under-temp', 'device/fuser-fault'],
    ['marker-over-temperature', 'device/overheated'],
    ['subunit-memory-exhausted', 'device/memory-short'],
    ['spool-area-full', 'device/storage-full'],
    ['marker-unrecoverable-failure', 'device/service-needed'],
    ['media-empty', 'media/media-empty'],
    ['media-needed', 'media/media-needed'],
    ['input-manual-input-request', 'media/media-needed'],
    ['input-tray-missing', 'media/tray-missing'],
    ['output-area-full', 'media/output-full'],
    ['toner-empty', 'supplies/supply-empty'],
    ['marker-supply-empty', 'supplies/supply-empty'],
    ['marker-ink-empty', 'supplies/supply-empty'],
    ['marker-supply-missing', 'supplies/supply-missing'],
    ['marker-waste-full', 'supplies/waste-full'],
    ['marker-waste-ink-receptacle-full', 'supplies/waste-full'],
    ['opc-life-over', 'supplies/part-worn-out'],
    ['marker-life-over', 'supplies/part-worn-out'],
    ['interpreter-complex-page-encountered', 'language/page-too-complex'],
  ])('%s', (word, expected) => {
    const { verdict } = verdictOf(5, word);
    expect(`${verdict.layer}/${verdict.cause}`).toBe(expected);
  });
});

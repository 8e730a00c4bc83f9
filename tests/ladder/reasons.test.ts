import { describe, expect, test } from 'vitest';
import { meaningOf } from '../../src/facts/condition/reason-words.js';
import { splitReason } from '../../src/facts/printer/ipp-reasons.js';
import { PRINTER_STATE_REASONS } from '../../src/registry/reasons.generated.js';
import { judge } from '../../src/verdict/verdict.js';
import { bundleOf, HEALTHY, ippPrinter, snmpPrinter } from './bundle.js';

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
    ['subunit-recoverable-storage', 'device/service-needed'],
    ['stapler-unrecoverable-storage-error', 'device/service-needed'],
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

// hrDeviceStatus warning(3) goes with a printer that still works (RFC 2790, RFC 3805 2.2.13.2); printer-state: RFC 8011 5.4.11.
describe('a reason over IPP beside an SNMP state', () => {
  const beside = (word: string, device: number, bits: string) => {
    const attributes = ippPrinter({ state: 3, reasons: [word] });
    const { silent, verdict, warnings } = judge(
      bundleOf({ ...HEALTHY, snmp: snmpPrinter({ device, printer: 3, bits }), ipp: { attributes } }),
    );
    return { silent, certainty: verdict.certainty, cause: silent ? verdict.cause : warnings[0]?.cause };
  };

  test('without a suffix it only warns where both states say that printing goes on', () => {
    expect(beside('marker-supply-empty', 3, '0000')).toMatchObject({ silent: false, cause: 'supply-empty' });
  });

  test('an error by its suffix may be a stop under a warning, never surely', () => {
    expect(beside('marker-supply-empty-error', 3, '0000')).toMatchObject({ silent: true, certainty: 'likely' });
  });

  test('a bit of something else does not make it sure, its own bit does', () => {
    const offline = beside('marker-supply-empty', 2, '0200');
    expect(offline).toMatchObject({ cause: 'supply-empty', certainty: 'likely' });
    expect(beside('marker-supply-empty', 2, '1000')).toMatchObject({ cause: 'supply-empty', certainty: 'sure' });
  });
});

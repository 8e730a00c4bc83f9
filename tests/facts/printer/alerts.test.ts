import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { alertReason } from '../../../src/facts/printer/alert-reason.js';
import { splitReason } from '../../../src/facts/printer/ipp-reasons.js';
import { ALERT_CODES, ENUMS } from '../../../src/registry/enums.generated.js';
import { PRINTER_STATE_REASONS, SUFFIX_TRAPS } from '../../../src/registry/reasons.generated.js';
import { octets, printerOid, readIpp, readTables } from './evidence-samples.js';

const registered = new Set(PRINTER_STATE_REASONS);
const table = JSON.parse(
  readFileSync(new URL('../../../shared/registries/alert-to-reason.json', import.meta.url), 'utf8'),
) as Readonly<Record<'codes' | 'finisherCodes', readonly { code: number; reason: string | null }[]>>;
const conditions = JSON.parse(
  readFileSync(new URL('../../../shared/registries/rfc3805-condition-table.json', import.meta.url), 'utf8'),
) as {
  conditions: readonly {
    condition: string;
    severity: 'critical' | 'warning';
    group: string;
    groupCode: number;
    codes: readonly { code: number; name: string }[];
    bits: readonly { bit: number; name: string }[];
    hrDeviceStatus: readonly number[];
    hrPrinterStatus: readonly number[];
  }[];
};

describe('alert to reason', () => {
  // IANA-PRINTER-MIB 2024-02-06 joined with the IANA IPP registry: shared/registries/alert-to-reason.json.
  test('all 807 codes: the keyword of the table, registered, with the suffix of each severity', () => {
    const rows = [...table.codes, ...table.finisherCodes];
    expect(rows).toHaveLength(807);
    for (const { code, reason } of rows) {
      if (reason === null) {
        expect(alertReason(code, null, 3), String(code)).toBeNull();
        continue;
      }
      expect(registered.has(reason), reason).toBe(true);
      expect(alertReason(code, null, 3)).toBe(`${reason}-error`);
      expect(alertReason(code, null, 4)).toBe(`${reason}-warning`);
      expect(alertReason(code, null, 5)).toBe(`${reason}-warning`);
      expect(alertReason(code, null, 1)).toBe(`${reason}-report`);
      expect(alertReason(code, null, null)).toBe(reason);
    }
  });

  test('whatever code and group: no keyword, or a registered one with a suffix that comes off again', () => {
    for (const code of Object.keys(ALERT_CODES).map(Number)) {
      for (const group of Object.keys(ENUMS.PrtAlertGroupTC ?? {}).map(Number)) {
        const reason = alertReason(code, group, 3);
        if (reason === null) continue;
        expect(splitReason(reason).severity).toBe('error');
        expect(registered.has(splitReason(reason).keyword), reason).toBe(true);
      }
    }
  });

  test('a generic code means what its group makes of it', () => {
    expect(alertReason(13, 8, 3)).toBe('media-empty-error');
    expect(alertReason(13, 11, 3)).toBe('marker-supply-empty-error');
    expect(alertReason(13, 30, 3)).toBe('subunit-empty-error');
    expect(alertReason(8, 13, 3)).toBe('media-path-jam-error');
    expect(alertReason(999_999, 8, 3)).toBeNull();
    expect(alertReason(null, 8, 3)).toBeNull();
  });
});

describe('splitting a reason', () => {
  test.each(SUFFIX_TRAPS)('%s stays whole', (keyword) => {
    expect(splitReason(keyword)).toEqual({ keyword, severity: 'error', explicit: false });
    expect(splitReason(`${keyword}-warning`)).toEqual({ keyword, severity: 'warning', explicit: true });
  });

  test.each([
    ['media-jam-error', 'media-jam', 'error', true],
    ['toner-low-warning', 'toner-low', 'warning', true],
    ['spool-area-full-report', 'spool-area-full', 'report', true],
    ['door-open', 'door-open', 'error', false], // RFC 8011 5.4.12: without a suffix it is an error
    ['-error', '-error', 'error', false],
  ])('%s', (given, keyword, severity, explicit) => {
    expect(splitReason(given)).toEqual({ keyword, severity, explicit });
  });
});

/** A printer in one condition, as RFC 3805 2.2.13.2 would have it. */
function inCondition(row: (typeof conditions.conditions)[number], code: number) {
  const octetsOfBits = [0, 0];
  for (const { bit } of row.bits) octetsOfBits[bit >> 3] = (octetsOfBits[bit >> 3] ?? 0) | (0x80 >> (bit & 7));
  return readTables({
    hrDeviceTable: { 1: { hrDeviceType: printerOid, hrDeviceStatus: row.hrDeviceStatus[0] ?? 1 } },
    hrPrinterTable: {
      1: {
        hrPrinterStatus: row.hrPrinterStatus[0] ?? 2,
        hrPrinterDetectedErrorState: { hex: Buffer.from(octetsOfBits).toString('hex') },
      },
    },
    prtGeneralTable: { 1: { prtGeneralPrinterName: 'front-desk' } },
    prtAlertTable: {
      '1.1': {
        prtAlertSeverityLevel: row.severity === 'critical' ? 3 : 4,
        prtAlertGroup: row.groupCode,
        prtAlertGroupIndex: 1,
        prtAlertCode: code,
      },
    },
  });
}

describe('conditions of a printer (rows chosen from memory, values derived: shared/registries/SOURCES.md)', () => {
  const rows = conditions.conditions.flatMap((row) => row.codes.map((code) => ({ row, code })));
  test.each(rows)('$row.condition by $code.name', ({ row, code }) => {
    const document = inCondition(row, code.code);
    expect(document.state.errorBits).toEqual(row.bits.map(({ name }) => name));
    expect(document.alerts[0]).toMatchObject({ code: code.name, group: row.group, severity: row.severity });
    const suffix = row.severity === 'critical' ? 'error' : 'warning';
    expect(document.alerts[0]?.reason).toMatch(new RegExp(`-${suffix}$`));
  });
});

describe('the alert table', () => {
  const bare = { prtGeneralTable: { 1: { prtGeneralPrinterName: 'front-desk' } } };

  test('parts are named, gaps in the index are kept, rows in order', () => {
    const { alerts } = readTables({
      ...bare,
      hrStorageTable: { 4: { hrStorageDescr: 'RAM disk' } },
      prtInputTable: { '1.2': { prtInputName: 'Tray 2', prtInputCurrentLevel: -3 } },
      prtOutputTable: { '1.1': { prtOutputName: 'Face down', prtOutputRemainingCapacity: -3 } },
      prtCoverTable: { '1.3': { prtCoverDescription: 'Rear door', prtCoverStatus: 3 } },
      prtMarkerTable: { '1.1': { prtMarkerCounterUnit: 7 } },
      prtMarkerSuppliesTable: { '1.5': { prtMarkerSuppliesDescription: 'Cyan ink', prtMarkerSuppliesLevel: -3 } },
      prtMediaPathTable: { '1.1': { prtMediaPathDescription: 'Duplexer' } },
      prtInterpreterTable: { '1.2': { prtInterpreterDescription: 'Page language', prtInterpreterLangFamily: 6 } },
      prtChannelTable: { '1.1': { prtChannelType: 11 } },
      finDeviceTable: { '1.1': { finDeviceDescription: 'Stapler' } },
      prtAlertTable: {
        '1.900': { prtAlertGroup: 30, prtAlertGroupIndex: 1, prtAlertCode: 30213 },
        '1.3': { prtAlertGroup: 8, prtAlertGroupIndex: 2, prtAlertCode: 808, prtAlertSeverityLevel: 3 },
        '1.17': { prtAlertGroup: 9, prtAlertGroupIndex: 1, prtAlertCode: 903 },
        '1.18': { prtAlertGroup: 6, prtAlertGroupIndex: 3, prtAlertCode: 3 },
        '1.19': { prtAlertGroup: 10, prtAlertGroupIndex: 1, prtAlertCode: 1002 },
        '1.20': { prtAlertGroup: 11, prtAlertGroupIndex: 5, prtAlertCode: 1105 },
        '1.21': { prtAlertGroup: 13, prtAlertGroupIndex: 1, prtAlertCode: 8 },
        '1.22': { prtAlertGroup: 15, prtAlertGroupIndex: 2, prtAlertCode: 1509 },
        '1.23': { prtAlertGroup: 14, prtAlertGroupIndex: 1, prtAlertCode: 1 },
        '1.24': { prtAlertGroup: 3, prtAlertGroupIndex: 4, prtAlertCode: 15 },
        '1.25': { prtAlertGroup: 5, prtAlertGroupIndex: -1, prtAlertCode: 22 },
        '1.26': { prtAlertGroup: 8, prtAlertGroupIndex: 9, prtAlertCode: 13 },
      },
    });
    expect(alerts.map(({ index, component }) => [index, component])).toEqual([
      [3, 'Tray 2'],
      [17, 'Face down'],
      [18, 'Rear door'],
      [19, 'Marker 1'],
      [20, 'Cyan ink'],
      [21, 'Duplexer'],
      [22, 'Page language'],
      [23, 'chPort9100'],
      [24, 'RAM disk'],
      [25, null],
      [26, null],
      [900, 'Stapler'],
    ]);
  });

  test('codes and severities that nobody registered, location -2, time 0, holes in a row', () => {
    const { alerts } = readTables({
      ...bare,
      prtAlertTable: {
        '1.1': { prtAlertCode: 2, prtAlertSeverityLevel: 4, prtAlertLocation: -2, prtAlertTime: 0 },
        '1.2': { prtAlertCode: 77_777, prtAlertSeverityLevel: 9, prtAlertGroup: 444 },
        '1.3': { prtAlertDescription: { hex: '507570e92100' } },
      },
    });
    expect(alerts[0]).toMatchObject({ code: 'unknown', location: -2, raisedAtTicks: 0, reason: 'unknown-warning' });
    expect(alerts[1]).toMatchObject({ code: '77777', codeNumber: 77_777, severity: '9', group: '444', reason: null });
    expect(alerts[2]).toMatchObject({ code: 'unknown', codeNumber: null, severity: 'other', description: 'Pupé!' });
  });
});

describe('printer-alert (PWG 5100.9)', () => {
  test('the same form as the alert table', () => {
    const { alerts, from } = readIpp({
      'printer-input-tray': octets(
        'type=sheetFeedAutoRemovableTray;maxcapacity=250;level=0;status=16;name=tray-2;index=2;',
      ),
      'printer-alert': octets(
        'code=subunitEmpty;index=4;severity=critical;training=untrained;group=input;groupindex=2;location=5;time=123456',
      ),
      'printer-alert-description': 'Tray 2 is empty',
    });
    expect(from.alerts).toBe('ipp');
    expect(alerts).toEqual([
      {
        source: 'ipp',
        index: 4,
        severity: 'critical',
        group: 'input',
        groupIndex: 2,
        component: 'tray-2',
        code: 'subunitEmpty',
        codeNumber: 13,
        trainingLevel: 'untrained',
        location: 5,
        description: 'Tray 2 is empty',
        reason: 'media-empty-error',
        raisedAtTicks: 123456,
      },
    ]);
  });

  test.each([
    ['an invented severity', 'code=unknown;severity=otherother', 'unknown', 'other', 'unknown'],
    ['a prefix', 'alert 1: code=mediaPathJam;severity=critical', 'mediaPathJam', 'critical', 'media-path-jam-error'],
    ['bare words', 'coverOpen;critical;cover', 'coverOpen', 'critical', 'cover-open-error'],
    ['a code in capitals', 'CODE=COVEROPEN;SEVERITY=CRITICAL', 'coverOpen', 'critical', 'cover-open-error'],
    ['a code that nobody registered', 'code=spaceLaserMissing;severity=warning', 'spaceLaserMissing', 'warning', null],
    ['a long severity', 'code=jam;severity=criticalBinaryChangeEvent', 'jam', 'critical', 'media-jam-error'],
    ['no code', 'severity=warning', 'unknown', 'warning', null],
    ['a hostile key', '__proto__=1;code=jam;severity=warning', 'jam', 'warning', 'media-jam-warning'],
  ])('%s', (_, text, code, severity, reason) => {
    const [alert] = readIpp({ 'printer-alert': octets(text) }).alerts;
    expect(alert).toMatchObject({ code, severity, reason });
  });

  test('an event log of thirty entries is passed on, its descriptions only when they pair', () => {
    const log = Array.from({ length: 30 }, (_, at) => octets(`code=unknown;severity=other;index=${at}`));
    const { alerts, problems } = readIpp({ 'printer-alert': log, 'printer-alert-description': ['one', 'two'] });
    expect(alerts).toHaveLength(30);
    expect(alerts.every((alert) => alert.description === null)).toBe(true);
    expect(problems.join()).toContain('30 values');
  });
});

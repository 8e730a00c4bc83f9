/** Habits of real devices, each with an answer made up for it. */
import { describe, expect, test } from 'vitest';
import type { SnmpRows } from '../../../src/model/evidence.js';
import {
  attributes,
  ippAnswer,
  octets,
  printerOid,
  read,
  readIpp,
  readTables,
  tables,
  value,
} from './evidence-samples.js';

const alert = (code: number, group: number, severity = 3, groupIndex = 1) => ({
  prtAlertCode: code,
  prtAlertGroup: group,
  prtAlertGroupIndex: groupIndex,
  prtAlertSeverityLevel: severity,
});

function device(status: number, printer: number, octetsInHex: string, alerts: SnmpRows) {
  return readTables({
    hrDeviceTable: { 1: { hrDeviceType: printerOid, hrDeviceStatus: status } },
    hrPrinterTable: { 1: { hrPrinterStatus: printer, hrPrinterDetectedErrorState: { hex: octetsInHex } } },
    prtGeneralTable: { 1: { prtGeneralPrinterName: 'p' } },
    prtInputTable: { '1.1': { prtInputName: 'Tray 1', prtInputCurrentLevel: -3 } },
    prtAlertTable: alerts,
  });
}

describe('status and error octets that do not pair', () => {
  test('a jam shown as service requested', () => {
    const document = device(5, 1, '0100', { '1.1': alert(8, 13) });
    expect(document.state.errorBits).toEqual(['serviceRequested']);
    expect(document.alerts[0]?.reason).toBe('media-path-jam-error');
    expect(document.problems[0]).toMatch(/alert table says jammed \(critical\)/);
  });

  test('a missing tray as running and idle with no paper', () => {
    const document = device(2, 3, '4000', { '1.1': alert(801, 8) });
    expect(document.state).toMatchObject({ device: 'running', printer: 'idle', errorBits: ['noPaper'] });
    expect(document.problems).toHaveLength(2);
    expect(document.problems[0]).toMatch(/error state says noPaper, but no row/);
    expect(document.problems[1]).toMatch(/alert table says inputTrayMissing/);
  });

  test('toner low as down', () => {
    const document = device(5, 3, '2000', { '1.1': alert(1104, 11, 4) });
    expect(document.state).toMatchObject({ device: 'down', printer: 'idle', errorBits: ['lowToner'] });
    expect(document.problems).toEqual([
      'hrDeviceStatus down goes with no hrPrinterStatus idle (RFC 3805 2.2.13.2); both are kept.',
    ]);
  });

  test('a missing cartridge as door open and off line', () => {
    const document = device(5, 1, '0a00', { '1.1': alert(1115, 11) });
    expect(document.state.errorBits).toEqual(['doorOpen', 'offline']);
    expect(document.problems.join()).toMatch(/doorOpen.*markerSupplyMissing/);
  });

  test('error bits with an alert table that is read and empty', () => {
    expect(device(2, 3, '0400', {}).problems.join()).toMatch(/error state says jammed, but no row of the alert table/);
  });

  test.each([
    ['standby', 2, 1, ''],
    ['moving off line', 3, 3, '02'],
    ['moving on line (the standard contradicts itself; both are accepted)', 5, 5, '00'],
    ['off line', 5, 1, '0200'],
    ['warming up', 2, 5, '0000'],
  ])('%s is nothing to remark on', (_, status, printer, octetsInHex) => {
    expect(device(status, printer, octetsInHex, {}).problems).toEqual([]);
  });

  test('the lowest bit first, shown by the alert table', () => {
    const document = device(5, 1, '20', { '1.1': alert(8, 8) });
    expect(document.state.errorBits).toEqual(['jammed']);
    expect(document.problems).toHaveLength(1);
  });

  test('a row left behind stays in the list', () => {
    expect(device(2, 4, '0000', { '1.12': alert(8, 8), '1.40': alert(3, 6) }).alerts).toHaveLength(2);
  });
});

describe('levels that say little', () => {
  test('-3 of -2 for every supply', () => {
    const row = { prtMarkerSuppliesLevel: -3, prtMarkerSuppliesMaxCapacity: -2, prtMarkerSuppliesClass: 3 };
    const { supplies, problems } = readTables({
      prtGeneralTable: { 1: {} },
      prtMarkerSuppliesTable: {
        '1.1': { ...row, prtMarkerSuppliesDescription: 'Black' },
        '1.2': { ...row, prtMarkerSuppliesDescription: 'Cyan' },
      },
    });
    expect(supplies.map(({ percent, meaning, state }) => [percent, meaning, state])).toEqual([
      [null, 'some-left', 'ok'],
      [null, 'some-left', 'ok'],
    ]);
    expect(problems).toEqual([]);
  });
});

describe('printer-state-reasons as they come', () => {
  test.each<[string, readonly string[], readonly string[], number]>([
    ['doubles', ['media-low-warning', 'media-low-warning'], ['media-low-warning'], 0],
    ['capital letters', ['Media-Jam-Error'], ['media-jam-error'], 0],
    ['a trailing NUL', ['toner-empty-error\0'], ['toner-empty-error'], 0],
    ['a vendor’s keyword', ['com.example-quiet-mode'], ['com.example-quiet-mode'], 0],
    ['none', ['none'], [], 0],
    ['none beside paused', ['none', 'paused'], ['paused'], 1],
    ['all in one value', ['media-empty-error,cover-open-report'], ['media-empty-error', 'cover-open-report'], 1],
    ['a spool report while all is well', ['spool-area-full-report'], ['spool-area-full-report'], 0],
    ['an error while idle', ['media-empty-error'], ['media-empty-error'], 0],
    ['blank', ['', ' '], [], 0],
  ])('%s', (_, given, reasons, noted) => {
    const document = readIpp({ 'printer-state-reasons': given });
    expect(document.state.reasons).toEqual(reasons);
    expect(document.problems).toHaveLength(noted);
  });

  test('with a language, and out-of-band values for anything', () => {
    const nothing = value('unknown', null);
    const { state, identity } = readIpp({
      'printer-state-reasons': [value('textWithLanguage', { language: 'en', text: 'paused' }), nothing],
      'printer-state-message': value('textWithLanguage', { language: 'en', text: 'Wait \u202e\u0007' }),
      'printer-is-accepting-jobs': nothing,
      'printer-name': nothing,
      'printer-up-time': nothing,
    });
    expect(state).toMatchObject({ reasons: ['paused'], message: 'Wait', accepting: null });
    expect(identity.name).toBeNull();
  });

  test('not accepting while processing is passed on', () => {
    const { state } = readIpp({ 'printer-state': value('enum', 4), 'printer-is-accepting-jobs': false });
    expect(state).toMatchObject({ ipp: 'processing', accepting: false });
  });
});

describe('two sources that disagree', () => {
  const state = (ipp: number, status: number, printer: number) =>
    read([
      ...tables({
        hrDeviceTable: { 1: { hrDeviceStatus: status } },
        hrPrinterTable: { 1: { hrPrinterStatus: printer } },
        prtGeneralTable: { 1: { prtGeneralPrinterName: 'p' } },
      }),
      ippAnswer({ 'printer-state': value('enum', ipp) }),
    ]).document;

  test.each<[string, number, number, number, RegExp | null]>([
    ['IPP stopped, SNMP idle', 5, 2, 3, /IPP says stopped while SNMP says idle/],
    ['IPP stopped, SNMP printing', 5, 3, 4, /IPP says stopped while SNMP says printing/],
    ['IPP idle, SNMP down', 3, 5, 1, /IPP says idle while SNMP says the device is down/],
    ['both well', 3, 2, 3, null],
    ['both stopped', 5, 5, 1, null],
    ['IPP idle, SNMP in standby', 3, 2, 1, null],
  ])('%s', (_, ipp, status, printer, problem) => {
    const { problems } = state(ipp, status, printer);
    if (problem === null) expect(problems).toEqual([]);
    else expect(problems.join()).toMatch(problem);
  });

  test('lists come from SNMP where it has rows, else from IPP, and `from` says so', () => {
    const { document } = read([
      ...tables({
        prtGeneralTable: { 1: { prtGeneralPrinterName: 'p' } },
        prtMarkerSuppliesTable: { '1.1': { prtMarkerSuppliesDescription: 'By SNMP', prtMarkerSuppliesLevel: 5 } },
        prtInputTable: {},
        prtAlertTable: {},
      }),
      ippAnswer({
        'printer-state': value('enum', 3),
        'marker-names': 'By IPP',
        'marker-levels': 90,
        'printer-input-tray': octets('type=other;level=3;maxcapacity=6;name=main;'),
        'printer-alert': octets('code=jam;severity=critical;group=input;groupindex=1'),
      }),
    ]);
    expect(document.supplies[0]?.name).toBe('By SNMP');
    expect(document.trays[0]).toMatchObject({ name: 'main', percent: 50 });
    expect(document.alerts[0]).toMatchObject({ source: 'ipp', component: 'main', reason: 'media-jam-error' });
    expect(document.from).toMatchObject({ supplies: 'snmp', trays: 'ipp', alerts: 'ipp' });
  });

  test('media-ready of another kind harms nothing', () => {
    const odd = value('begCollection', { members: attributes({ 'media-size': 'a4', 'media-source': 7 }) });
    expect(readIpp({ 'media-col-ready': odd, 'printer-input-tray': 5 }).trays).toEqual([]);
  });
});

/** One printer out of three sources: for each field the order of its sources, shown by taking them away one after the other. */
import { describe, expect, test } from 'vitest';
import type { Evidence, IppValue, SnmpRows } from '../../../src/model/evidence.js';
import { announcement, attributes, ippAnswer, octets, printerOid, read, tables, value } from './evidence-samples.js';

const UUID = (last: string) => `00000000-0000-4000-8000-00000000000${last}`;

interface Source {
  readonly from: 'snmp' | 'ipp' | 'dns-sd';
  readonly snmp?: Readonly<Record<string, SnmpRows>>;
  readonly ipp?: Readonly<Record<string, unknown>>;
  readonly txt?: Readonly<Record<string, string>>;
  /** What the field becomes when this source is the first that is left. */
  readonly gives: unknown;
}

const snmp = (table: string, row: string, cells: SnmpRows[string], gives: unknown): Source => ({
  from: 'snmp',
  snmp: { [table]: { [row]: cells } },
  gives,
});
const ipp = (name: string, given: unknown, gives: unknown): Source => ({ from: 'ipp', ipp: { [name]: given }, gives });
const txt = (key: string, given: string, gives: unknown): Source => ({ from: 'dns-sd', txt: { [key]: given }, gives });
const text = (words: string): IppValue => value('textWithoutLanguage', words);
const contact = value('begCollection', { members: attributes({ 'contact-name': 'By IPP' }) });

/** Field of `from` → its sources, best first. */
const FIELDS: Readonly<Record<string, readonly Source[]>> = {
  name: [
    snmp('prtGeneralTable', '1', { prtGeneralPrinterName: 'by prtGeneral' }, 'by prtGeneral'),
    ipp('printer-name', 'by-ipp', 'by-ipp'),
    snmp('system', '0', { sysName: 'by-system' }, 'by-system'),
  ],
  model: [
    snmp('hrDeviceTable', '1', { hrDeviceType: printerOid, hrDeviceDescr: 'By hrDevice' }, 'By hrDevice'),
    ipp('printer-make-and-model', text('By IPP'), 'By IPP'),
    txt('ty', 'By DNS-SD', 'By DNS-SD'),
    snmp('ppmPrinterTable', '1', { ppmPrinterIEEE1284DeviceId: 'MFG:By;MDL:Port;' }, 'Port'),
    ipp('printer-device-id', text('MFG:By;MDL:Device ID;'), 'Device ID'),
    snmp('system', '0', { sysDescr: 'By system' }, 'By system'),
  ],
  serial: [
    snmp('prtGeneralTable', '1', { prtGeneralSerialNumber: 'S1' }, 'S1'),
    ipp('printer-device-id', text('MFG:By;MDL:X;SN:S1-2;'), 'S1-2'),
    ipp('printer-serial-number', text('S1-3'), 'S1-3'),
    snmp('ppmPrinterTable', '1', { ppmPrinterIEEE1284DeviceId: 'MFG:By;MDL:X;SN:S1-4;' }, 'S1-4'),
  ],
  uuid: [ipp('printer-uuid', value('uri', `urn:uuid:${UUID('1')}`), UUID('1')), txt('uuid', UUID('2'), UUID('2'))],
  location: [
    snmp('system', '0', { sysLocation: 'By SNMP' }, 'By SNMP'),
    ipp('printer-location', text('By IPP'), 'By IPP'),
    txt('note', 'By DNS-SD', 'By DNS-SD'),
  ],
  contact: [
    snmp('system', '0', { sysContact: 'By system' }, 'By system'),
    snmp('prtGeneralTable', '1', { prtGeneralServicePerson: 'Service' }, 'Service'),
    snmp('prtGeneralTable', '1', { prtGeneralCurrentOperator: 'Operator' }, 'Operator'),
    ipp('printer-contact-col', contact, 'By IPP'),
  ],
  firmware: [
    ipp('printer-firmware-string-version', text('By IPP'), 'By IPP'),
    snmp('entPhysicalTable', '1', { entPhysicalFirmwareRev: 'By entity' }, 'By entity'),
  ],
  adminUrl: [
    ipp('printer-more-info', value('uri', 'http://192.0.2.21/ipp'), 'http://192.0.2.21/ipp'),
    txt('adminurl', 'http://192.0.2.21/announced', 'http://192.0.2.21/announced'),
  ],
  formats: [
    ipp('document-format-supported', 'application/pdf', ['application/pdf']),
    txt('pdl', 'image/urf, image/pwg-raster', ['image/urf', 'image/pwg-raster']),
  ],
  lifePages: [
    snmp('prtMarkerTable', '1.1', { prtMarkerCounterUnit: 7, prtMarkerLifeCount: 100 }, 100),
    ipp('printer-impressions-completed', 101, 101),
    ipp('printer-pages-completed', 102, 102),
    ipp('printer-media-sheets-completed', 103, 103),
  ],
  console: [
    snmp('prtConsoleDisplayBufferTable', '1.1', { prtConsoleDisplayBufferText: 'By SNMP' }, ['By SNMP']),
    ipp('printer-console-display', text('By IPP'), ['By IPP']),
  ],
  upTimeTicks: [
    snmp('hrSystem', '0', { hrSystemUptime: 100 }, 100),
    snmp('system', '0', { sysUpTime: 200 }, 200),
    ipp('printer-up-time', 3, 300),
  ],
};

const LISTS: Readonly<Record<'supplies' | 'trays' | 'outputs' | 'covers' | 'alerts', readonly Source[]>> = {
  supplies: [
    snmp('prtMarkerSuppliesTable', '1.1', { prtMarkerSuppliesDescription: 'By SNMP' }, 'By SNMP'),
    ipp('printer-supply', octets('index=1;type=toner;level=5;maxcapacity=10;'), 'Supply 1'),
    ipp('marker-names', 'By marker-names', 'By marker-names'),
  ],
  trays: [
    snmp('prtInputTable', '1.1', { prtInputName: 'By SNMP' }, 'By SNMP'),
    ipp('printer-input-tray', octets('index=1;name=By IPP;level=1;'), 'By IPP'),
  ],
  outputs: [
    snmp('prtOutputTable', '1.1', { prtOutputName: 'By SNMP' }, 'By SNMP'),
    ipp('printer-output-tray', octets('index=1;name=By IPP;remaining=1;'), 'By IPP'),
  ],
  covers: [
    snmp('prtCoverTable', '1.1', { prtCoverDescription: 'By SNMP', prtCoverStatus: 4 }, 'By SNMP'),
    ipp('printer-cover', octets('index=1;status=coverOpen;'), 'Cover 1'),
  ],
  alerts: [
    snmp('prtAlertTable', '1.1', { prtAlertCode: 8, prtAlertDescription: 'By SNMP' }, 'By SNMP'),
    ipp('printer-alert', octets('code=jam;severity=critical;'), null),
  ],
};

/** Evidence of some sources together. */
function evidenceOf(sources: readonly Source[]): readonly Evidence[] {
  const rows: Record<string, Record<string, Record<string, unknown>>> = {
    prtGeneralTable: { 1: { prtGeneralConfigChanges: 1 } },
  };
  const answer: Record<string, unknown> = { 'printer-state': value('enum', 3) };
  const announced: Record<string, string> = {};
  for (const source of sources) {
    for (const [table, byInstance] of Object.entries(source.snmp ?? {}))
      for (const [instance, cells] of Object.entries(byInstance)) {
        rows[table] ??= {};
        rows[table][instance] = { ...rows[table][instance], ...cells };
      }
    Object.assign(answer, { ...source.ipp, ...answer });
    Object.assign(announced, source.txt);
  }
  return [
    ...tables(rows as Record<string, SnmpRows>),
    ippAnswer(answer),
    ...(Object.keys(announced).length === 0 ? [] : [announcement(announced)]),
  ];
}

type Row = readonly [field: string, left: number, sources: readonly Source[]];
const rowsOf = (fields: Readonly<Record<string, readonly Source[]>>): Row[] =>
  Object.entries(fields).flatMap(([field, sources]) =>
    sources.map((_, left): Row => [field, left, sources.slice(left)]),
  );

describe('precedence', () => {
  test.each(rowsOf(FIELDS))('%s without the first %i of its sources', (field, _left, sources) => {
    const { document } = read(evidenceOf(sources));
    const all: Readonly<Record<string, unknown>> = { ...document, ...document.identity, ...document.counters };
    expect(all[field]).toEqual(sources[0]?.gives);
    expect(document.from[field]).toBe(sources[0]?.from);
  });

  test.each(rowsOf(LISTS))('%s without the first %i of its sources', (field, _left, sources) => {
    const { document } = read(evidenceOf(sources));
    const [first] = document[field as keyof typeof LISTS];
    expect(first !== undefined && ('name' in first ? first.name : first.description)).toBe(sources[0]?.gives);
    expect(document.from[field]).toBe(sources[0]?.from);
  });

  test.each([...Object.keys(FIELDS), ...Object.keys(LISTS)])('%s from nobody: nothing, and no source', (field) => {
    const { document } = read(evidenceOf([]));
    const all: Readonly<Record<string, unknown>> = { ...document, ...document.identity, ...document.counters };
    expect([null, '[]']).toContain(all[field] === null ? null : JSON.stringify(all[field]));
    expect(document.from[field]).toBeUndefined();
  });
});

describe('levels that differ', () => {
  const supply = (level: number, more: SnmpRows[string] = {}): SnmpRows => ({
    '1.1': {
      prtMarkerSuppliesDescription: 'Black toner',
      prtMarkerSuppliesClass: 3,
      prtMarkerSuppliesType: 3,
      prtMarkerSuppliesMaxCapacity: 100,
      prtMarkerSuppliesLevel: level,
      ...more,
    },
  });
  test.each<[string, SnmpRows, string, number, RegExp | null]>([
    ['some left, and measured', supply(-3), 'black-toner', 40, /SNMP tells only that some is left, IPP 40 percent/],
    ['unknown, and measured', supply(-2), 'Black Toner', 40, /SNMP tells no measured level, IPP 40 percent/],
    ['far apart', supply(0), 'Black toner', 60, /SNMP tells 0 percent, IPP 60/],
    ['near', supply(50), 'Black toner', 60, null],
    ['another supply', supply(0), 'Drum', 60, null],
    ['no level over IPP either', supply(-3), 'Black toner', -3, null],
    ['a receptacle, which counts its own way', supply(0, { prtMarkerSuppliesClass: 4 }), 'Black toner', 60, null],
  ])('%s', (_, rows, name, level, problem) => {
    const { document } = read([
      ...tables({ prtGeneralTable: { 1: { prtGeneralPrinterName: 'p' } }, prtMarkerSuppliesTable: rows }),
      ippAnswer({ 'printer-state': value('enum', 3), 'marker-names': name, 'marker-levels': level }),
    ]);
    expect(document.from.supplies).toBe('snmp');
    if (problem === null) expect(document.problems).toEqual([]);
    else expect(document.problems.join()).toMatch(problem);
  });
});

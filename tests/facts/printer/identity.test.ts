import { describe, expect, test } from 'vitest';
import { readDeviceId } from '../../../src/facts/printer/device-id.js';
import { hardwareAddress } from '../../../src/facts/printer/hardware-address.js';
import { bareUuid } from '../../../src/facts/printer/identity.js';
import {
  announcement,
  attributes,
  hex,
  ippAnswer,
  octets,
  read,
  readIpp,
  readTables,
  tables,
  value,
} from './evidence-samples.js';

const UUID = '0f1e2d3c-4b5a-6978-8796-a5b4c3d2e1f0';

const snmp = {
  system: {
    0: {
      sysDescr: 'Embedded agent 1.0',
      sysName: 'npi-1',
      sysContact: 'Reception',
      sysLocation: 'Ground floor',
      sysUpTime: 500,
    },
  },
  hrDeviceTable: { 1: { hrDeviceDescr: 'Example Laser 100', hrDeviceStatus: 2 } },
  prtGeneralTable: { 1: { prtGeneralPrinterName: 'front-desk', prtGeneralSerialNumber: 'SNMP1' } },
  ifTable: {
    1: { ifType: 24, ifPhysAddress: { hex: '' } },
    2: { ifType: 6, ifPhysAddress: { hex: '00005E0053aa' } },
    3: { ifType: 71, ifPhysAddress: { hex: '000000000000' } },
    10: { ifPhysAddress: '00:00:5E:00:53:AB' },
  },
};

const ipp = {
  'printer-name': 'ipp-name',
  'printer-make-and-model': 'Example Laser 100 series',
  'printer-device-id': 'MFG:Example;MDL:Laser 100;SN:IPP1;',
  'printer-location': 'Upstairs',
  'printer-uuid': `urn:uuid:${UUID.toUpperCase()}`,
  'printer-more-info': 'http://192.0.2.21/',
  'printer-firmware-string-version': ['1.2.3', '1.2.3', '4'],
};

describe('identity', () => {
  test('field by field: SNMP, IPP, DNS-SD in the stated order', () => {
    const { document } = read([...tables(snmp), ippAnswer(ipp), announcement({ ty: 'Announced', note: 'Hall' })]);
    expect(document.identity).toEqual({
      name: 'front-desk',
      model: 'Example Laser 100',
      serial: 'SNMP1',
      uuid: UUID,
      macs: ['00:00:5e:00:53:aa', '00:00:5e:00:53:ab'],
      location: 'Ground floor',
      contact: 'Reception',
      firmware: '1.2.3, 4',
      adminUrl: 'http://192.0.2.21/',
    });
    expect(document.from).toMatchObject({
      name: 'snmp',
      model: 'snmp',
      serial: 'snmp',
      uuid: 'ipp',
      macs: 'snmp',
      firmware: 'ipp',
    });
    expect(document.upTimeTicks).toBe(500);
    expect(document.problems).toEqual(['SNMP says serial number SNMP1, IPP says IPP1; that of SNMP is kept.']);
  });

  test('IPP alone', () => {
    const { document } = read([ippAnswer(ipp)]);
    expect(document.identity).toMatchObject({
      name: 'ipp-name',
      model: 'Example Laser 100 series',
      serial: 'IPP1',
      location: 'Upstairs',
    });
  });

  test('what SNMP leaves blank comes from elsewhere', () => {
    const { document } = read([
      ...tables({
        system: { 0: { sysName: '', sysLocation: '  ' } },
        prtGeneralTable: { 1: { prtGeneralSerialNumber: '' } },
      }),
      ippAnswer({ 'printer-state': value('enum', 3), 'printer-serial-number': 'S9' }),
      announcement({
        ty: 'Announced',
        note: 'Hall',
        uuid: UUID,
        adminurl: 'https://192.0.2.21/setup',
        pdl: 'application/pdf, image/urf',
      }),
    ]);
    expect(document.identity).toMatchObject({
      name: 'Front desk',
      model: 'Announced',
      serial: 'S9',
      uuid: UUID,
      location: 'Hall',
      adminUrl: 'https://192.0.2.21/setup',
    });
    expect(document.formats).toEqual(['application/pdf', 'image/urf']);
    expect(document.from).toMatchObject({ uuid: 'dns-sd', formats: 'dns-sd' });
  });

  test('the device ID of the port monitor, and contact-name', () => {
    const document = readTables({
      prtGeneralTable: { 1: { prtGeneralCurrentLocalization: 1 } },
      ppmPrinterTable: { 1: { ppmPrinterIEEE1284DeviceId: 'MFG:Example;MDL:Label 7;SERN:PM3;' } },
    });
    expect(document.identity).toMatchObject({ model: 'Label 7', serial: 'PM3' });
    const contact = value('begCollection', { members: attributes({ 'contact-name': 'Reception' }) });
    expect(readIpp({ 'printer-contact-col': contact }).identity.contact).toBe('Reception');
  });

  test('a web address with another scheme and a UUID that is none are left out', () => {
    const { identity, problems } = readIpp({
      'printer-more-info': 'javascript:alert(1)',
      'printer-uuid': 'urn:uuid:nonsense',
    });
    expect(identity).toMatchObject({ adminUrl: null, uuid: null });
    expect(problems).toEqual(['printer-uuid is no UUID; left out.']);
  });

  test('text in the character set of prtGeneralCurrentLocalization, the console in its own', () => {
    const document = readTables({
      prtGeneralTable: { 1: { prtGeneralCurrentLocalization: 2, prtConsoleLocalization: 1 } },
      // IANACharset 17 Shift_JIS, 5 ISO-8859-2 (from memory).
      prtLocalizationTable: { '1.1': { prtLocalizationCharacterSet: 5 }, '1.2': { prtLocalizationCharacterSet: 17 } },
      prtInputTable: {
        '1.1': { prtInputName: { hex: '836783438c' } },
        '1.2': { prtInputName: { hex: '836783438343' } },
      },
      prtConsoleDisplayBufferTable: {
        '1.1': { prtConsoleDisplayBufferText: { hex: '5ae1736f626eed6b' } },
        '1.2': { prtConsoleDisplayBufferText: { hex: '20202000' } },
        '1.10': { prtConsoleDisplayBufferText: { hex: '526561647907001b' } },
        '1.3': { prtConsoleDisplayBufferText: '  second ' },
      },
    });
    expect(document.trays[1]?.name).toBe('トイイ');
    expect(document.console).toEqual(['Zásobník', 'second', 'Ready']);
  });
});

describe('parts of an identity', () => {
  test.each([
    [{ hex: '0000 5e00 53aa' }, '00:00:5e:00:53:aa'],
    ['00-00-5E-00-53-AA', '00:00:5e:00:53:aa'],
    ['abcdef', null], // octets 61.. : the group bit is set
    ['bbcdef', '62:62:63:64:65:66'],
    [{ hex: 'ffffffffffff' }, null],
    [{ hex: '01005e000001' }, null],
    [{ hex: '0000' }, null],
    [7, null],
    [undefined, null],
  ])('hardware address %j', (given, address) => {
    expect(hardwareAddress(given)).toBe(address);
  });

  test.each([
    [`urn:uuid:${UUID}`, UUID],
    [UUID.toUpperCase(), UUID],
    ['urn:uuid:', null],
    [null, null],
  ])('UUID %s', (given, uuid) => {
    expect(bareUuid(given)).toBe(uuid);
  });

  test.each([
    ['MFG:Example;MDL:Laser;SN:1;', { maker: 'Example', model: 'Laser', serial: '1' }],
    [
      'manufacturer: Example ; MODEL:Laser: two; serialnumber:7;MODEL:later',
      { maker: 'Example', model: 'Laser: two', serial: '7' },
    ],
    [':x;;SN:;__proto__:y', { maker: null, model: null, serial: null }],
    [null, { maker: null, model: null, serial: null }],
  ])('device ID %j', (text, id) => {
    expect(readDeviceId(text)).toEqual(id);
  });

  test('a device ID sent as octets, text of ISO Latin', () => {
    expect(readIpp({ 'printer-device-id': octets('MFG:Example;SN:é9;') }).identity.serial).toBe('é9');
    expect(readTables({ system: { 0: { sysName: hex('Büro') } } }).identity.name).toBe('Büro');
  });
});

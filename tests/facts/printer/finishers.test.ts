import { describe, expect, test } from 'vitest';
import { ippAnswer, octets, read, readIpp, readTables, tables, value } from './evidence-samples.js';

const general = { prtGeneralTable: { '1': { prtGeneralPrinterName: 'Desk' } } };
/** RFC 3806 section 8; labels of IANA-PRINTER-MIB: capacity unit 8 sheets, supply class 3 and 4, type 32 staples. */
const STITCHER = {
  finDeviceTable: {
    '1.1': {
      finDeviceType: 3,
      finDevicePresentOnOff: 3,
      finDeviceCapacityUnit: 8,
      finDeviceMaxCapacity: 50,
      finDeviceCurrentCapacity: 50,
      finDeviceStatus: 0,
      finDeviceDescription: 'Stapler',
    },
    '1.2': { finDeviceType: 8, finDevicePresentOnOff: 5, finDeviceCurrentCapacity: -2 },
    '2.1': { finDeviceType: 4 },
  },
  finSupplyTable: {
    '1.1': {
      finSupplyDeviceIndex: 1,
      finSupplyClass: 3,
      finSupplyType: 32,
      finSupplyDescription: 'Staples',
      finSupplyUnit: 3,
      finSupplyMaxCapacity: 5000,
      finSupplyCurrentLevel: 0,
    },
    '1.2': { finSupplyDeviceIndex: 2, finSupplyClass: 4, finSupplyCurrentLevel: -3 },
  },
};

describe('finishers', () => {
  test('over SNMP: of this printer, each with its supplies', () => {
    const { finishers } = readTables({ ...general, ...STITCHER });
    expect(finishers?.map(({ index, name, type, present }) => [index, name, type, present])).toEqual([
      [1, 'Stapler', 'stitcher', true],
      [2, 'Finisher 2', 'puncher', false],
    ]);
    expect(finishers?.[0]).toMatchObject({ capacity: 50, percent: 100, meaning: 'measured', status: 0 });
    expect(finishers?.[0]?.supplies).toEqual([
      expect.objectContaining({
        name: 'Staples',
        type: 'staples',
        class: 'supplyThatIsConsumed',
        level: 0,
        percent: 0,
      }),
    ]);
    expect(finishers?.[1]?.supplies).toEqual([
      expect.objectContaining({ class: 'receptacleThatIsFilled', meaning: 'some-left' }),
    ]);
  });

  test('over IPP, where SNMP has none (keys of PWG 5100.13 from memory)', () => {
    const document = readIpp({
      'printer-finisher': octets(
        'index=1;type=stitcher;presentonoff=on;unit=sheets;maxcapacity=50;capacity=20;status=0;',
      ),
      'printer-finisher-description': value('textWithoutLanguage', 'Stapler'),
    });
    expect(document.finishers).toEqual([
      expect.objectContaining({ index: 1, name: 'Stapler', type: 'stitcher', present: true, level: 20, percent: 40 }),
    ]);
    expect(document.from.finishers).toBe('ipp');
  });

  test('the field is absent without one', () => {
    expect('finishers' in readTables(general)).toBe(false);
  });
});

describe('firmware', () => {
  const entities = {
    entPhysicalTable: {
      '1': { entPhysicalClass: 9, entPhysicalFirmwareRev: 'engine 7' },
      '2': { entPhysicalClass: 3, entPhysicalFirmwareRev: '', entPhysicalSoftwareRev: 'main 4.2' },
    },
  };
  // IANA-ENTITY-MIB: chassis(3), module(9).
  test('by the ENTITY-MIB, the chassis first; IPP before it', () => {
    expect(readTables({ ...general, ...entities }).identity.firmware).toBe('main 4.2');
    const { document } = read([
      ...tables({ ...general, ...entities }),
      ippAnswer({ 'printer-firmware-string-version': 'fw 5' }),
    ]);
    expect([document.identity.firmware, document.from.firmware]).toEqual(['fw 5', 'ipp']);
  });
});

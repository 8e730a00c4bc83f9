import { expect, test } from 'vitest';
import { readTables } from './evidence-samples.js';

const general = { prtGeneralTable: { 1: { prtGeneralPrinterName: 'a' }, 2: { prtGeneralPrinterName: 'b' } } };
/** PWG 5107.1 section 6; protocol by PrtChannelTypeTC: chLPDServer(8), chPort9100(11), chIPP(44). */
const PORTS = {
  ppmPrinterTable: { 1: { ppmPrinterHrDeviceIndex: 2 }, 2: { ppmPrinterHrDeviceIndex: 1 } },
  ppmPortTable: {
    '1.1': { ppmPortProtocolType: 8, ppmPortProtocolTargetPort: 515, ppmPortServiceNameOrURI: 'other' },
    '2.2': { ppmPortName: 'Raw', ppmPortProtocolType: 11, ppmPortProtocolTargetPort: 9100, ppmPortEnabled: 2 },
    '2.1': { ppmPortProtocolType: 44, ppmPortServiceNameOrURI: 'ipp://192.0.2.21/ipp/print', ppmPortEnabled: 1 },
    odd: { ppmPortProtocolType: 1 },
  },
};

test('the ports of the port monitor, of this printer only', () => {
  expect(readTables({ ...general, ...PORTS }).ports).toEqual([
    {
      index: 1,
      name: null,
      protocol: 'chIPP',
      service: 'ipp://192.0.2.21/ipp/print',
      port: null,
      enabled: true,
    },
    { index: 2, name: 'Raw', protocol: 'chPort9100', service: null, port: 9100, enabled: false },
  ]);
  expect(readTables({ ...general, ...PORTS }, 2).ports?.map(({ service }) => service)).toEqual(['other']);
});

test('a port monitor that names no device: all its ports', () => {
  const ports = { ppmPrinterTable: { 1: { ppmPrinterName: 'x' } }, ppmPortTable: PORTS.ppmPortTable };
  expect(readTables({ ...general, ...ports }).ports?.map(({ protocol }) => protocol)).toEqual(['chLPDServer']);
  expect(readTables({ ...general, ppmPortTable: PORTS.ppmPortTable }).ports).toHaveLength(3);
});

test('network cards: name, speed in either form, errors', () => {
  // RFC 2863 section 6: ifHighSpeed in millions; ifSpeed at its highest means more than that. IANAifType: 6 Ethernet, 24 loopback.
  const { interfaces } = readTables({
    ...general,
    ifTable: {
      1: { ifDescr: 'lo', ifType: 24 },
      2: {
        ifDescr: 'Card',
        ifName: 'eth0',
        ifType: 6,
        ifPhysAddress: { hex: '00005e0053aa' },
        ifOperStatus: 1,
        ifSpeed: 4_294_967_295,
        ifHighSpeed: 10_000,
        ifInErrors: 12,
        ifOutErrors: 0,
        ifInDiscards: 3,
      },
      3: { ifDescr: 'Old card', ifType: 6, ifOperStatus: 7, ifSpeed: 100_000_000 },
      4: { ifType: 6, ifOperStatus: 4, ifSpeed: 4_294_967_295 },
    },
  });
  expect(interfaces).toEqual([
    {
      index: 2,
      name: 'eth0',
      mac: '00:00:5e:00:53:aa',
      up: true,
      megabits: 10_000,
      inErrors: 12,
      outErrors: 0,
      inDiscards: 3,
    },
    expect.objectContaining({ index: 3, name: 'Old card', up: false, megabits: 100, inErrors: null }),
    expect.objectContaining({ index: 4, name: null, up: null, megabits: null }),
  ]);
});

test('the fields are absent where SNMP tells nothing of them', () => {
  const document = readTables(general);
  expect('ports' in document || 'interfaces' in document).toBe(false);
});

/** Sites about parts of the printer that have a word of their own, and about peers that half work. */
import { enums, HEALTHY, ippPrinter, type SnmpPrinter, snmpPrinter, texts } from './bundle.js';
import type { Case } from './sites.js';

/** One alert (RFC 3805 prtAlertTable); critical ones with the device down, others with a warning. */
function alerted(
  severity: 3 | 4,
  group: number,
  code: number,
  more: Partial<SnmpPrinter> = {},
): Pick<typeof HEALTHY, 'snmp' | 'ipp'> {
  const state = severity === 3 ? { device: 5, printer: 1, bits: '0100' } : { device: 3, printer: 3 };
  return {
    snmp: snmpPrinter({ ...state, alerts: [{ severity, group, groupIndex: 1, code }], ...more }),
    ipp: 'refused',
  };
}

const WELL = 'application/nothing-wrong-found';
const QUEUE = 'ipp://192.0.2.5/printers/front-desk';

export const PARTS_CASES: readonly Case[] = [
  // Group and code numbers: PrtAlertGroupTC, PrtAlertCodeTC (IANA-PRINTER-MIB).
  { name: 'interlock open', site: { ...HEALTHY, ...alerted(3, 6, 5) }, verdict: 'device/interlock-open' },
  { name: 'marker too hot', site: { ...HEALTHY, ...alerted(3, 10, 1018) }, verdict: 'device/overheated' },
  { name: 'unit too hot', site: { ...HEALTHY, ...alerted(3, 5, 36) }, verdict: 'device/overheated' },
  { name: 'memory exhausted', site: { ...HEALTHY, ...alerted(3, 10, 1012) }, verdict: 'device/memory-short' },
  { name: 'storage error', site: { ...HEALTHY, ...alerted(3, 3, 32) }, verdict: 'device/service-needed' },
  { name: 'storage full', site: { ...HEALTHY, ...alerted(3, 3, 15) }, verdict: 'device/storage-full' },
  {
    name: 'a cartridge that fails its check',
    site: { ...HEALTHY, ...alerted(3, 11, 1131) },
    verdict: 'supplies/supply-not-accepted',
    others: [],
  },
  {
    // PrtSubUnitStatusTC is 0..126; -2 is no set of bits.
    name: 'one of two trays empty, the other with a status that means nothing',
    site: {
      ...HEALTHY,
      snmp: snmpPrinter({
        trays: [
          { name: 'Tray 1', level: 0 },
          { name: 'Tray 2', level: 90, status: -2 },
        ],
      }),
    },
    verdict: WELL,
    warnings: ['media-empty'],
  },
  { name: 'paper low', site: { ...HEALTHY, ...alerted(4, 8, 807) }, verdict: WELL, warnings: ['media-low'] },
  {
    name: 'output nearly full',
    site: { ...HEALTHY, ...alerted(4, 9, 902) },
    verdict: WELL,
    warnings: ['output-nearly-full'],
  },
  {
    name: 'waste box nearly full',
    site: { ...HEALTHY, ...alerted(4, 11, 1107) },
    verdict: WELL,
    warnings: ['waste-nearly-full'],
  },
  {
    name: 'drum near its end',
    site: { ...HEALTHY, ...alerted(4, 11, 1111) },
    verdict: WELL,
    warnings: ['part-near-end'],
  },
  { name: 'garbage for SNMP', site: { ...HEALTHY, snmp: 'garbled' }, verdict: WELL, warnings: ['snmp-garbled'] },
  {
    name: 'reads well, and answers the trial of a job with garbage',
    site: { ...HEALTHY, validate: { garbled: true } },
    verdict: 'protocol/ipp-garbled',
    certainty: 'likely',
  },
  {
    name: 'takes no further job while it prints',
    site: {
      ...HEALTHY,
      snmp: snmpPrinter({ device: 2, printer: 4 }),
      ipp: { attributes: ippPrinter({ state: 4, accepting: false }) },
      validate: { status: 'server-error-not-accepting-jobs' },
    },
    verdict: WELL,
  },
  {
    name: 'the spooler answers with a server error',
    site: { ...HEALTHY, queues: [{ uri: QUEUE, http: 500 }] },
    verdict: 'queue/spooler-down',
    certainty: 'likely',
  },
  {
    name: 'a raw port of its own that somebody else has',
    site: {
      tcp: { 631: 'ECONNREFUSED', 9101: 'ECONNREFUSED', 515: 'ECONNREFUSED' },
      snmp: {
        ...snmpPrinter({}),
        // prtChannelType chPort9100(11), prtChannelState printDataAccepted(3), status 4 available and active.
        prtChannelTable: { '1.1': { prtChannelType: 11, prtChannelState: 3, prtChannelStatus: 4 } },
      },
      ipp: 'refused',
      queues: [
        {
          uri: QUEUE,
          attributes: {
            'printer-name': texts('front-desk'),
            'printer-state': enums(3),
            'device-uri': [{ tag: 'uri', value: 'socket://192.0.2.21:9101' }],
          },
        },
      ],
    },
    verdict: 'port/raw-port-busy',
  },
];

import { Buffer } from 'node:buffer';
import type { Observation, PjlValue, SnmpRows } from '../../src/model/evidence.js';
import { sniff } from '../../src/wire/job/sniff.js';
import { ADDRESS, bool, enums, HEALTHY, ippPrinter, keywords, type Site, snmpPrinter, texts } from './bundle.js';
import type { Case } from './sites.js';

const AT = '2026-01-31T09:00:00.000Z';
const base = { about: 'target', subject: ADDRESS, at: AT, tookMs: 5 } as const;

/** What is kept of a job file with these first octets. */
export function jobFile(octets: string, name = 'report.prn'): Observation {
  const bytes = Buffer.from(octets, 'latin1');
  const value = { name, bytes: bytes.length, sniffed: sniff(bytes) };
  return { ...base, source: 'history', what: 'job-file', about: 'self', subject: name, outcome: 'answered', value };
}

/** What a printer says over its raw port. */
export function pjl(code: number | null, online: boolean | null, more: Partial<PjlValue> = {}): Observation {
  const value = { code, display: null, online, problems: [], ...more };
  return {
    ...base,
    source: 'pjl',
    what: 'INFO STATUS',
    subject: `socket://${ADDRESS}:9100`,
    outcome: 'answered',
    value,
  };
}

/** What a line printer daemon says of a queue. */
export function lpd(text: string): Observation {
  const subject = 'lpd://192.0.2.5/plotter';
  return { ...base, source: 'lpd', what: 'short state', about: 'queue', subject, outcome: 'answered', value: { text } };
}

/** prtInterpreterTable: PrtInterpreterLangFamilyTC codes (3 langPCL, 5 langPJL, 6 langPS, 37 langAutomatic, 47 langPCLXL). */
export function interpreters(...codes: number[]): Record<string, SnmpRows> {
  const rows = Object.fromEntries(codes.map((code, i) => [`1.${i + 1}`, { prtInterpreterLangFamily: code }]));
  return { prtInterpreterTable: rows };
}

/** prtChannelTable: type 11 is chPort9100, state 4 noDataAccepted, status 6 available and busy. */
export function channel(state: number, status: number): Record<string, SnmpRows> {
  return { prtChannelTable: { '1.1': { prtChannelType: 11, prtChannelState: state, prtChannelStatus: status } } };
}

/** A healthy printer that names its languages and formats. */
function speaking(codes: readonly number[], formats: readonly string[] = [], more: Observation[] = []): Site {
  const supported = formats.map((value) => ({ tag: 'mimeMediaType', value }));
  return {
    ...HEALTHY,
    snmp: { ...snmpPrinter({}), ...interpreters(...codes) },
    ipp: { attributes: ippPrinter({ more: formats.length === 0 ? {} : { 'document-format-supported': supported } }) },
    more,
  };
}

const PS = '%!PS-Adobe-3.0\n';
const PCL = '\u001bE\u001b&l0O';
const OFFICE = 'PK\u0003\u0004\u0014\0\u0006\0\b\0\0\0!\0aaaabbbbcccc\u0013\0\0\0[Content_Types].xml';
const WELL = 'application/nothing-wrong-found';
const REFUSED = 'ECONNREFUSED';
const QUEUE = 'ipp://192.0.2.5/printers/front-desk';
const rawQueue = (more: Record<string, ReturnType<typeof texts>> = {}) => ({
  uri: QUEUE,
  attributes: {
    'printer-name': texts('front-desk'),
    'printer-state': enums(3),
    'printer-state-reasons': keywords('none'),
    'printer-is-accepting-jobs': bool(true),
    'device-uri': [{ tag: 'uri', value: `socket://${ADDRESS}:9100` }],
    ...more,
  },
});
const HEAVY = {
  ...ippPrinter({
    more: {
      'media-default': keywords('iso_a4_210x297mm'),
      'color-supported': bool(true),
      'printer-resolution-default': [{ tag: 'resolution', value: { x: 1200, y: 1200, units: 'dpi' } }],
    },
  }),
};

const OF_JOB_FILES: readonly Case[] = [
  {
    name: 'PCL for a PostScript printer',
    site: speaking([6, 5], [], [jobFile(PCL)]),
    verdict: 'language/language-mismatch',
    certainty: 'sure',
  },
  {
    name: 'PCL for a printer that lists PostScript and one nameless language',
    site: speaking([6, 1], [], [jobFile(PCL)]),
    verdict: 'language/language-mismatch',
    certainty: 'likely',
  },
  {
    name: 'PostScript for a printer of which only the formats are known',
    site: { ...speaking([], ['application/vnd.hp-PCL', 'application/octet-stream'], [jobFile(PS)]), snmp: 'silent' },
    verdict: 'language/language-mismatch',
    certainty: 'likely',
  },
  {
    name: 'a label language for an office printer',
    site: speaking([3, 6], ['application/pdf'], [jobFile('^XA^FO50,50^FDhi^FS^XZ')]),
    verdict: 'language/language-mismatch',
    certainty: 'sure',
  },
  {
    name: 'plain text for a printer that reads PostScript only',
    site: speaking([6], [], [jobFile('Good morning.\r\n')]),
    verdict: 'language/language-mismatch',
    certainty: 'likely',
  },
  {
    name: 'a wrapper that announces PCL around PostScript',
    site: speaking([3, 6], [], [jobFile(`\u001b%-12345X@PJL ENTER LANGUAGE=PCL\r\n${PS}`)]),
    verdict: 'language/language-mismatch',
    certainty: 'likely',
  },
  {
    name: 'an office document sent as it is',
    site: speaking([3, 6], ['application/pdf'], [jobFile(OFFICE, 'plan.docx')]),
    verdict: 'language/format-unsupported',
    certainty: 'sure',
  },
  {
    name: 'an empty job file',
    site: speaking([3], [], [jobFile('')]),
    verdict: 'language/job-empty',
    certainty: 'sure',
  },
  {
    name: 'PostScript for a PostScript printer',
    site: speaking([6], [], [jobFile(PS)]),
    verdict: WELL,
  },
  {
    name: 'PDF by its format alone',
    site: speaking([3], ['application/pdf'], [jobFile('%PDF-1.7\n')]),
    verdict: WELL,
  },
  {
    name: 'PCL XL for a printer that lists PCL may be right',
    site: speaking([3], [], [jobFile(') HP-PCL XL;3;0;')]),
    verdict: WELL,
  },
  {
    name: 'a label language by the command set of the device ID',
    site: {
      ...HEALTHY,
      ipp: { attributes: ippPrinter({ more: { 'printer-device-id': texts('MFG:Wren;MDL:Tag 2;CMD:ZPL,EPL;') } }) },
      more: [jobFile('^XA^XZ')],
    },
    verdict: WELL,
  },
  {
    name: 'a picture that the queue converts',
    site: {
      ...speaking([3], [], [jobFile('\u00ff\u00d8\u00ff\u00e0', 'plan.jpg')]),
      queues: [rawQueue({ 'document-format-supported': [{ tag: 'mimeMediaType', value: 'image/jpeg' }] })],
    },
    verdict: WELL,
  },
  {
    name: 'a job in nothing known',
    site: speaking([3], [], [jobFile('\u0001\u0002\u0003\u0000\u0000')]),
    verdict: WELL,
  },
  {
    name: 'a job for a printer that does not say what it reads',
    site: speaking([], [], [jobFile(PCL)]),
    verdict: WELL,
  },
  {
    name: 'a page that needs more than the memory is a warning',
    site: {
      ...HEALTHY,
      snmp: {
        ...snmpPrinter({}),
        ...interpreters(6),
        hrStorageTable: {
          // hrStorageRam; 16 MB
          1: { hrStorageType: { oid: '1.3.6.1.2.1.25.2.1.2' }, hrStorageAllocationUnits: 1024, hrStorageSize: 16384 },
        },
      },
      ipp: { attributes: HEAVY },
      more: [jobFile(PS)],
    },
    verdict: WELL,
    warnings: ['page-too-complex'],
  },
];

/** Only the raw port can be asked. */
const RAW_ONLY: Site = {
  tcp: { 631: REFUSED, 9100: 'open', 515: REFUSED, 80: REFUSED, 443: REFUSED },
  snmp: 'silent',
  ipp: 'refused',
};

const OF_PJL: readonly Case[] = [
  {
    name: 'cover open by PJL alone',
    site: { ...RAW_ONLY, more: [pjl(40021, false)] },
    verdict: 'device/cover-open',
    certainty: 'likely',
  },
  { name: 'jam by PJL alone', site: { ...RAW_ONLY, more: [pjl(42012, false)] }, verdict: 'device/media-jam' },
  { name: 'paper out by PJL alone', site: { ...RAW_ONLY, more: [pjl(41203, false)] }, verdict: 'media/media-empty' },
  {
    name: 'cartridge empty by PJL alone',
    site: { ...RAW_ONLY, more: [pjl(40039, false)] },
    verdict: 'supplies/supply-empty',
  },
  { name: 'output full by PJL alone', site: { ...RAW_ONLY, more: [pjl(40019, false)] }, verdict: 'media/output-full' },
  {
    name: 'hardware error by PJL alone',
    site: { ...RAW_ONLY, more: [pjl(50001, false)] },
    verdict: 'device/service-needed',
  },
  {
    name: 'memory full by PJL alone',
    site: { ...RAW_ONLY, more: [pjl(30016, false)] },
    verdict: 'device/memory-short',
  },
  {
    name: 'page too complex by PJL alone',
    site: { ...RAW_ONLY, more: [pjl(30017, false)] },
    verdict: 'language/page-too-complex',
  },
  { name: 'off-line without a reason', site: { ...RAW_ONLY, more: [pjl(10001, false)] }, verdict: 'device/offline' },
  {
    name: 'stopped by a code nobody knows',
    site: { ...RAW_ONLY, more: [pjl(40087, false)] },
    verdict: 'device/stopped',
  },
  {
    name: 'PJL confirms what SNMP says only as down',
    site: { ...HEALTHY, snmp: snmpPrinter({ device: 5, printer: 1 }), ipp: 'refused', more: [pjl(40021, false)] },
    verdict: 'device/cover-open',
    certainty: 'sure',
    others: [],
  },
  {
    name: 'off-line is no fault of its own beside an empty tray',
    site: {
      ...HEALTHY,
      snmp: snmpPrinter({
        device: 5,
        printer: 1,
        bits: '4004',
        trays: [{ name: 'Tray 1', level: 0 }],
        alerts: [{ severity: 3, group: 8, groupIndex: 1, code: 13 }],
      }),
      ipp: 'refused',
      more: [pjl(10002, false)],
    },
    verdict: 'media/media-empty',
    others: [],
  },
  {
    name: 'paper of another size wanted while a tray holds some',
    site: { ...HEALTHY, snmp: snmpPrinter({ device: 5, printer: 1 }), ipp: 'refused', more: [pjl(41203, false)] },
    verdict: 'media/media-needed',
  },
  {
    name: 'PJL complains while the printer prints',
    site: { ...HEALTHY, snmp: snmpPrinter({ device: 2, printer: 4 }), ipp: 'refused', more: [pjl(40021, true)] },
    verdict: WELL,
    warnings: ['cover-open'],
  },
  { name: 'toner low by PJL', site: { ...HEALTHY, more: [pjl(10006, true)] }, verdict: WELL, warnings: ['supply-low'] },
  { name: 'ready by PJL', site: { ...HEALTHY, more: [pjl(10001, true)] }, verdict: WELL },
];

const BUSY_TCP = { ...HEALTHY.tcp, 9100: REFUSED };

const OF_RAW_PORTS: readonly Case[] = [
  {
    name: 'the raw port that a queue needs is taken by another sender',
    site: {
      ...HEALTHY,
      tcp: BUSY_TCP,
      snmp: { ...snmpPrinter({ device: 2, printer: 4 }), ...channel(3, 6) },
      queues: [rawQueue()],
    },
    verdict: 'port/raw-port-busy',
    certainty: 'likely',
    others: [],
  },
  {
    name: 'the raw port is taken, no queue of ours needs it',
    site: { ...HEALTHY, tcp: BUSY_TCP, snmp: { ...snmpPrinter({ device: 2, printer: 4 }), ...channel(4, 0) } },
    verdict: WELL,
    warnings: ['raw-port-busy'],
  },
  {
    name: 'the raw channel of an idle printer takes no data: switched off, not busy',
    site: { ...HEALTHY, tcp: BUSY_TCP, snmp: { ...snmpPrinter({}), ...channel(4, 0) }, queues: [rawQueue()] },
    verdict: 'port/print-ports-closed',
  },
  {
    name: 'refused at first, answered at the second try',
    site: { ...HEALTHY, tcp: BUSY_TCP, queues: [rawQueue()], more: [pjl(10001, true)] },
    verdict: WELL,
    warnings: ['raw-port-busy'],
  },
];

const OF_DAEMONS: readonly Case[] = [
  { name: 'an LPD queue that runs', site: { ...HEALTHY, more: [lpd('plotter is ready\nno entries')] }, verdict: WELL },
  {
    name: 'an LPD queue with printing switched off',
    site: { ...HEALTHY, more: [lpd('plotter: printing disabled')] },
    verdict: 'queue/queue-paused',
    certainty: 'likely',
    component: 'plotter',
  },
  {
    name: 'an LPD queue that takes no jobs',
    site: { ...HEALTHY, more: [lpd('plotter: queuing is disabled\nno entries')] },
    verdict: 'queue/queue-rejecting',
  },
  {
    name: 'an LPD queue that the daemon does not know',
    site: { ...HEALTHY, more: [lpd('lpd: unknown printer plotter')] },
    verdict: 'queue/queue-absent',
  },
];

/** Job files, raw ports and line printer daemons. */
export const LANGUAGE_CASES: readonly Case[] = [...OF_JOB_FILES, ...OF_PJL, ...OF_RAW_PORTS, ...OF_DAEMONS];

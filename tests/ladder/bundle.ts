import { readFileSync } from 'node:fs';
import type {
  Evidence,
  IppAttributes,
  IppValue,
  Observation,
  SnmpRows,
  SwitchValue,
} from '../../src/model/evidence.js';
import type { PrintHostReport } from '../../src/model/print-host.js';
import { EVIDENCE_SCHEMA, type EvidenceBundle } from '../../src/model/why.js';

const AT = '2026-01-31T09:00:00.000Z';
export const ADDRESS = '192.0.2.21';

/** What a made-up site looks like from here: only what a case is about needs to be given. */
export interface Site {
  readonly address?: string | null;
  readonly target?: string;
  readonly user?: string;
  readonly route?: 'onlink' | 'routed' | 'none';
  readonly carrier?: boolean;
  /** Neighbour entry of the target: a hardware address, or that it could not be resolved. */
  readonly mac?: string | 'failed';
  readonly gateway?: 'alive' | 'silent';
  readonly fellow?: 'alive' | 'silent';
  readonly name?: { readonly asked: string; readonly addresses?: readonly string[]; readonly code?: string };
  /** Port → `open` or an error code; `EHOSTUNREACH@5` gives the milliseconds it took. */
  readonly tcp?: Readonly<Record<number, string>>;
  readonly snmp?: Readonly<Record<string, SnmpRows>> | 'silent' | 'refused' | 'denied' | 'garbled';
  readonly ipp?: IppSite | 'silent' | 'refused' | 'cut';
  readonly validate?: IppSite;
  readonly queues?: readonly QueueSite[];
  /** What a print host's collector wrote. */
  readonly report?: PrintHostReport;
  /** What a managed switch says of the printer's port. */
  readonly switch?: SwitchValue;
  readonly expected?: { readonly serial?: string; readonly uuid?: string; readonly mac?: string };
  readonly answers?: Readonly<Record<string, string>>;
  readonly more?: readonly Observation[];
}

export interface IppSite {
  readonly status?: string;
  readonly http?: number;
  readonly garbled?: boolean;
  readonly attributes?: IppAttributes;
  readonly tls?: { readonly validTo?: string; readonly error?: string };
  readonly user?: string;
}

export interface QueueSite extends IppSite {
  readonly uri: string;
  readonly transport?: 'refused' | 'silent';
  readonly jobs?: readonly IppAttributes[];
  readonly validate?: IppSite;
}

const value = (tag: string, v: IppValue['value']): IppValue => ({ tag, value: v });
export const enums = (...codes: number[]): IppValue[] => codes.map((c) => value('enum', c));
export const integers = (...n: number[]): IppValue[] => n.map((v) => value('integer', v));
export const keywords = (...words: string[]): IppValue[] => words.map((w) => value('keyword', w));
export const texts = (...words: string[]): IppValue[] => words.map((w) => value('textWithoutLanguage', w));
export const bool = (b: boolean): IppValue[] => [value('boolean', b)];

type Draft = Omit<Observation, 'at' | 'tookMs' | 'subject' | 'about'> &
  Partial<Pick<Observation, 'about' | 'subject' | 'tookMs'>>;

function record(draft: Draft, subject: string): Observation {
  return { at: AT, tookMs: 5, about: 'target', subject, ...draft } as Observation;
}

function outcomeOf(code: string): Observation['outcome'] {
  if (code === 'open') return 'answered';
  if (code === 'ECONNREFUSED') return 'refused';
  return code === 'ETIMEDOUT' ? 'silent' : 'failed';
}

function network(site: Site, host: string): Observation[] {
  const reach = site.route ?? 'routed';
  const entry = (about: 'target' | 'gateway' | 'fellow', subject: string, mac: string | null): Observation =>
    record(
      {
        source: 'neighbour',
        what: 'entry',
        about,
        outcome: mac ? 'answered' : 'silent',
        value: { kind: 'entry', state: mac ? 'reachable' : 'failed', mac, interface: 'lan0' },
      },
      subject,
    );
  const life = (state: 'alive' | 'silent' | undefined, about: 'gateway' | 'fellow', subject: string): Observation[] =>
    state ? [entry(about, subject, state === 'alive' ? '02:00:5e:00:00:01' : null)] : [];
  return [
    record(
      {
        source: 'neighbour',
        what: 'route',
        outcome: 'answered',
        value: { kind: 'route', reach, interface: 'lan0', gateway: null, carrier: site.carrier ?? true },
      },
      host,
    ),
    ...(site.mac ? [entry('target', host, site.mac === 'failed' ? null : site.mac)] : []),
    ...life(site.gateway, 'gateway', '192.0.2.1'),
    ...life(site.fellow, 'fellow', '192.0.2.22'),
  ];
}

function tcp(site: Site, host: string): Observation[] {
  return Object.entries(site.tcp ?? {}).map(([port, given]) => {
    const [code = 'open', took] = given.split('@');
    const slow = code === 'EHOSTUNREACH' ? 3080 : 5;
    const tookMs = took === undefined ? slow : Number(took);
    return record({ source: 'tcp', what: `${port}/tcp`, outcome: outcomeOf(code), value: code, tookMs }, host);
  });
}

function snmp(site: Site, host: string): Observation[] {
  const given = site.snmp;
  if (given === undefined) return [];
  const outcome = typeof given === 'string' ? given : 'answered';
  const session = record(
    {
      source: 'snmp',
      what: 'session',
      outcome,
      value: {
        kind: 'session',
        port: 161,
        version: outcome === 'answered' ? '2c' : null,
        label: 'community 1',
        attempts: [
          {
            version: '2c',
            label: 'community 1',
            outcome,
            ...(outcome === 'denied' ? { detail: 'usmStatsWrongDigests' } : {}),
          },
        ],
        requests: 1,
        problems: [],
      },
    },
    host,
  );
  if (typeof given === 'string') return [session];
  return [
    session,
    ...Object.entries(given).map(([what, rows]) =>
      record({ source: 'snmp', what, outcome: 'answered', value: { kind: 'table', rows, problems: [] } }, host),
    ),
  ];
}

function exchangeOutcome(given: IppSite, http: number, status: string): Observation['outcome'] {
  if (given.garbled) return 'garbled';
  if (given.tls?.error) return 'failed';
  if (http === 401 || http === 403 || /not-auth|forbidden/.test(status)) return 'denied';
  return http === 200 ? 'answered' : 'failed';
}

function exchange(source: 'ipp' | 'spooler', what: string, uri: string, given: IppSite, more: object): Observation {
  const http = given.http ?? 200;
  const status = given.status ?? 'successful-ok';
  const outcome = exchangeOutcome(given, http, status);
  const unread = given.garbled || http !== 200 || given.tls?.error !== undefined;
  const value = {
    uri,
    httpStatus: given.tls?.error ? null : http,
    version: unread ? null : '2.0',
    status: unread ? null : status,
    attributes: given.attributes ?? {},
    problems: [],
    ...(given.tls ? { tls: given.tls } : {}),
    ...(given.user ? { user: given.user } : {}),
    ...more,
  };
  const about = source === 'spooler' ? 'queue' : 'target';
  return record({ source, what, about, outcome, value } as Draft, uri);
}

function ipp(site: Site, host: string): Observation[] {
  const uri = `ipp://${host}/ipp/print`;
  if (site.ipp === undefined) return [];
  if (typeof site.ipp === 'string') {
    const code = { refused: 'ECONNREFUSED', silent: 'ETIMEDOUT', cut: 'ECONNRESET' }[site.ipp];
    const outcome = site.ipp === 'silent' ? 'silent' : 'refused';
    const base = { uri, httpStatus: null, version: null, status: null, attributes: {}, problems: [], error: code };
    return [record({ source: 'ipp', what: 'Get-Printer-Attributes', outcome, value: base }, host)];
  }
  return [
    exchange('ipp', 'Get-Printer-Attributes', uri, site.ipp, {}),
    ...(site.validate ? [exchange('ipp', 'Validate-Job', uri, site.validate, {})] : []),
  ];
}

function queue(site: QueueSite): Observation[] {
  if (site.transport) {
    const value = { uri: site.uri, httpStatus: null, version: null, status: null, attributes: {}, problems: [] };
    return [
      record(
        { source: 'spooler', what: 'Get-Printer-Attributes', about: 'queue', outcome: site.transport, value },
        site.uri,
      ),
    ];
  }
  return [
    exchange('spooler', 'Get-Printer-Attributes', site.uri, site, {}),
    ...(site.jobs ? [exchange('spooler', 'Get-Jobs not-completed', site.uri, {}, { jobs: site.jobs })] : []),
    ...(site.validate ? [exchange('spooler', 'Validate-Job', site.uri, site.validate, {})] : []),
  ];
}

function hostRecord(report: PrintHostReport): Observation {
  const value = { kind: 'report', report } as const;
  return record(
    { source: 'spooler', what: 'print-host report', about: 'queue', outcome: 'answered', value },
    report.host,
  );
}

function known(site: Site, host: string): Observation[] {
  const expected: Observation[] = site.expected
    ? [record({ source: 'history', what: 'expected', outcome: 'answered', value: site.expected }, host)]
    : [];
  const named = site.name;
  if (!named) return expected;
  const addresses = named.addresses ?? [];
  const dns = record(
    {
      source: 'dns',
      what: named.asked,
      outcome: addresses.length > 0 ? 'answered' : 'refused',
      value: { addresses, ...(named.code ? { code: named.code } : {}) },
    },
    host,
  );
  return [...expected, dns];
}

/** Evidence as the probes would give it, from a short description of a site. */
export function bundleOf(site: Site): EvidenceBundle {
  const address = site.address === undefined ? ADDRESS : site.address;
  const host = address ?? site.name?.asked ?? 'printer.example';
  const records = [
    ...known(site, host),
    ...(address === null ? [] : network(site, host)),
    ...tcp(site, host),
    ...snmp(site, host),
    ...ipp(site, host),
    ...(site.queues ?? []).flatMap(queue),
    ...(site.report ? [hostRecord(site.report)] : []),
    ...Object.entries(site.answers ?? {}).map(([what, value]) =>
      record({ source: 'operator', what, outcome: 'answered', value }, host),
    ),
    ...(site.switch
      ? [
          record(
            { source: 'switch', what: `port ${site.switch.port}`, outcome: 'answered', value: site.switch },
            '192.0.2.2',
          ),
        ]
      : []),
    ...(site.more ?? []),
  ];
  return {
    schema: EVIDENCE_SCHEMA,
    target: site.target ?? 'front-desk',
    address,
    ...(site.user ? { user: site.user } : {}),
    askedAt: AT,
    tookMs: 10,
    evidence: records.map((r, i) => ({ id: `e${i + 1}`, ...r }) as Evidence),
  };
}

export interface SnmpPrinter {
  readonly device?: number;
  readonly printer?: number;
  readonly bits?: string;
  readonly alerts?: readonly { severity: number; group: number; groupIndex: number; code: number; text?: string }[];
  readonly trays?: readonly { name: string; level: number; type?: number; status?: number; capacity?: number }[];
  readonly supplies?: readonly { name: string; type?: number; class?: number; level: number; capacity?: number }[];
  readonly covers?: readonly { name: string; status: number }[];
  readonly serial?: string;
  /** Lines of the display. */
  readonly console?: readonly string[];
}

const rowsOf = (rows: readonly Record<string, number | string>[]): SnmpRows =>
  Object.fromEntries(rows.map((row, i) => [`1.${i + 1}`, row]));

/** Printer-MIB tables of one device, hrDeviceIndex 1. Numbers are those of RFC 2790 and RFC 3805. */
export function snmpPrinter(p: SnmpPrinter): Readonly<Record<string, SnmpRows>> {
  const trays = p.trays ?? [{ name: 'Tray 1', level: 120 }];
  const supplies = p.supplies ?? [{ name: 'Black toner', level: 4200, capacity: 6000 }];
  return {
    system: { 0: { sysDescr: 'Sandpiper 300 mono', sysName: 'front-desk', sysUpTime: 8_640_000 } },
    hrDeviceTable: {
      1: {
        hrDeviceType: { oid: '1.3.6.1.2.1.25.3.1.5' },
        hrDeviceDescr: 'Sandpiper 300 mono',
        hrDeviceStatus: p.device ?? 2,
      },
    },
    hrPrinterTable: { 1: { hrPrinterStatus: p.printer ?? 3, hrPrinterDetectedErrorState: { hex: p.bits ?? '0000' } } },
    prtGeneralTable: { 1: { prtGeneralSerialNumber: p.serial ?? 'SP300-1', prtMarkerDefaultIndex: 1 } },
    prtInputTable: rowsOf(
      trays.map((t) => ({
        prtInputType: t.type ?? 3,
        prtInputCapacityUnit: 8,
        prtInputMaxCapacity: t.capacity ?? 250,
        prtInputCurrentLevel: t.level,
        prtInputStatus: t.status ?? 0,
        prtInputName: t.name,
      })),
    ),
    prtOutputTable: rowsOf([
      {
        prtOutputCapacityUnit: 8,
        prtOutputMaxCapacity: 150,
        prtOutputRemainingCapacity: 100,
        prtOutputStatus: 0,
        prtOutputName: 'Top bin',
      },
    ]),
    prtMarkerSuppliesTable: rowsOf(
      supplies.map((s) => ({
        prtMarkerSuppliesMarkerIndex: 1,
        prtMarkerSuppliesColorantIndex: 0,
        prtMarkerSuppliesClass: s.class ?? 3,
        prtMarkerSuppliesType: s.type ?? 3,
        prtMarkerSuppliesDescription: s.name,
        prtMarkerSuppliesSupplyUnit: 7,
        prtMarkerSuppliesMaxCapacity: s.capacity ?? 100,
        prtMarkerSuppliesLevel: s.level,
      })),
    ),
    prtCoverTable: rowsOf(
      (p.covers ?? [{ name: 'Front cover', status: 4 }]).map((c) => ({
        prtCoverDescription: c.name,
        prtCoverStatus: c.status,
      })),
    ),
    prtConsoleDisplayBufferTable: rowsOf((p.console ?? []).map((line) => ({ prtConsoleDisplayBufferText: line }))),
    prtAlertTable: rowsOf(
      (p.alerts ?? []).map((a) => ({
        prtAlertSeverityLevel: a.severity,
        prtAlertTrainingLevel: 3,
        prtAlertGroup: a.group,
        prtAlertGroupIndex: a.groupIndex,
        prtAlertLocation: -2,
        prtAlertCode: a.code,
        prtAlertDescription: a.text ?? '',
        prtAlertTime: 1000,
      })),
    ),
  };
}

/** Printer attributes over IPP (RFC 8011 5.4). */
export function ippPrinter(p: {
  state?: number;
  reasons?: readonly string[];
  accepting?: boolean;
  more?: IppAttributes;
}): IppAttributes {
  return {
    'printer-name': texts('front-desk'),
    'printer-make-and-model': texts('Sandpiper 300 mono'),
    'printer-state': enums(p.state ?? 3),
    'printer-state-reasons': keywords(...(p.reasons ?? ['none'])),
    'printer-is-accepting-jobs': bool(p.accepting ?? true),
    ...p.more,
  };
}

export function readJson<T>(path: URL): T {
  return JSON.parse(readFileSync(path, 'utf8')) as T;
}

/** A printer that is well, over both protocols; parts of it may be replaced. */
export const HEALTHY: Site = {
  tcp: { 631: 'open', 9100: 'open', 515: 'ECONNREFUSED', 80: 'open', 443: 'ECONNREFUSED' },
  snmp: snmpPrinter({}),
  ipp: { attributes: ippPrinter({}) },
  validate: {},
};

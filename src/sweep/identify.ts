import { readPrinter } from '../facts/printer/printer.js';
import type { Evidence, IppEvidence, Observation, SnmpEvidence, SnmpVersion } from '../model/evidence.js';
import type { PrinterDocument } from '../model/printer.js';
import type { Target } from '../model/target.js';
import type { Net } from '../net/net.js';
import { ippReadProbe } from '../probes/ipp/ipp.js';
import type { Limits } from '../probes/probe.js';
import { snmpProbe } from '../probes/snmp/snmp-probe.js';

/** Where a host may be asked who it is. */
export interface Doors {
  readonly address: string;
  /** URIs that are worth a question, the likeliest first. */
  readonly ippUris: readonly string[];
}

/** What a host said of itself. */
export interface Identified {
  readonly document: PrinterDocument | null;
  readonly snmp: SnmpVersion | null;
  readonly snmpPort: number | null;
  /** The URI at which it answered as a printer. */
  readonly ipp: string | null;
  /** It speaks IPP, but has no printer at the paths where printers have one. */
  readonly ippNotFound: boolean;
  /** sysDescr of the agent, for hosts that are no printers. */
  readonly description: string | null;
}

/** Asks over IPP, takes what SNMP gave meanwhile, and reads both together. */
export async function identify(
  doors: Doors,
  asking: readonly Observation[] | Promise<readonly Observation[]>,
  net: Net,
  limits: Limits,
): Promise<Identified> {
  const at = net.now().toISOString();
  const [snmp, ipp] = await Promise.all([asking, askIpp(doors, net, limits)]);
  const evidence = [...snmp, ...ipp].map((record, index): Evidence => ({ ...record, id: `e${index + 1}` }));
  const session = evidence.find((record) => record.source === 'snmp' && record.value?.kind === 'session');
  const opened = session?.source === 'snmp' && session.value?.kind === 'session' ? session.value : null;
  const fact = evidence.length === 0 ? undefined : readPrinter(evidence, { address: doors.address, readAt: at });
  return {
    document: fact?.document ?? null,
    snmp: opened?.version ?? null,
    snmpPort: opened?.version == null ? null : opened.port,
    ipp: printerUri(evidence),
    ippNotFound: evidence.some(
      (record) => record.source === 'ipp' && record.value?.status === 'client-error-not-found',
    ),
    description: describedBy(evidence),
  };
}

/** Asks every SNMP port at the same time and keeps what the first open one gave. */
export async function askSnmp(
  address: string,
  snmpPorts: readonly number[],
  net: Net,
  limits: Limits,
): Promise<readonly Observation[]> {
  const asked = await Promise.all(
    snmpPorts.map((snmpPort) => snmpProbe.run(targetOf(address, { snmpPort }), net, limits)),
  );
  return asked.find((records) => records.some(isOpenSession)) ?? [];
}

function isOpenSession(record: Observation): boolean {
  return record.source === 'snmp' && record.value?.kind === 'session' && record.value.version !== null;
}

async function askIpp(doors: Doors, net: Net, limits: Limits): Promise<readonly Observation[]> {
  let best: readonly Observation[] = [];
  for (const ippUri of doors.ippUris) {
    const records = await ippReadProbe.run(targetOf(doors.address, { ippUri }), net, limits);
    if (records.some(isPrinterAnswer)) return records;
    if (best.length === 0) best = records;
  }
  return best;
}

function isPrinterAnswer(record: Observation | IppEvidence): boolean {
  return record.source === 'ipp' && record.value?.status?.startsWith('successful-ok') === true;
}

function printerUri(evidence: readonly Evidence[]): string | null {
  const record = evidence.find(isPrinterAnswer);
  return record?.source === 'ipp' ? (record.value?.uri ?? null) : null;
}

function describedBy(evidence: readonly Evidence[]): string | null {
  const tables = evidence.filter((record): record is SnmpEvidence => record.source === 'snmp');
  for (const { value } of tables) {
    const text = value?.kind === 'table' ? value.rows['0']?.sysDescr : undefined;
    if (typeof text === 'string' && text.trim() !== '') return text.trim();
  }
  return null;
}

function targetOf(address: string, own: { readonly snmpPort?: number; readonly ippUri?: string }): Target {
  return {
    label: address,
    host: address,
    snmpPort: own.snmpPort ?? 161,
    printPorts: [],
    queues: [],
    ...(own.ippUri === undefined ? {} : { ippUri: own.ippUri }),
  };
}

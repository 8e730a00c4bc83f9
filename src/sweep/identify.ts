import { readPrinter } from '../facts/printer/printer.js';
import type { Evidence, IppEvidence, Observation, SnmpEvidence, SnmpVersion } from '../model/evidence.js';
import type { PrinterDocument } from '../model/printer.js';
import type { Target } from '../model/target.js';
import type { Net } from '../net/net.js';
import type { SnmpFound } from '../net/snmp-finder.js';
import { ippIdentityProbe } from '../probes/ipp/ipp.js';
import type { Limits, Probe } from '../probes/probe.js';
import { snmpIdentityProbe, snmpProbe } from '../probes/snmp/snmp-probe.js';

/** Where a host may be asked who it is. */
export interface Doors {
  readonly address: string;
  readonly agent: SnmpFound | undefined;
  /** URIs that are worth a question, the likeliest first; null: the usual ones of the host. */
  readonly ippUris: readonly (string | null)[];
}

/** What a host said of itself. */
export interface Identified {
  /** One for each printer behind its agent, the first one first; one when it speaks IPP alone; none when it said nothing. */
  readonly documents: readonly PrinterDocument[];
  readonly snmp: SnmpVersion | null;
  /** The agent was asked, and part of what tells a printer got lost on the way. */
  readonly cut: boolean;
  /** The URI at which it answered as a printer. */
  readonly ipp: string | null;
  /** It serves IPP or web pages at its IPP port, but has no printer at the paths where printers have one. */
  readonly ippNotFound: boolean;
  /** sysDescr of the agent, for hosts that are no printers. */
  readonly description: string | null;
}

/** Tables that tell a printer from another host. */
const TELLING = new Set(['hrDeviceTable', 'hrPrinterTable', 'prtGeneralTable', 'prtMarkerTable', 'ifTable']);

/**
 * Asks over SNMP, where there is an agent, and over IPP, and reads both together. First the few things that tell a printer; an agent that
 * shows none of them is read in full before it counts as no printer.
 */
export async function identify(doors: Doors, net: Net, limits: Limits): Promise<Identified> {
  const at = net.now().toISOString();
  const [snmp, ipp] = await Promise.all([askSnmp(snmpIdentityProbe, doors, net, limits), askIpp(doors, net, limits)]);
  const said = reading([...snmp, ...ipp], doors, at);
  const { documents, snmp: version } = said;
  if (version === null || documents.some(({ isPrinter }) => isPrinter)) return said;
  return reading([...(await askSnmp(snmpProbe, doors, net, limits)), ...ipp], doors, at);
}

function reading(records: readonly Observation[], doors: Doors, at: string): Identified {
  const evidence = records.map((record, index): Evidence => ({ ...record, id: `e${index + 1}` }));
  const session = evidence.find((record) => record.source === 'snmp' && record.value?.kind === 'session');
  const version = session?.source === 'snmp' && session.value?.kind === 'session' ? session.value.version : null;
  return {
    documents: documentsOf(evidence, doors.address, at),
    snmp: version,
    cut: doors.agent !== undefined && (version === null || evidence.some(isLost)),
    ipp: printerUri(evidence),
    ippNotFound: evidence.some(isNotFound),
    description: describedBy(evidence),
  };
}

/** The same evidence read once for each printer that it speaks of. */
function documentsOf(evidence: readonly Evidence[], address: string, readAt: string): readonly PrinterDocument[] {
  const first = evidence.length === 0 ? undefined : readPrinter(evidence, { address, readAt })?.document;
  if (first === undefined) return [];
  const more = (first.alsoHere ?? []).flatMap(
    ({ deviceIndex }) => readPrinter(evidence, { address, readAt, deviceIndex })?.document ?? [],
  );
  return [first, ...more];
}

/** A reading in which something got lost is done once more, and the better one counts. */
async function askSnmp(probe: Probe, doors: Doors, net: Net, limits: Limits): Promise<readonly Observation[]> {
  const { agent, address } = doors;
  if (agent === undefined) return [];
  const target = targetOf(address, { snmpPort: agent.port });
  const own = { ...limits, credentials: agent.credentials };
  const start = net.monotonic();
  const first = await probe.run(target, net, own);
  // An agent that is merely slow would not be quicker the second time.
  if (!first.some(isLost) || net.monotonic() - start > limits.deadlineMs / 2) return first;
  const second = await probe.run(target, net, own);
  return lost(second) <= lost(first) ? second : first;
}

function lost(records: readonly Observation[]): number {
  return records.length === 1 ? TELLING.size : records.filter(isLost).length;
}

function isLost(record: Observation): boolean {
  if (record.source !== 'snmp') return false;
  if (record.value?.kind === 'session') return record.value.version === null;
  return TELLING.has(record.what) && (record.outcome === 'silent' || (record.value as { cut?: boolean })?.cut === true);
}

async function askIpp(doors: Doors, net: Net, limits: Limits): Promise<readonly Observation[]> {
  let best: readonly Observation[] = [];
  for (const ippUri of doors.ippUris) {
    const records = await ippIdentityProbe.run(targetOf(doors.address, ippUri === null ? {} : { ippUri }), net, limits);
    if (records.some(isPrinterAnswer)) return records;
    if (best.length === 0) best = records;
  }
  return best;
}

function isNotFound(record: Evidence): boolean {
  if (record.source !== 'ipp') return false;
  return record.value?.status === 'client-error-not-found' || record.value?.httpStatus === 404;
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

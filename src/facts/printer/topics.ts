/** Which evidence records carry which part of a reading. */
import type { DnsSdReading } from './dns-sd.js';
import type { IppReading } from './ipp-values.js';
import type { From } from './precedence.js';
import { SCALARS, type SnmpTables } from './snmp-tables.js';

/** Topic → the tables it is read from, and the fields whose source decides. */
const TOPICS: Readonly<Record<string, { readonly tables: readonly string[]; readonly fields: readonly string[] }>> = {
  state: {
    tables: ['hrDeviceTable', 'hrPrinterTable'],
    fields: ['device', 'printer', 'errorBits', 'ipp', 'reasons', 'accepting'],
  },
  alerts: { tables: ['prtAlertTable'], fields: ['alerts'] },
  supplies: { tables: ['prtMarkerSuppliesTable', 'prtMarkerColorantTable'], fields: ['supplies'] },
  trays: { tables: ['prtInputTable'], fields: ['trays'] },
  outputs: { tables: ['prtOutputTable'], fields: ['outputs'] },
  covers: { tables: ['prtCoverTable'], fields: ['covers'] },
  identity: {
    tables: [SCALARS, 'prtGeneralTable', 'hrDeviceTable', 'ifTable', 'ppmPrinterTable'],
    fields: ['name', 'model', 'serial', 'uuid', 'macs', 'location', 'contact', 'firmware', 'adminUrl'],
  },
  console: { tables: ['prtConsoleDisplayBufferTable'], fields: ['console'] },
  counters: { tables: ['prtMarkerTable'], fields: ['lifePages', 'powerOnPages'] },
};

/**
 * Ids by topic. A table that was read and had no rows counts as well: an empty alert table is evidence. Ids keep the
 * order of the evidence and come once.
 */
export function topicEvidence(
  from: From,
  tables: SnmpTables | undefined,
  ipp: IppReading | undefined,
  dnsSd: DnsSdReading | undefined,
): Readonly<Record<string, readonly string[]>> {
  const topics: Record<string, readonly string[]> = {};
  for (const [topic, { tables: names, fields }] of Object.entries(TOPICS)) {
    const sources = new Set(fields.map((field) => from.get(field)));
    const ids = new Set<string>();
    for (const name of names) for (const id of tables?.ids.get(name) ?? []) ids.add(id);
    if (ipp !== undefined && (sources.has('ipp') || topic === 'state')) ids.add(ipp.id);
    if (sources.has('dns-sd')) for (const id of dnsSd?.ids ?? []) ids.add(id);
    topics[topic] = [...ids];
  }
  return topics;
}

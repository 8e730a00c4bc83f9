/** Supplies, trays, outputs, covers and alerts of one printer: from SNMP where it has rows, else from IPP. */
import type { Alert, Cover, Output, Supply, Tray } from '../../model/printer.js';
import { componentNames } from './components.js';
import { readIppAlerts } from './ipp-alerts.js';
import { readIppSupplies } from './ipp-supplies.js';
import { plainName, readIppCovers, readIppOutputs, readIppTrays, readyMedia } from './ipp-trays.js';
import type { IppReading } from './ipp-values.js';
import type { Note } from './levels.js';
import type { From } from './precedence.js';
import { readSnmpAlerts } from './snmp-alerts.js';
import { readSnmpSupplies } from './snmp-supplies.js';
import type { SnmpTables } from './snmp-tables.js';
import { readSnmpCovers, readSnmpOutputs, readSnmpTrays } from './snmp-trays.js';
import { noteLevelsApart } from './supply-sources.js';
import { withStates } from './supply-state.js';
import type { TextReader } from './text.js';

/** The rows of one device behind an agent. */
export interface SnmpDevice {
  readonly tables: SnmpTables;
  /** hrDeviceIndex in Printer-MIB. */
  readonly device: number;
  /** Its index in HOST-RESOURCES-MIB: the same but for odd agents. */
  readonly host: number;
  /** Reads description strings in the device's character set. */
  readonly text: TextReader;
}

export interface Parts {
  readonly supplies: readonly Supply[];
  readonly trays: readonly Tray[];
  readonly outputs: readonly Output[];
  readonly covers: readonly Cover[];
  readonly alerts: readonly Alert[];
}

/** The first list that has entries; the second is only read when the first has none. */
function firstList<T>(
  from: From,
  field: string,
  snmp: (() => readonly T[]) | undefined,
  ipp: (() => readonly T[]) | undefined,
): readonly T[] {
  const bySnmp = snmp?.() ?? [];
  if (bySnmp.length > 0) {
    from.set(field, 'snmp');
    return bySnmp;
  }
  const byIpp = ipp?.() ?? [];
  if (byIpp.length > 0) from.set(field, 'ipp');
  return byIpp;
}

function readTrays(snmp: SnmpDevice | undefined, ipp: IppReading | undefined, from: From, note: Note) {
  const trays = firstList(
    from,
    'trays',
    snmp && (() => readSnmpTrays(snmp.tables, snmp.device, snmp.text, note)),
    ipp && (() => readIppTrays(ipp.attributes, note)),
  );
  if (ipp === undefined || trays.every((tray) => tray.media !== null)) return trays;
  const ready = readyMedia(ipp.attributes);
  return trays.map((tray) => ({ ...tray, media: tray.media ?? ready.get(plainName(tray.name)) ?? null }));
}

/** Reads the parts and notes under `from` which source each list has. */
export function readParts(snmp: SnmpDevice | undefined, ipp: IppReading | undefined, from: From, note: Note): Parts {
  const stateless = firstList(
    from,
    'supplies',
    snmp && (() => readSnmpSupplies(snmp.tables, snmp.device, snmp.text, note)),
    ipp && (() => readIppSupplies(ipp.attributes, note)),
  );
  if (ipp !== undefined && from.get('supplies') === 'snmp') {
    noteLevelsApart(
      stateless,
      readIppSupplies(ipp.attributes, () => undefined),
      note,
    );
  }
  const trays = readTrays(snmp, ipp, from, note);
  const outputs = firstList(
    from,
    'outputs',
    snmp && (() => readSnmpOutputs(snmp.tables, snmp.device, snmp.text, note)),
    ipp && (() => readIppOutputs(ipp.attributes, note)),
  );
  const covers: readonly Cover[] = firstList(
    from,
    'covers',
    snmp && (() => readSnmpCovers(snmp.tables, snmp.device, snmp.text)),
    ipp && (() => readIppCovers(ipp.attributes)),
  );
  const names = componentNames(
    { supplies: stateless, trays, outputs, covers },
    snmp?.tables,
    snmp?.device ?? null,
    snmp?.text ?? (() => null),
  );
  const alerts = firstList(
    from,
    'alerts',
    snmp && (() => readSnmpAlerts(snmp.tables, snmp.device, names, snmp.text)),
    ipp && (() => readIppAlerts(ipp.attributes, names, note)),
  );
  return { supplies: withStates(stateless, alerts), trays, outputs, covers, alerts };
}

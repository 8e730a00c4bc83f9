/** prtAlertTable (RFC 3805 section 6). Rows that outlived their condition stay: judging them is not reading. */
import type { Alert } from '../../model/printer.js';
import { ALERT_CODES, ENUMS } from '../../registry/enums.generated.js';
import { alertReason } from './alert-reason.js';
import type { ComponentNames } from './components.js';
import { deviceRows, type IndexedRow, integer, label, type SnmpTables } from './snmp-tables.js';
import type { TextReader } from './text.js';

function readAlert({ index, row }: IndexedRow, names: ComponentNames, text: TextReader): Alert {
  const code = integer(row, 'prtAlertCode');
  const group = integer(row, 'prtAlertGroup');
  const severity = integer(row, 'prtAlertSeverityLevel');
  const groupIndex = integer(row, 'prtAlertGroupIndex');
  const groupLabel = label(row, 'prtAlertGroup', ENUMS.PrtAlertGroupTC);
  return {
    source: 'snmp',
    index,
    severity: label(row, 'prtAlertSeverityLevel', ENUMS.PrtAlertSeverityLevelTC) ?? 'other',
    group: groupLabel,
    groupIndex,
    component: names(groupLabel, groupIndex),
    code: code === null ? 'unknown' : (ALERT_CODES[code]?.name ?? String(code)),
    codeNumber: code,
    trainingLevel: label(row, 'prtAlertTrainingLevel', ENUMS.PrtAlertTrainingLevelTC),
    location: integer(row, 'prtAlertLocation'),
    description: text(row.get('prtAlertDescription')),
    reason: alertReason(code, group, severity),
    raisedAtTicks: integer(row, 'prtAlertTime'),
  };
}

/** The alerts of one device in the order of prtAlertIndex. */
export function readSnmpAlerts(
  tables: SnmpTables,
  device: number,
  names: ComponentNames,
  text: TextReader,
): readonly Alert[] {
  return deviceRows(tables, 'prtAlertTable', device).map((row) => readAlert(row, names, text));
}

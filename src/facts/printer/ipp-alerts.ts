/** printer-alert and printer-alert-description (PWG 5100.9) in the form of the alert table. */
import type { IppAttributes } from '../../model/evidence.js';
import type { Alert } from '../../model/printer.js';
import { ALERT_CODES, ENUMS } from '../../registry/enums.generated.js';
import { alertReason } from './alert-reason.js';
import type { ComponentNames } from './components.js';
import { texts } from './ipp-values.js';
import { type KeyValues, keyInteger, readKeyValues } from './key-values.js';
import { findLabel } from './labels.js';
import type { Note } from './levels.js';

const CODE_NAMES: Readonly<Record<number, string>> = Object.fromEntries(
  Object.entries(ALERT_CODES).map(([number, { name }]) => [number, name]),
);

/** The value of a key, or the first bare word that is a label of that kind. */
function labelOf(list: KeyValues, key: string, labels: Readonly<Record<number, string>> | undefined) {
  const said = list.values.get(key);
  if (said !== undefined) return findLabel(labels, said) ?? { number: null, name: said };
  for (const word of list.words) {
    const found = findLabel(labels, word);
    if (found !== undefined) return found;
  }
  return undefined;
}

/** Longer names of two severities that the text of the MIB uses for its labels (RFC 3805, PrtAlertSeverityLevelTC). */
const LONG_SEVERITIES: ReadonlyMap<string, string> = new Map([
  ['criticalbinarychangeevent', 'critical'],
  ['warningunarychangeevent', 'warning'],
]);

function severityOf(list: KeyValues) {
  const said = list.values.get('severity')?.toLowerCase();
  const short = said === undefined ? undefined : LONG_SEVERITIES.get(said);
  const found = findLabel(ENUMS.PrtAlertSeverityLevelTC, short);
  return found ?? labelOf(list, 'severity', ENUMS.PrtAlertSeverityLevelTC);
}

function readAlert(text: string, description: string | null, names: ComponentNames): Alert {
  const list = readKeyValues(text);
  const code = labelOf(list, 'code', CODE_NAMES);
  const group = labelOf(list, 'group', ENUMS.PrtAlertGroupTC);
  const severity = severityOf(list);
  const groupIndex = keyInteger(list, 'groupindex');
  const known = severity?.number ?? null;
  return {
    source: 'ipp',
    index: keyInteger(list, 'index'),
    severity: known === null ? 'other' : (severity?.name ?? 'other'),
    group: group?.name ?? null,
    groupIndex,
    component: names(group?.name ?? null, groupIndex),
    code: code?.name ?? 'unknown',
    codeNumber: code?.number ?? null,
    trainingLevel: labelOf(list, 'training', ENUMS.PrtAlertTrainingLevelTC)?.name ?? null,
    location: keyInteger(list, 'location'),
    description,
    reason: alertReason(code?.number ?? null, group?.number ?? null, known),
    raisedAtTicks: keyInteger(list, 'time'),
  };
}

/** The alerts in the order they were sent; blank values are left out. */
export function readIppAlerts(attributes: IppAttributes, names: ComponentNames, note: Note): readonly Alert[] {
  const strings = texts(attributes, 'printer-alert');
  const descriptions = texts(attributes, 'printer-alert-description');
  const alerts: Alert[] = [];
  const deviations = new Set<string>();
  strings.forEach((text, at) => {
    if (text === '' || text.toLowerCase() === 'none') return;
    for (const deviation of readKeyValues(text).deviations) deviations.add(deviation);
    const description = descriptions.length === strings.length ? descriptions[at] : undefined;
    alerts.push(readAlert(text, description === undefined || description === '' ? null : description, names));
  });
  if (deviations.size > 0) note(`printer-alert breaks its grammar (${[...deviations].join(', ')}); read by key.`);
  if (descriptions.length > 0 && descriptions.length !== strings.length)
    note(
      `printer-alert has ${strings.length} values, printer-alert-description ${descriptions.length}; the descriptions are left out.`,
    );
  return alerts;
}

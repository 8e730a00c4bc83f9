/** Scenario → the attributes that a made-up printer gives for Get-Printer-Attributes (RFC 8011 5.4, PWG 5100.9, PWG 5100.13). */
import { ALERT_CODES } from '../registry/enums.generated.js';
import { MEDIA_SIZES } from '../registry/media.generated.js';
import { type Condition, conditionOf, subUnitStatus } from './condition.js';
import type { PrinterScenario, ScenarioIpp, ScenarioIppOverride } from './device.js';
import { serialOf, uuidOf } from './identity.js';
import { rawValues } from './ipp-value.js';
import { type IppItem, type IppRaw, item } from './ipp-writer.js';
import { supplyName } from './snmp-tree-printer.js';

/** printer-state (RFC 8011 5.4.11). */
export const PRINTER_STATE = { idle: 3, processing: 4, stopped: 5 } as const;

/** Operations that a made-up device knows, as RFC 8011 5.4.15 and PWG 5100.13 5.1 list them. */
export const OPERATIONS = {
  'Print-Job': 2,
  'Validate-Job': 4,
  'Get-Job-Attributes': 9,
  'Get-Jobs': 10,
  'Get-Printer-Attributes': 11,
  'Identify-Printer': 60,
};

/** All attributes of a printer in its present state. `uri` is where it was asked, `upSeconds` since it came up. */
export function printerItems(scenario: PrinterScenario, ipp: ScenarioIpp, uri: string, upSeconds: number): IppItem[] {
  const condition = conditionOf(scenario);
  const place = placeItems(ipp, uri);
  if (ipp.exact) return override(place, ipp.attributes);
  return override(
    [
      ...place,
      ...identityItems(scenario, uri),
      ...stateItems(ipp, condition, upSeconds),
      ...capabilityItems(scenario, ipp),
      ...trayItems(scenario, condition),
      ...supplyItems(scenario),
      ...alertItems(condition),
    ],
    ipp.attributes,
  );
}

/** Where the printer is reached: three lists that belong together (RFC 8011 5.4.1 to 5.4.3). */
function placeItems(ipp: ScenarioIpp, uri: string): IppItem[] {
  return [
    item('printer-uri-supported', 'uri', uri),
    item('uri-security-supported', 'keyword', ipp.tls === 'none' ? 'none' : 'tls'),
    item('uri-authentication-supported', 'keyword', 'none'),
  ];
}

function identityItems(scenario: PrinterScenario, uri: string): IppItem[] {
  const { origin } = new URL(uri.replace(/^ipp/, 'http'));
  return [
    item('printer-name', 'name', scenario.callsItself ?? scenario.name),
    item('printer-info', 'text', scenario.callsItself ?? scenario.name),
    item('printer-location', 'text', scenario.location),
    item('printer-make-and-model', 'text', scenario.model),
    item('printer-more-info', 'uri', `${origin}/`),
    item('printer-uuid', 'uri', `urn:uuid:${uuidOf(scenario)}`),
    item('printer-serial-number', 'text', serialOf(scenario)),
    item('printer-firmware-string-version', 'text', scenario.firmware),
    item('printer-device-id', 'text', `MFG:Sandpiper;MDL:${scenario.model};SN:${serialOf(scenario)};`),
  ];
}

function stateItems(ipp: ScenarioIpp, condition: Condition, upSeconds: number): IppItem[] {
  return [
    item('printer-state', 'enum', PRINTER_STATE[condition.ippState]),
    item('printer-state-reasons', 'keyword', ...condition.reasons),
    item('printer-state-message', 'text', ipp.message),
    item('printer-is-accepting-jobs', 'boolean', ipp.accepting),
    item('queued-job-count', 'integer', 0),
    item('printer-up-time', 'integer', Math.max(1, upSeconds)),
  ];
}

function capabilityItems(scenario: PrinterScenario, ipp: ScenarioIpp): IppItem[] {
  const media = [...new Set(scenario.trays.map((tray) => tray.media))];
  return [
    item('charset-configured', 'charset', 'utf-8'),
    item('charset-supported', 'charset', 'us-ascii', 'utf-8'),
    item('natural-language-configured', 'naturalLanguage', 'en'),
    item('generated-natural-language-supported', 'naturalLanguage', 'en'),
    item('ipp-versions-supported', 'keyword', ...ipp.versions),
    item('operations-supported', 'enum', ...Object.values(OPERATIONS)),
    item('identify-actions-default', 'keyword', 'flash', 'sound'),
    item('document-format-default', 'mimeMediaType', ipp.formats[0] ?? 'application/octet-stream'),
    item('document-format-supported', 'mimeMediaType', ...ipp.formats),
    item('compression-supported', 'keyword', 'none'),
    item('pdl-override-supported', 'keyword', 'attempted'),
    item('color-supported', 'boolean', scenario.colour),
    item('copies-supported', 'rangeOfInteger', { lower: 1, upper: 99 }),
    item('sides-supported', 'keyword', 'one-sided'),
    item('printer-resolution-supported', 'resolution', { x: 600, y: 600, units: 'dpi' }),
    item('media-supported', 'keyword', ...media),
    item('media-default', 'keyword', media[0] ?? 'iso_a4_210x297mm'),
    item('media-col-default', 'collection', mediaCol(media[0] ?? 'iso_a4_210x297mm')),
    item('media-ready', 'keyword', ...media),
  ];
}

/** A `media-col` (PWG 5100.7): size in hundredths of a millimetre. */
function mediaCol(media: string): IppItem[] {
  const size = MEDIA_SIZES[media] ?? { x: 21_000, y: 29_700 };
  return [
    item('media-size', 'collection', [item('x-dimension', 'integer', size.x), item('y-dimension', 'integer', size.y)]),
    item('media-type', 'keyword', 'stationery'),
  ];
}

/** `printer-input-tray` and `printer-output-tray` (PWG 5100.13): key=value, each ended by a semicolon. */
function trayItems(scenario: PrinterScenario, condition: Condition): IppItem[] {
  const inputs = scenario.trays.map((tray, position) => {
    const size = MEDIA_SIZES[tray.media];
    const status = tray.status ?? subUnitStatus(condition.rows, 'input', position + 1);
    return (
      `type=${tray.type};dimunit=micrometers;mediafeed=${size ? size.y * 10 : -2};mediaxfeed=${size ? size.x * 10 : -2};` +
      `unit=${tray.unit};maxcapacity=${tray.capacity};level=${tray.level};status=${status};` +
      `index=${position + 1};name=${tray.name};medianame=${tray.media};`
    );
  });
  const outputs = scenario.outputs.map((output, position) => {
    const status = output.status ?? subUnitStatus(condition.rows, 'output', position + 1);
    return (
      `type=${output.type};unit=sheets;maxcapacity=${output.capacity};remaining=${output.level};status=${status};` +
      `index=${position + 1};name=${output.name};stackingorder=firstToLast;pagedelivery=faceDown;`
    );
  });
  return [...texts('printer-input-tray', inputs), ...texts('printer-output-tray', outputs)];
}

/** The MIB-like octet strings of a list; no attribute for an empty list, as IPP has no empty sets (RFC 8011 5.1). */
function texts(name: string, values: readonly string[]): IppItem[] {
  return values.length > 0 ? [item(name, 'octetString', ...values.map((value) => Buffer.from(value, 'utf8')))] : [];
}

function supplyItems(scenario: PrinterScenario): IppItem[] {
  const { supplies } = scenario;
  if (supplies.length === 0) return [];
  const rows = supplies.map(
    (supply, position) =>
      `index=${position + 1};class=${supply.class};type=${supply.type};unit=${supply.unit};` +
      `maxcapacity=${supply.capacity};level=${supply.level};colorantname=${supply.colour ?? 'none'};`,
  );
  const percents = supplies.map(({ level, capacity }) => (level < 0 ? level : Math.round((100 * level) / capacity)));
  return [
    ...texts('printer-supply', rows),
    item('printer-supply-description', 'text', ...supplies.map(supplyName)),
    item('marker-names', 'name', ...supplies.map(supplyName)),
    item('marker-types', 'keyword', ...supplies.map((supply) => supply.type)),
    item('marker-colors', 'name', ...supplies.map((supply) => COLOURS[supply.colour ?? ''] ?? 'none')),
    item('marker-levels', 'integer', ...percents),
  ];
}

const COLOURS: Readonly<Record<string, string>> = {
  black: '#000000',
  cyan: '#00FFFF',
  magenta: '#FF00FF',
  yellow: '#FFFF00',
};

/** `printer-alert` (PWG 5100.9): the code first, then key=value behind semicolons. */
function alertItems(condition: Condition): IppItem[] {
  if (condition.rows.length === 0) return [];
  const rows = condition.rows.map(
    ({ alert, row, code }) =>
      `code=${ALERT_CODES[code]?.name ?? 'unknown'};index=${row};severity=${alert.severity};training=${alert.training};` +
      `group=${alert.group};groupindex=${alert.index};location=${alert.location};time=${alert.ticks}`,
  );
  return [
    ...texts('printer-alert', rows),
    item('printer-alert-description', 'text', ...condition.rows.map(({ alert }) => alert.description)),
  ];
}

/** Puts a scenario's own attributes in place of the made ones. */
export function override(items: readonly IppItem[], changes: Readonly<Record<string, ScenarioIppOverride>>): IppItem[] {
  const kept = new Map(items.map((attribute) => [attribute.name, attribute]));
  for (const [name, change] of Object.entries(changes)) {
    if (change === null) {
      kept.delete(name);
      continue;
    }
    const stated = typeof change === 'object' && !Array.isArray(change) ? change : { tag: undefined, value: change };
    const values = rawValues(stated.value);
    kept.set(name, { name, tag: stated.tag ?? kept.get(name)?.tag ?? usualTag(values[0]), values });
  }
  return [...kept.values()];
}

function usualTag(value: IppRaw | undefined): string {
  return typeof value === 'number' ? 'integer' : typeof value === 'boolean' ? 'boolean' : 'keyword';
}

/** Printer-MIB (RFC 3805) of a made-up printer, table by table. */
import { MEDIA_SIZES } from '../registry/media.generated.js';
import { type Condition, subUnitStatus } from './condition.js';
import type { PrinterScenario } from './device.js';
import { serialOf } from './identity.js';
import type { ObjectTree } from './snmp-objects.js';

/** MIBenum of UTF-8 in the IANA character set registry. */
const UTF8 = 106;

/** Adds all Printer-MIB tables for the printer at `device` (its hrDeviceIndex). */
export function addPrinterMib(tree: ObjectTree, scenario: PrinterScenario, device: number, condition: Condition): void {
  addGeneral(tree, scenario, device, condition);
  addCovers(tree, scenario, device);
  addInputs(tree, scenario, device, condition);
  addOutputs(tree, scenario, device, condition);
  addMarker(tree, scenario, device, condition);
  addSupplies(tree, scenario, device);
  addMediaPath(tree, scenario, device, condition);
  addChannels(tree, scenario, device);
  addInterpreters(tree, scenario, device);
  addConsole(tree, scenario, device, condition);
  addAlerts(tree, device, condition);
}

function addGeneral(tree: ObjectTree, scenario: PrinterScenario, device: number, condition: Condition): void {
  tree.row(device, {
    prtGeneralConfigChanges: 3,
    prtGeneralCurrentLocalization: 1,
    prtGeneralReset: 'notResetting',
    prtInputDefaultIndex: 1,
    prtOutputDefaultIndex: 1,
    prtMarkerDefaultIndex: 1,
    prtMediaPathDefaultIndex: 1,
    prtConsoleLocalization: 1,
    prtConsoleNumberOfDisplayLines: 2,
    prtConsoleNumberOfDisplayChars: 24,
    prtConsoleDisable: 'enabled',
    prtGeneralPrinterName: scenario.callsItself ?? scenario.name,
    prtGeneralSerialNumber: serialOf(scenario),
    prtAlertCriticalEvents: condition.rows.filter((row) => row.severity === 3).length,
    prtAlertAllEvents: condition.rows.length,
  });
  tree.row(`${device}.1`, {
    prtLocalizationLanguage: 'en',
    prtLocalizationCountry: 'GB',
    prtLocalizationCharacterSet: UTF8,
  });
}

function addCovers(tree: ObjectTree, scenario: PrinterScenario, device: number): void {
  scenario.covers.forEach((cover, position) => {
    tree.row(`${device}.${position + 1}`, { prtCoverDescription: cover.name, prtCoverStatus: cover.state });
  });
}

function addInputs(tree: ObjectTree, scenario: PrinterScenario, device: number, condition: Condition): void {
  scenario.trays.forEach((tray, position) => {
    const size = MEDIA_SIZES[tray.media];
    // The registry counts hundredths of a millimetre, the MIB micrometres.
    const feed = size ? size.y * 10 : -2;
    const across = size ? size.x * 10 : -2;
    tree.row(`${device}.${position + 1}`, {
      prtInputType: tray.type,
      prtInputDimUnit: 'micrometers',
      prtInputMediaDimFeedDirDeclared: feed,
      prtInputMediaDimXFeedDirDeclared: across,
      prtInputMediaDimFeedDirChosen: feed,
      prtInputMediaDimXFeedDirChosen: across,
      prtInputCapacityUnit: tray.unit,
      prtInputMaxCapacity: tray.capacity,
      prtInputCurrentLevel: tray.level,
      prtInputStatus: tray.status ?? subUnitStatus(condition.rows, 'input', position + 1),
      prtInputMediaName: tray.media,
      prtInputName: tray.name,
      prtInputDescription: tray.name,
    });
  });
}

function addOutputs(tree: ObjectTree, scenario: PrinterScenario, device: number, condition: Condition): void {
  scenario.outputs.forEach((output, position) => {
    tree.row(`${device}.${position + 1}`, {
      prtOutputType: output.type,
      prtOutputCapacityUnit: 'sheets',
      prtOutputMaxCapacity: output.capacity,
      prtOutputRemainingCapacity: output.level,
      prtOutputStatus: output.status ?? subUnitStatus(condition.rows, 'output', position + 1),
      prtOutputName: output.name,
      prtOutputDescription: output.name,
      prtOutputStackingOrder: 'firstToLast',
      prtOutputPageDeliveryOrientation: 'faceDown',
    });
  });
}

function addMarker(tree: ObjectTree, scenario: PrinterScenario, device: number, condition: Condition): void {
  tree.row(`${device}.1`, {
    prtMarkerMarkTech: scenario.technology,
    prtMarkerCounterUnit: scenario.counterUnit,
    prtMarkerLifeCount: scenario.lifePages,
    prtMarkerPowerOnCount: scenario.powerOnPages,
    prtMarkerProcessColorants: scenario.colour ? 4 : 1,
    prtMarkerSpotColorants: 0,
    prtMarkerAddressabilityUnit: 'tenThousandthsOfInches',
    prtMarkerAddressabilityFeedDir: 600,
    prtMarkerAddressabilityXFeedDir: 600,
    prtMarkerStatus: subUnitStatus(condition.rows, 'marker', 1),
  });
}

/** Supplies, and one colorant row for each colour that they name. */
function addSupplies(tree: ObjectTree, scenario: PrinterScenario, device: number): void {
  const colours = [...new Set(scenario.supplies.flatMap((supply) => (supply.colour ? [supply.colour] : [])))];
  colours.forEach((colour, position) => {
    tree.row(`${device}.${position + 1}`, {
      prtMarkerColorantMarkerIndex: 1,
      prtMarkerColorantRole: 'process',
      prtMarkerColorantValue: colour,
      prtMarkerColorantTonality: 256,
    });
  });
  scenario.supplies.forEach((supply, position) => {
    tree.row(`${device}.${position + 1}`, {
      prtMarkerSuppliesMarkerIndex: 1,
      prtMarkerSuppliesColorantIndex: supply.colour ? colours.indexOf(supply.colour) + 1 : 0,
      prtMarkerSuppliesClass: supply.class,
      prtMarkerSuppliesType: supply.type,
      prtMarkerSuppliesDescription: supplyName(supply),
      prtMarkerSuppliesSupplyUnit: supply.unit,
      prtMarkerSuppliesMaxCapacity: supply.capacity,
      prtMarkerSuppliesLevel: supply.level,
    });
  });
}

/** What a supply calls itself: `black toner cartridge`. */
export function supplyName(supply: PrinterScenario['supplies'][number]): string {
  const type = supply.type.replace(/[A-Z]/g, (capital) => ` ${capital.toLowerCase()}`);
  return supply.name ?? (supply.colour ? `${supply.colour} ${type}` : type);
}

function addMediaPath(tree: ObjectTree, scenario: PrinterScenario, device: number, condition: Condition): void {
  tree.row(`${device}.1`, {
    prtMediaPathMaxSpeedPrintUnit: 'sheetsPerHour',
    prtMediaPathMediaSizeUnit: 'micrometers',
    prtMediaPathMaxSpeed: scenario.colour ? 1_500 : 2_000,
    prtMediaPathMaxMediaFeedDir: 355_600,
    prtMediaPathMaxMediaXFeedDir: 215_900,
    prtMediaPathType: 'simplex',
    prtMediaPathDescription: 'Straight path',
    prtMediaPathStatus: subUnitStatus(condition.rows, 'mediaPath', 1),
  });
}

function addChannels(tree: ObjectTree, scenario: PrinterScenario, device: number): void {
  const kinds = [
    ...(scenario.raw === 'closed' ? [] : ['chPort9100']),
    ...(scenario.lpd === 'closed' ? [] : ['chLPDServer']),
    ...(scenario.ipp ? ['chIPP'] : []),
  ];
  kinds.forEach((kind, position) => {
    tree.row(`${device}.${position + 1}`, {
      prtChannelType: kind,
      prtChannelState: 'printDataAccepted',
      prtChannelIfIndex: 2,
      prtChannelStatus: 0,
    });
  });
}

function addInterpreters(tree: ObjectTree, scenario: PrinterScenario, device: number): void {
  scenario.languages.forEach((language, position) => {
    tree.row(`${device}.${position + 1}`, {
      prtInterpreterLangFamily: language,
      prtInterpreterDescription: language.replace(/^lang/, ''),
      prtInterpreterDefaultOrientation: 'portrait',
      prtInterpreterTwoWay: 'yes',
    });
  });
}

function addConsole(tree: ObjectTree, scenario: PrinterScenario, device: number, condition: Condition): void {
  for (const [position, line] of consoleOf(scenario, condition).entries()) {
    tree.set('prtConsoleDisplayBufferText', `${device}.${position + 1}`, line);
  }
  const critical = condition.rows.some((row) => row.severity === 3);
  tree.row(`${device}.1`, {
    prtConsoleOnTime: critical ? 1 : 0,
    prtConsoleOffTime: 0,
    prtConsoleColor: 'red',
    prtConsoleDescription: 'Attention',
  });
}

/** What its panel reads: the scenario's words, else the first alert's, else its state. */
export function consoleOf(scenario: PrinterScenario, condition: Condition): readonly string[] {
  if (scenario.console) return scenario.console;
  const first = condition.rows.find((row) => row.alert.description !== '')?.alert.description;
  const words = {
    idle: 'Ready',
    printing: 'Printing',
    asleep: 'Sleep',
    warmup: 'Warming up',
    paused: 'Paused',
    stopped: 'Stopped',
  };
  return [first ?? words[scenario.state]];
}

function addAlerts(tree: ObjectTree, device: number, condition: Condition): void {
  for (const { alert, row, severity, group, code } of condition.rows) {
    tree.row(`${device}.${row}`, {
      prtAlertIndex: row,
      prtAlertSeverityLevel: severity,
      prtAlertTrainingLevel: alert.training,
      prtAlertGroup: group,
      prtAlertGroupIndex: alert.index,
      prtAlertLocation: alert.location,
      prtAlertCode: code,
      prtAlertDescription: alert.description,
      prtAlertTime: alert.ticks,
    });
  }
}

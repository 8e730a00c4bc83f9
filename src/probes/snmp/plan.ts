import { type MibObject, OBJECTS } from '../../registry/objects.generated.js';
import { ENTITY_OBJECTS } from './entity.js';
import { FINISHER_OBJECTS } from './finisher.js';

/** Groups of scalars, all read by the first question. Name of the record → objects. */
export const SCALAR_GROUPS: Readonly<Record<string, readonly string[]>> = {
  system: ['sysDescr', 'sysObjectID', 'sysUpTime', 'sysContact', 'sysName', 'sysLocation', 'sysServices'],
  hrSystem: ['hrSystemUptime', 'hrSystemDate', 'hrMemorySize'],
  ppmGeneral: ['ppmGeneralNaturalLanguage', 'ppmGeneralNumberOfPrinters', 'ppmGeneralNumberOfPorts'],
};

/**
 * Tables and the columns that a diagnosis needs. `ifTable` takes two columns of ifXTable, whose rows have the same
 * index.
 */
export const TABLES: Readonly<Record<string, readonly string[]>> = {
  hrPrinterTable: ['hrPrinterStatus', 'hrPrinterDetectedErrorState'],
  hrDeviceTable: ['hrDeviceType', 'hrDeviceDescr', 'hrDeviceID', 'hrDeviceStatus', 'hrDeviceErrors'],
  prtAlertTable: [
    'prtAlertSeverityLevel',
    'prtAlertTrainingLevel',
    'prtAlertGroup',
    'prtAlertGroupIndex',
    'prtAlertLocation',
    'prtAlertCode',
    'prtAlertDescription',
    'prtAlertTime',
  ],
  prtGeneralTable: [
    'prtGeneralConfigChanges',
    'prtGeneralCurrentLocalization',
    'prtGeneralCurrentOperator',
    'prtGeneralServicePerson',
    'prtInputDefaultIndex',
    'prtOutputDefaultIndex',
    'prtMarkerDefaultIndex',
    'prtMediaPathDefaultIndex',
    'prtConsoleLocalization',
    'prtConsoleNumberOfDisplayLines',
    'prtConsoleNumberOfDisplayChars',
    'prtConsoleDisable',
    'prtGeneralPrinterName',
    'prtGeneralSerialNumber',
    'prtAlertCriticalEvents',
    'prtAlertAllEvents',
  ],
  prtMarkerTable: [
    'prtMarkerMarkTech',
    'prtMarkerCounterUnit',
    'prtMarkerLifeCount',
    'prtMarkerPowerOnCount',
    'prtMarkerProcessColorants',
    'prtMarkerSpotColorants',
    'prtMarkerAddressabilityUnit',
    'prtMarkerAddressabilityFeedDir',
    'prtMarkerAddressabilityXFeedDir',
    'prtMarkerStatus',
  ],
  prtMarkerSuppliesTable: [
    'prtMarkerSuppliesMarkerIndex',
    'prtMarkerSuppliesColorantIndex',
    'prtMarkerSuppliesClass',
    'prtMarkerSuppliesType',
    'prtMarkerSuppliesDescription',
    'prtMarkerSuppliesSupplyUnit',
    'prtMarkerSuppliesMaxCapacity',
    'prtMarkerSuppliesLevel',
  ],
  prtMarkerColorantTable: [
    'prtMarkerColorantMarkerIndex',
    'prtMarkerColorantRole',
    'prtMarkerColorantValue',
    'prtMarkerColorantTonality',
  ],
  prtInputTable: [
    'prtInputType',
    'prtInputDimUnit',
    'prtInputMediaDimFeedDirDeclared',
    'prtInputMediaDimXFeedDirDeclared',
    'prtInputMediaDimFeedDirChosen',
    'prtInputMediaDimXFeedDirChosen',
    'prtInputCapacityUnit',
    'prtInputMaxCapacity',
    'prtInputCurrentLevel',
    'prtInputStatus',
    'prtInputMediaName',
    'prtInputName',
    'prtInputDescription',
    'prtInputMediaType',
    'prtInputMediaColor',
  ],
  prtOutputTable: [
    'prtOutputType',
    'prtOutputCapacityUnit',
    'prtOutputMaxCapacity',
    'prtOutputRemainingCapacity',
    'prtOutputStatus',
    'prtOutputName',
    'prtOutputDescription',
  ],
  prtCoverTable: ['prtCoverDescription', 'prtCoverStatus'],
  prtMediaPathTable: [
    'prtMediaPathMaxSpeedPrintUnit',
    'prtMediaPathMaxSpeed',
    'prtMediaPathType',
    'prtMediaPathDescription',
    'prtMediaPathStatus',
  ],
  prtChannelTable: [
    'prtChannelType',
    'prtChannelProtocolVersion',
    'prtChannelCurrentJobCntlLangIndex',
    'prtChannelDefaultPageDescLangIndex',
    'prtChannelState',
    'prtChannelIfIndex',
    'prtChannelStatus',
    'prtChannelInformation',
  ],
  prtInterpreterTable: [
    'prtInterpreterLangFamily',
    'prtInterpreterLangLevel',
    'prtInterpreterLangVersion',
    'prtInterpreterDescription',
    'prtInterpreterVersion',
  ],
  prtConsoleDisplayBufferTable: ['prtConsoleDisplayBufferText'],
  prtConsoleLightTable: ['prtConsoleOnTime', 'prtConsoleOffTime', 'prtConsoleColor', 'prtConsoleDescription'],
  prtLocalizationTable: ['prtLocalizationLanguage', 'prtLocalizationCountry', 'prtLocalizationCharacterSet'],
  hrStorageTable: [
    'hrStorageType',
    'hrStorageDescr',
    'hrStorageAllocationUnits',
    'hrStorageSize',
    'hrStorageUsed',
    'hrStorageAllocationFailures',
  ],
  ifTable: [
    'ifDescr',
    'ifType',
    'ifSpeed',
    'ifPhysAddress',
    'ifAdminStatus',
    'ifOperStatus',
    'ifLastChange',
    'ifInOctets',
    'ifInErrors',
    'ifInDiscards',
    'ifOutErrors',
    'ifName',
    'ifHighSpeed',
  ],
  prtStorageRefTable: ['prtStorageRefIndex'],
  entPhysicalTable: ['entPhysicalClass', 'entPhysicalFirmwareRev', 'entPhysicalSoftwareRev'],
  ppmPrinterTable: [
    'ppmPrinterName',
    'ppmPrinterIEEE1284DeviceId',
    'ppmPrinterNumberOfPorts',
    'ppmPrinterPreferredPortIndex',
    'ppmPrinterHrDeviceIndex',
    'ppmPrinterSnmpQueryEnabled',
  ],
  ppmPortTable: [
    'ppmPortEnabled',
    'ppmPortName',
    'ppmPortServiceNameOrURI',
    'ppmPortProtocolType',
    'ppmPortProtocolTargetPort',
    'ppmPortProtocolAltSourceEnabled',
    'ppmPortPrtChannelIndex',
    'ppmPortLprByteCountEnabled',
  ],
  finDeviceTable: [
    'finDeviceType',
    'finDevicePresentOnOff',
    'finDeviceCapacityUnit',
    'finDeviceMaxCapacity',
    'finDeviceCurrentCapacity',
    'finDeviceStatus',
    'finDeviceDescription',
  ],
  finSupplyTable: [
    'finSupplyDeviceIndex',
    'finSupplyClass',
    'finSupplyType',
    'finSupplyDescription',
    'finSupplyUnit',
    'finSupplyMaxCapacity',
    'finSupplyCurrentLevel',
    'finSupplyColorName',
  ],
};

/** One question of the first wave, or of a later one when an object has been seen by then. */
export interface Batch {
  /** Whole tables, or single columns (`finDeviceType`). */
  readonly of: readonly string[];
  /**
   * GETBULK max-repetitions: one more than the rows that most printers have, so that one reply also shows the end.
   */
  readonly repetitions: number;
  /** Asked only when this object has a value. */
  readonly when?: string;
}

/** The questions in order of weight: seven of them read what nearly every printer has. */
export const BATCHES: readonly Batch[] = [
  { of: ['hrPrinterTable', 'hrDeviceTable', 'prtAlertTable'], repetitions: 5 },
  { of: ['prtMarkerSuppliesTable', 'prtMarkerColorantTable'], repetitions: 8 },
  { of: ['prtInputTable'], repetitions: 6 },
  { of: ['prtGeneralTable', 'prtMarkerTable', 'prtStorageRefTable', 'entPhysicalFirmwareRev'], repetitions: 2 },
  { of: ['prtCoverTable', 'prtOutputTable', 'prtMediaPathTable', 'finDeviceType'], repetitions: 5 },
  { of: ['prtInterpreterTable', 'prtChannelTable', 'prtLocalizationTable'], repetitions: 9 },
  {
    of: ['prtConsoleDisplayBufferTable', 'prtConsoleLightTable', 'hrStorageTable', 'ifTable'],
    repetitions: 5,
  },
  { of: ['ppmPrinterTable', 'ppmPortTable'], repetitions: 5, when: 'ppmGeneralNumberOfPrinters' },
  { of: ['finDeviceTable', 'finSupplyTable'], repetitions: 5, when: 'finDeviceType' },
  { of: ['entPhysicalTable'], repetitions: 5, when: 'entPhysicalFirmwareRev' },
];

const GENERAL_IDENTITY = ['prtGeneralCurrentLocalization', 'prtGeneralPrinterName', 'prtGeneralSerialNumber'];

/**
 * What tells who it is, and whether it is a printer at all: one column of each table whose rows prove one, and the words of
 * a device. For a sweep, which meets many hosts and is to cost each of them little.
 */
export const IDENTITY_BATCHES: readonly Batch[] = [
  { of: ['hrPrinterStatus', 'hrDeviceType', 'hrDeviceDescr'], repetitions: 5 },
  { of: [...GENERAL_IDENTITY, 'prtMarkerMarkTech', 'prtInputType', 'prtOutputType'], repetitions: 3 },
  { of: ['ifType', 'ifPhysAddress', 'prtLocalizationCharacterSet'], repetitions: 4 },
  { of: ['ppmPrinterIEEE1284DeviceId'], repetitions: 3, when: 'ppmGeneralNumberOfPrinters' },
];

/**
 * Objects whose octets are never text: bits, hardware addresses, dates. They stay octets even where they look like
 * letters.
 */
const BINARY_SYNTAX = /^(PhysAddress|DateAndTime)/;
const BINARY_OBJECTS: readonly string[] = ['hrPrinterDetectedErrorState'];

export function isBinary(name: string): boolean {
  return BINARY_OBJECTS.includes(name) || BINARY_SYNTAX.test(objectNamed(name).syntax);
}

/** Throws RangeError for a name that no table of objects holds: a mistake in the plan, found by a test. */
export function objectNamed(name: string): MibObject {
  const object = OBJECTS[name] ?? FINISHER_OBJECTS[name] ?? ENTITY_OBJECTS[name];
  if (object === undefined) throw new RangeError(`no object ${name}`);
  return object;
}

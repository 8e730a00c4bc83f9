/** Who a printer is, joined field by field. The order of each list is the precedence. */
import type { Identity } from '../../model/printer.js';
import { type DeviceId, readDeviceId } from './device-id.js';
import type { DnsSdReading } from './dns-sd.js';
import { readHardwareAddresses } from './hardware-address.js';
import { collections, firstText, type IppReading, texts } from './ipp-values.js';
import type { Note } from './levels.js';
import { choose, type From } from './precedence.js';
import { deviceRows, plainRows, type Row, type SnmpTables, scalar } from './snmp-tables.js';
import type { TextReader } from './text.js';

export interface IdentitySources {
  readonly tables: SnmpTables | undefined;
  /** hrDeviceIndex in Printer-MIB, and in HOST-RESOURCES-MIB. */
  readonly device: number | null;
  readonly host: number | null;
  readonly text: TextReader;
  readonly ipp: IppReading | undefined;
  readonly dnsSd: DnsSdReading | undefined;
}

/** Row of prtGeneralTable, whose only index is hrDeviceIndex; some agents add a second one. */
export function generalRow(tables: SnmpTables, device: number): Row | undefined {
  const plain = plainRows(tables, 'prtGeneralTable').find(({ index }) => index === device);
  return (plain ?? deviceRows(tables, 'prtGeneralTable', device)[0])?.row;
}

export function hrDeviceRow(tables: SnmpTables, device: number): Row | undefined {
  return plainRows(tables, 'hrDeviceTable').find(({ index }) => index === device)?.row;
}

/** Bare lower-case UUID of `urn:uuid:…` or of the bare form; null otherwise. */
export function bareUuid(text: string | null | undefined): string | null {
  const parts = /^(?:urn:uuid:)?([0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12})$/i.exec(text ?? '');
  return parts?.[1]?.toLowerCase() ?? null;
}

/** A web address that may be followed; null for any other scheme. */
function webAddress(text: string | null | undefined): string | null {
  return /^https?:\/\/[^\s"'<>]+$/i.test(text ?? '') ? (text ?? null) : null;
}

interface SnmpIdentity {
  readonly general: (column: string) => string | null;
  readonly device: (column: string) => string | null;
  readonly system: (name: string) => string | null;
  readonly portId: DeviceId;
}

function snmpIdentity({ tables, device, host, text }: IdentitySources): SnmpIdentity {
  const general = tables === undefined || device === null ? undefined : generalRow(tables, device);
  const own = tables === undefined || host === null ? undefined : hrDeviceRow(tables, host);
  const portMonitor = tables === undefined ? [] : plainRows(tables, 'ppmPrinterTable');
  const id = portMonitor.length === 1 ? text(portMonitor[0]?.row.get('ppmPrinterIEEE1284DeviceId')) : null;
  return {
    general: (column) => text(general?.get(column)),
    device: (column) => text(own?.get(column)),
    system: (name) => (tables === undefined ? null : text(scalar(tables, name))),
    portId: readDeviceId(id),
  };
}

function contactByIpp(ipp: IppReading | undefined): string | null {
  const [contact] = ipp === undefined ? [] : collections(ipp.attributes, 'printer-contact-col');
  return contact === undefined ? null : firstText(contact, 'contact-name');
}

function firmware(ipp: IppReading | undefined): string | null {
  if (ipp === undefined) return null;
  const found = new Set(texts(ipp.attributes, 'printer-firmware-string-version').filter((text) => text !== ''));
  return found.size === 0 ? null : [...found].join(', ');
}

/** IANAPhysicalClass chassis(3): the machine as a whole. */
const CHASSIS = 3;

/** entPhysicalFirmwareRev, else entPhysicalSoftwareRev, of the chassis, else of the first entity that has one (RFC 6933 section 3). */
function entityFirmware(tables: SnmpTables, text: TextReader): string | null {
  const rows = plainRows(tables, 'entPhysicalTable').map(({ row }) => row);
  const whole = rows.filter((row) => row.get('entPhysicalClass') === CHASSIS);
  for (const row of [...whole, ...rows]) {
    const said = text(row.get('entPhysicalFirmwareRev')) ?? text(row.get('entPhysicalSoftwareRev'));
    if (said !== null) return said;
  }
  return null;
}

/** Two serial numbers at one address: two devices, or a board that was exchanged. One may be a part of the other. */
function noteSerials(snmp: string | null, ipp: string | null, note: Note): void {
  if (snmp === null || ipp === null || snmp.includes(ipp) || ipp.includes(snmp)) return;
  note(`SNMP says serial number ${snmp}, IPP says ${ipp}; that of SNMP is kept.`);
}

/** Joins the identity and says where each field came from. */
export function readIdentity(sources: IdentitySources, from: From, note: Note): Identity {
  const { ipp, dnsSd, tables } = sources;
  const snmp = snmpIdentity(sources);
  const said = (name: string): string | null => (ipp === undefined ? null : firstText(ipp.attributes, name));
  const id = readDeviceId(said('printer-device-id'));
  const txt = (key: string): string | null => dnsSd?.txt(key) ?? null;
  const uuid = said('printer-uuid');
  if (uuid !== null && bareUuid(uuid) === null) note('printer-uuid is no UUID; left out.');
  const serialByIpp = id.serial ?? said('printer-serial-number');
  noteSerials(snmp.general('prtGeneralSerialNumber'), serialByIpp, note);
  return {
    name: choose(
      from,
      'name',
      [
        ['snmp', snmp.general('prtGeneralPrinterName')],
        ['ipp', said('printer-name')],
        ['snmp', snmp.system('sysName')],
        ['dns-sd', dnsSd?.instance],
      ],
      null,
    ),
    model: choose(
      from,
      'model',
      [
        ['snmp', snmp.device('hrDeviceDescr')],
        ['ipp', said('printer-make-and-model')],
        ['dns-sd', txt('ty')],
        ['snmp', snmp.portId.model],
        ['ipp', id.model],
        ['snmp', snmp.system('sysDescr')],
      ],
      null,
    ),
    serial: choose(
      from,
      'serial',
      [
        ['snmp', snmp.general('prtGeneralSerialNumber')],
        ['ipp', serialByIpp],
        ['snmp', snmp.portId.serial],
      ],
      null,
    ),
    uuid: choose(
      from,
      'uuid',
      [
        ['ipp', bareUuid(uuid)],
        ['dns-sd', bareUuid(txt('uuid'))],
      ],
      null,
    ),
    macs: choose(from, 'macs', [['snmp', tables === undefined ? null : readHardwareAddresses(tables)]], []),
    location: choose(
      from,
      'location',
      [
        ['snmp', snmp.system('sysLocation')],
        ['ipp', said('printer-location')],
        ['dns-sd', txt('note')],
      ],
      null,
    ),
    contact: choose(
      from,
      'contact',
      [
        ['snmp', snmp.system('sysContact')],
        ['snmp', snmp.general('prtGeneralServicePerson')],
        ['snmp', snmp.general('prtGeneralCurrentOperator')],
        ['ipp', contactByIpp(ipp)],
      ],
      null,
    ),
    firmware: choose(
      from,
      'firmware',
      [
        ['ipp', firmware(ipp)],
        ['snmp', tables === undefined ? null : entityFirmware(tables, sources.text)],
      ],
      null,
    ),
    adminUrl: choose(
      from,
      'adminUrl',
      [
        ['ipp', webAddress(said('printer-more-info'))],
        ['dns-sd', webAddress(txt('adminurl'))],
      ],
      null,
    ),
  };
}

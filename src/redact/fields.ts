/**
 * Which field of the evidence tells of somebody, and what it tells. Names are those of the MIBs, of the IPP registry, of PWG 5100.14
 * (keys of TXT records) and of this program's own records. A field that is not listed is running text: known words and
 * addresses are hidden in it, the rest stays.
 */
import type { WordKind } from './stand-ins.js';

/** `uri`, `path`, `device-id`, `hex`, `mac`, `name-in-certificate`, `lpd`, `label`, `port`: forms with parts of their own. `model`: tells of no one device. */
export type Treatment =
  | WordKind
  | 'uri'
  | 'path'
  | 'device-id'
  | 'mac'
  | 'fingerprint'
  | 'certificate-name'
  | 'lpd'
  | 'label'
  | 'port'
  | 'version'
  | 'model';

/** `parent.field` comes before `field`; a list's parent is the list's own name. */
export const FIELDS: Readonly<Record<string, Treatment>> = {
  // A bundle and its records
  target: 'printer',
  address: 'host',
  user: 'person',
  label: 'label',
  'value.text': 'lpd',
  mac: 'mac',
  macs: 'mac',
  'value.to': 'uri',
  subject: 'host',
  gateway: 'host',
  'tls.subject': 'certificate-name',
  fingerprint: 'fingerprint',
  serial: 'serial',
  uuid: 'text',
  'instances.name': 'printer',
  'instances.host': 'host',
  // A Windows print host's report
  host: 'host',
  hostAddress: 'host',
  'system.name': 'host',
  groups: 'group',
  'queues.name': 'queue',
  shareName: 'queue',
  queue: 'queue',
  lprQueue: 'queue',
  portName: 'port',
  'ports.name': 'port',
  comment: 'text',
  names: 'person',
  document: 'document',
  version: 'version',
  // What is remembered
  printer: 'printer',
  printers: 'printer',
  model: 'model',
  location: 'place',
  fits: 'printer',
  site: 'site',
  // SNMP
  sysName: 'host',
  sysLocation: 'place',
  sysContact: 'person',
  prtGeneralCurrentOperator: 'person',
  prtGeneralServicePerson: 'person',
  prtGeneralPrinterName: 'printer',
  prtGeneralSerialNumber: 'serial',
  ppmPrinterName: 'printer',
  ppmPrinterIEEE1284DeviceId: 'device-id',
  ppmPortServiceNameOrURI: 'queue',
  ifPhysAddress: 'mac',
  hrDeviceDescr: 'model',
  entPhysicalFirmwareRev: 'version',
  entPhysicalSoftwareRev: 'version',
  prtInterpreterVersion: 'version',
  prtInterpreterLangVersion: 'version',
  prtChannelProtocolVersion: 'version',
  // IPP
  'printer-make-and-model': 'model',
  'printer-firmware-string-version': 'version',
  'printer-name': 'printer',
  'printer-info': 'printer',
  'printer-location': 'place',
  'printer-organization': 'group',
  'printer-organizational-unit': 'group',
  'printer-dns-sd-name': 'printer',
  'printer-serial-number': 'serial',
  'printer-device-id': 'device-id',
  'contact-name': 'person',
  'contact-uri': 'person',
  'contact-vcard': 'person',
  'member-names': 'queue',
  'requesting-user-name-allowed': 'person',
  'requesting-user-name-denied': 'person',
  'job-name': 'document',
  'document-name-supplied': 'document',
  'job-originating-user-name': 'person',
  'job-originating-host-name': 'host',
};

/** Columns whose text says what a device is and how it is. Of any other column text is hidden whole. */
export const KEPT_COLUMNS =
  /^(sysDescr|hr[A-Z]\w*|if(Descr|Name)|prtAlert\w+|prtMarker\w+|prtInput\w+|prtOutput\w+|prtCover\w+|prtMediaPath\w+|prtChannel\w+|prtInterpreter\w+|prtConsole\w+|prtLocalization\w+|prtGeneral\w+|entPhysical(Firmware|Software)Rev|ppmGeneral\w+|ppmPortName|fin(Device|Supply)\w+)$/;

/** The same of IPP attributes that are text, names or octets; keywords and numbers always stay. */
export const KEPT_ATTRIBUTES =
  /^(printer-(make-and-model|kind|firmware-.+|state-message|detailed-status-messages|message-from-operator|alert|alert-description|console-(display|light)|cover|cover-description|supply|supply-description|input-tray|output-tray|finisher|finisher-description|error-policy|op-policy)|job-(printer-)?state-message|job-detailed-status-messages|job-hold-until-default|status-message|detailed-status-message|document-format.*|marker-(names|types|colors|message)|media.*|port-monitor)$/;

/** Tags of IPP whose values anybody may choose (RFC 8010 3.5.2, RFC 8011 5.1). */
export const FREE_TAGS = /^(text|name|uri$|octetString$|0x)/;

/** Keys of TXT records that say what a printer can do (PWG 5100.14 4.2.3; the rest common practice). */
export const KEPT_TXT: ReadonlySet<string> = new Set(
  'txtvers qtotal pdl product priority color duplex copies collate bind sort staple punch papermax papercustom kind urf transparent binary tbcp scan fax printer-type printer-state air tls usb_mfg usb_mdl usb_cmd mopria-certified print_wfds rfo'.split(
    ' ',
  ),
);

/** TXT keys that tell of somebody. */
export const TXT_FIELDS: Readonly<Record<string, Treatment>> = {
  note: 'place',
  ty: 'model',
  adminurl: 'uri',
  rp: 'path',
  uuid: 'text',
  rs: 'path',
  usb_sn: 'serial',
};

/** Values of print service events by name, and where they only have numbers. */
export const EVENT_FIELDS: Readonly<Record<string, Treatment>> = {
  documentname: 'document',
  document: 'document',
  username: 'person',
  user: 'person',
  owner: 'person',
  printer: 'queue',
  printername: 'queue',
  computername: 'host',
  computer: 'host',
  client: 'host',
  clientname: 'host',
  port: 'port',
  portname: 'port',
};

/** Event number → kinds of `param1`, `param2` … that tell of somebody. */
export const EVENT_NUMBERS: Readonly<Record<number, Readonly<Record<string, Treatment>>>> = {
  307: { param2: 'document', param3: 'person', param4: 'host', param5: 'queue', param6: 'port' },
  310: { param2: 'document', param3: 'person', param4: 'host', param5: 'queue', param6: 'port' },
  372: { param1: 'document', param2: 'person', param3: 'queue', param9: 'host' },
  842: { param3: 'queue' },
  23: { param1: 'queue' },
  319: { param1: 'queue' },
};

/** Events of the print service whose other values tell of drivers, modules and jobs by number. Of any other event all but numbers is hidden. */
export const KEPT_EVENTS: ReadonlySet<number> = new Set([
  1, 23, 99, 215, 307, 310, 316, 319, 372, 600, 800, 801, 802, 805, 808, 842,
]);

/** Kinds of what changed of a printer, as a record of the past names them. */
export const CHANGED: Readonly<Record<string, Treatment>> = {
  serial: 'serial',
  cartridge: 'serial',
  name: 'printer',
  address: 'host',
  mac: 'mac',
  uuid: 'text',
};

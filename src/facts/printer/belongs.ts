/** Whose answer IPP gave, where one SNMP agent speaks for several printers. */
import { readDeviceId } from './device-id.js';
import type { Devices } from './devices.js';
import { generalRow, hrDeviceRow } from './identity.js';
import { firstText, type IppReading } from './ipp-values.js';
import type { Note } from './levels.js';
import type { SnmpDevice } from './parts.js';

type Maybe = string | null | undefined;
const same = (a: Maybe, b: Maybe): boolean | null =>
  a === null || a === undefined || b === null || b === undefined
    ? null
    : a.toLowerCase().includes(b.toLowerCase()) || b.toLowerCase().includes(a.toLowerCase());

function looksLike(snmp: SnmpDevice, ipp: IppReading): boolean | null {
  const general = generalRow(snmp.tables, snmp.device);
  const serial = readDeviceId(firstText(ipp.attributes, 'printer-device-id')).serial;
  return (
    same(
      snmp.text(general?.get('prtGeneralSerialNumber')),
      serial ?? firstText(ipp.attributes, 'printer-serial-number'),
    ) ??
    same(snmp.text(general?.get('prtGeneralPrinterName')), firstText(ipp.attributes, 'printer-name')) ??
    same(
      snmp.text(hrDeviceRow(snmp.tables, snmp.host)?.get('hrDeviceDescr')),
      firstText(ipp.attributes, 'printer-make-and-model'),
    )
  );
}

/**
 * The IPP answer if it may be joined with the chosen device. With one printer it always may. With several it must
 * agree in serial number, name or model, whichever both have first; without any of these it belongs to the first.
 */
export function ippOfDevice(
  devices: Devices | undefined,
  snmp: SnmpDevice | undefined,
  ipp: IppReading | undefined,
  note: Note,
): IppReading | undefined {
  if (ipp === undefined || devices === undefined || snmp === undefined) return ipp;
  const others = devices.withPrinterMib.filter((device) => device !== snmp.device);
  if (others.length === 0) return ipp;
  if (looksLike(snmp, ipp) ?? snmp.device === devices.withPrinterMib[0]) return ipp;
  note(`The IPP answer at this address is not of device ${snmp.device}; it is left out.`);
  return undefined;
}

/** Whether what answered is a network printer, and the sentence that says why. */
import type { Devices } from './devices.js';

export interface Kind {
  readonly isPrinter: boolean;
  readonly isPrinterBecause: string;
}

/**
 * A printer has Printer-MIB rows or answers Get-Printer-Attributes. An hrDevicePrinter row alone is no proof: computers,
 * file servers and cameras list one for something that is attached to them or that they imagine.
 */
export function readKind(devices: Devices | undefined, ippAnswered: boolean): Kind {
  const device = devices?.chosen ?? null;
  const yes = (isPrinterBecause: string): Kind => ({ isPrinter: true, isPrinterBecause });
  const no = (isPrinterBecause: string): Kind => ({ isPrinter: false, isPrinterBecause });
  const mib = devices !== undefined && device !== null && devices.withPrinterMib.includes(device);
  const listed = devices !== undefined && devices.host !== null && devices.listed.includes(devices.host);
  if (mib && ippAnswered) return yes(`It has Printer-MIB rows for device ${device} and answers IPP as a printer.`);
  if (mib && listed) return yes(`It lists device ${device} as a printer and has Printer-MIB rows for it.`);
  if (mib) return yes(`It has Printer-MIB rows for device ${device}.`);
  if (ippAnswered) return yes('It answers IPP Get-Printer-Attributes as a printer.');
  if (listed)
    return no(
      `It lists device ${device} as a printer, but has no Printer-MIB rows for it and gave no IPP printer answer: a computer or server with a printer attached or only set up.`,
    );
  if (devices !== undefined && device !== null && devices.withPrinterMib.length > 0)
    return no(
      `Device ${device} has no Printer-MIB rows; this agent has them for ${devices.withPrinterMib.join(', ')}.`,
    );
  return no('It answers SNMP, but lists no printer and has no Printer-MIB rows, and gave no IPP printer answer.');
}

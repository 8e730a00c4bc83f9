/** Evidence built by hand for the tests of the reader: one record a table, one IPP answer, one announcement. */

import type { PrinterFact } from '../../../src/facts/fact.js';
import { readPrinter } from '../../../src/facts/printer/printer.js';
import type {
  DnsSdEvidence,
  Evidence,
  IppAttributes,
  IppEvidence,
  IppValue,
  SnmpEvidence,
  SnmpRows,
  SnmpValue,
} from '../../../src/model/evidence.js';
import type { PrinterDocument } from '../../../src/model/printer.js';

export const ADDRESS = '192.0.2.21';
export const READ_AT = '2026-01-31T09:00:00.000Z';
const timing = { at: READ_AT, tookMs: 2 } as const;

export function table(what: string, rows: SnmpRows): SnmpEvidence {
  const value = { kind: 'table', rows, problems: [] } as const;
  return { id: what, source: 'snmp', what, about: 'target', subject: ADDRESS, outcome: 'answered', value, ...timing };
}

/** All tables of a made-up agent. */
export function tables(all: Readonly<Record<string, SnmpRows>>): readonly SnmpEvidence[] {
  return Object.entries(all).map(([what, rows]) => table(what, rows));
}

export const printerOid: SnmpValue = { oid: '1.3.6.1.2.1.25.3.1.5' };
export const hex = (text: string): SnmpValue => ({ hex: Buffer.from(text, 'latin1').toString('hex') });

export function value(tag: string, inner: IppValue['value']): IppValue {
  return { tag, value: inner };
}

/** Attributes out of plain values: numbers are integers, strings keywords, unless given with their tag. */
export function attributes(plain: Readonly<Record<string, unknown>>): IppAttributes {
  return Object.fromEntries(
    Object.entries(plain).map(([name, given]) => [
      name,
      (Array.isArray(given) ? given : [given]).map((one): IppValue => {
        if (typeof one === 'number') return value('integer', one);
        if (typeof one === 'boolean') return value('boolean', one);
        return typeof one === 'string' ? value('keyword', one) : (one as IppValue);
      }),
    ]),
  );
}

export function octets(text: string): IppValue {
  return value('octetString', { hex: Buffer.from(text, 'utf8').toString('hex') });
}

export function ippAnswer(plain: Readonly<Record<string, unknown>>): IppEvidence {
  return {
    id: 'ipp',
    source: 'ipp',
    what: 'Get-Printer-Attributes',
    about: 'target',
    subject: ADDRESS,
    outcome: 'answered',
    value: {
      uri: `ipp://${ADDRESS}/ipp/print`,
      httpStatus: 200,
      version: '2.0',
      status: 'successful-ok',
      attributes: attributes(plain),
      problems: [],
    },
    ...timing,
  };
}

export function announcement(txt: Readonly<Record<string, string>>, name = 'Front desk'): DnsSdEvidence {
  const instances = [{ name, type: '_ipp._tcp', host: 'p.local', port: 631, addresses: [ADDRESS], txt }];
  return {
    id: 'dns-sd',
    source: 'dns-sd',
    what: '_ipp._tcp',
    about: 'target',
    subject: ADDRESS,
    outcome: 'answered',
    value: { instances },
    ...timing,
  };
}

export function read(evidence: readonly Evidence[], deviceIndex?: number): PrinterFact {
  const options = { address: ADDRESS, readAt: READ_AT, ...(deviceIndex === undefined ? {} : { deviceIndex }) };
  const fact = readPrinter(evidence, options);
  if (fact === undefined) throw new Error('nothing was read');
  return fact;
}

export function readTables(all: Readonly<Record<string, SnmpRows>>, deviceIndex?: number): PrinterDocument {
  return read(tables(all), deviceIndex).document;
}

export function readIpp(plain: Readonly<Record<string, unknown>>): PrinterDocument {
  return read([ippAnswer({ 'printer-state': value('enum', 3), ...plain })]).document;
}

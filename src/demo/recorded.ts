/** Evidence of one look at a printer → a device file's content that answers the same questions with the same words. */
import { Buffer } from 'node:buffer';
import type {
  Evidence,
  IppAttributes,
  IppExchangeValue,
  IppValue,
  SnmpEvidenceValue,
  SnmpValue,
} from '../model/evidence.js';
import { type MibObject, OBJECTS } from '../registry/objects.generated.js';
import type { ScenarioInput } from './device.js';
import type { WrittenIpp, WrittenValue } from './ipp-value.js';
import { typeOf } from './snmp-objects.js';

type PrinterInput = Extract<ScenarioInput, { kind?: 'printer' | undefined }>;
type SnmpInput = Exclude<PrinterInput['snmp'], false | undefined>;
type IppInput = Exclude<PrinterInput['ipp'], false | undefined>;

export interface Recording {
  readonly name: string;
  /** Where the office puts it. */
  readonly address: string;
  readonly evidence: readonly Evidence[];
  /** The object of a name that stands in no table of the registry's own. */
  readonly objectNamed: (name: string) => MibObject;
}

/** A device that was not asked, or gave nothing, over SNMP or IPP has no such door. */
export function recordedDevice({ name, address, evidence, objectNamed }: Recording): PrinterInput {
  const exchange = answeredExchange(evidence);
  return {
    name,
    address,
    snmp: snmpOf(evidence, objectNamed) ?? false,
    ipp: exchange === undefined ? false : ippOf(exchange),
  };
}

function snmpOf(evidence: readonly Evidence[], objectNamed: Recording['objectNamed']): SnmpInput | undefined {
  const objects: NonNullable<SnmpInput['objects']> = {};
  for (const { source, about, value } of evidence) {
    if (source !== 'snmp' || about !== 'target') continue;
    const reading = value as SnmpEvidenceValue | null;
    if (reading?.kind !== 'table') continue;
    for (const [instance, row] of Object.entries(reading.rows)) {
      for (const [column, held] of Object.entries(row)) {
        const known = Object.hasOwn(OBJECTS, column);
        const object = objectNamed(column);
        objects[`${known ? column : object.oid}.${instance}`] = written(held, object, known);
      }
    }
  }
  // What is made up for every device goes first.
  return Object.keys(objects).length === 0 ? undefined : { omit: ['1.3.6.1'], objects };
}

/** The type on the wire is that of the MIB, and is said where no table of the reader's would tell it. */
function written(value: SnmpValue, { syntax }: MibObject, known: boolean): NonNullable<SnmpInput['objects']>[string] {
  const type = typeOf(syntax);
  if (typeof value !== 'object') return known ? value : { type, value };
  if ('hex' in value) return known ? { hex: value.hex } : { type, hex: value.hex };
  return 'oid' in value ? { type: 'ObjectIdentifier', value: value.oid } : { type: 'IpAddress', value: value.ip };
}

function answeredExchange(evidence: readonly Evidence[]): IppExchangeValue | undefined {
  const record = evidence.find(
    ({ source, about, what, value }) =>
      source === 'ipp' && about === 'target' && what === 'Get-Printer-Attributes' && value !== null,
  );
  const exchange = record?.value as IppExchangeValue | undefined;
  return exchange === undefined || Object.keys(exchange.attributes).length === 0 ? undefined : exchange;
}

/** Where the made-up device is reached is its own affair. */
const OF_THE_PLACE = new Set(['printer-uri-supported', 'uri-security-supported', 'uri-authentication-supported']);

function ippOf({ uri, version, attributes }: IppExchangeValue): IppInput {
  const { pathname, protocol } = new URL(uri.replace(/^ipp/, 'http'));
  return {
    exact: true,
    path: pathname,
    ...(version === null ? {} : { versions: [version] }),
    ...(protocol === 'https:' ? { tls: 'self-signed' } : {}),
    attributes: Object.fromEntries(
      Object.entries(attributesOf(attributes)).filter(([attribute]) => !OF_THE_PLACE.has(attribute)),
    ),
  };
}

function attributesOf(attributes: IppAttributes): Record<string, WrittenIpp> {
  return Object.fromEntries(
    Object.entries(attributes).flatMap(([name, values]) => {
      const [first] = values;
      // A tag that no standard names can't be written by its name.
      if (first === undefined || first.tag.startsWith('0x')) return [];
      const all = values.flatMap(({ value }) => (value === null ? [] : [writtenValue(value)]));
      return [[name, all.length === 0 ? { tag: first.tag } : { tag: first.tag, value: all }] as const];
    }),
  );
}

function writtenValue(value: Exclude<IppValue['value'], null>): WrittenValue {
  if (typeof value !== 'object') return value;
  if ('members' in value) return { members: attributesOf(value.members) };
  if ('x' in value) return { x: value.x, y: value.y, units: value.units === 'dpcm' ? 'dpcm' : 'dpi' };
  if (!('hex' in value)) return value;
  return readable(value.hex) ?? value;
}

/** Octets that are plain words, as printers send their trays and supplies: a person can read and change those. */
function readable(hex: string): string | undefined {
  const text = Buffer.from(hex, 'hex').toString('latin1');
  return /^[ -~]+$/.test(text) ? text : undefined;
}

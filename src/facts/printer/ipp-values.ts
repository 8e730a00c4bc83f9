/** Plain readings of IPP attribute values (RFC 8011 5.1), lenient about the tag: what the value is decides. */
import { Buffer } from 'node:buffer';
import type { Evidence, IppAttributes, IppEvidence, IppValue } from '../../model/evidence.js';
import { cleanText } from './clean-text.js';
import { decodeOctets } from './text.js';

export interface IppReading {
  readonly id: string;
  readonly attributes: IppAttributes;
}

function isAnswer(record: Evidence): record is IppEvidence {
  return record.source === 'ipp' && record.about === 'target' && record.what === 'Get-Printer-Attributes';
}

/** The printer's own Get-Printer-Attributes answer; undefined when none came or it holds no printer attribute. */
export function readIppAnswer(evidence: readonly Evidence[]): IppReading | undefined {
  for (const record of evidence) {
    if (!isAnswer(record) || record.value === null) continue;
    if (record.outcome !== 'answered' && record.outcome !== 'garbled') continue;
    const { attributes } = record.value;
    const names = Object.keys(attributes ?? {});
    if (names.some((name) => name.startsWith('printer-') || name.startsWith('marker-')))
      return { id: record.id, attributes };
  }
  return undefined;
}

/** All values of an attribute; none when it is absent. */
export function valuesOf(attributes: IppAttributes, name: string): readonly IppValue[] {
  const values = Object.hasOwn(attributes, name) ? attributes[name] : undefined;
  return Array.isArray(values) ? values : [];
}

/** Text of one value; null for numbers, collections and out-of-band values. */
export function valueText(value: IppValue | undefined): string | null {
  const inner = value?.value;
  if (typeof inner === 'string') return cleanText(inner);
  if (typeof inner !== 'object' || inner === null) return null;
  if ('text' in inner && typeof inner.text === 'string') return cleanText(inner.text);
  if ('hex' in inner && typeof inner.hex === 'string') return decodeOctets(Buffer.from(inner.hex, 'hex'), null);
  return null;
}

/** Texts of all values, blank ones kept so that lists of the same length stay aligned. */
export function texts(attributes: IppAttributes, name: string): readonly string[] {
  return valuesOf(attributes, name).map((value) => valueText(value) ?? '');
}

/** First text that is not blank; null otherwise. */
export function firstText(attributes: IppAttributes, name: string): string | null {
  return texts(attributes, name).find((text) => text !== '') ?? null;
}

/** Numbers of all values, null where a value is none. */
export function numbers(attributes: IppAttributes, name: string): readonly (number | null)[] {
  return valuesOf(attributes, name).map(({ value }) => (typeof value === 'number' ? value : null));
}

export function firstNumber(attributes: IppAttributes, name: string): number | null {
  return numbers(attributes, name)[0] ?? null;
}

export function firstBoolean(attributes: IppAttributes, name: string): boolean | null {
  const value = valuesOf(attributes, name)[0]?.value;
  return typeof value === 'boolean' ? value : null;
}

/** Member attributes of every collection among the values. */
export function collections(attributes: IppAttributes, name: string): readonly IppAttributes[] {
  const found: IppAttributes[] = [];
  for (const { value } of valuesOf(attributes, name)) {
    if (typeof value === 'object' && value !== null && 'members' in value) found.push(value.members);
  }
  return found;
}

/** IPP values as a device file writes them, and as the writer of replies takes them. */
import { Buffer } from 'node:buffer';
import { z } from 'zod';
import { type IppItem, type IppRaw, item } from './ipp-writer.js';

/** A value that is more than a word or a number. `members` are those of a collection. */
export type WrittenCompound =
  | { readonly lower: number; readonly upper: number }
  | { readonly x: number; readonly y: number; readonly units: 'dpi' | 'dpcm' }
  | { readonly language: string; readonly text: string }
  | { readonly hex: string }
  | { readonly members: Readonly<Record<string, WrittenIpp>> };
export type WrittenValue = number | string | boolean | WrittenCompound;

/** A tag by its name (RFC 8010 3.5.2) and its values; an out-of-band value (3.5.2, `no-value` …) has none. */
export interface WrittenIpp {
  readonly tag: string;
  readonly value?: WrittenValue | readonly WrittenValue[] | undefined;
}

const compound: z.ZodType<WrittenCompound, WrittenCompound> = z.union([
  z.strictObject({ lower: z.number(), upper: z.number() }),
  z.strictObject({ x: z.number(), y: z.number(), units: z.enum(['dpi', 'dpcm']) }),
  z.strictObject({ language: z.string(), text: z.string() }),
  z.strictObject({ hex: z.string() }),
  z.strictObject({ members: z.lazy(() => z.record(z.string(), writtenIpp)) }),
]);
const value = z.union([z.number(), z.string(), z.boolean(), compound]);
export const writtenIpp: z.ZodType<WrittenIpp, WrittenIpp> = z.strictObject({
  tag: z.string(),
  value: z.union([value, z.array(value)]).optional(),
});

/** The values as they are put into a reply. */
export function rawValues(written: WrittenIpp['value']): IppRaw[] {
  if (written === undefined) return [];
  return (isList(written) ? written : [written]).map(rawValue);
}

function isList(written: WrittenValue | readonly WrittenValue[]): written is readonly WrittenValue[] {
  return Array.isArray(written);
}

function rawValue(written: WrittenValue): IppRaw {
  if (typeof written !== 'object') return written;
  if ('hex' in written) return Buffer.from(written.hex, 'hex');
  if (!('members' in written)) return written;
  return Object.entries(written.members).map(
    ([name, member]): IppItem => item(name, member.tag, ...rawValues(member.value)),
  );
}

import { ProgramProblem } from '../model/problem.js';
import { blockOf, holdsNobody, isPrivate, type Span, toNumber, toText } from './space.js';

/** What is to be swept: the ranges as they were named, and their addresses. */
export interface RangePlan {
  readonly names: readonly string[];
  readonly spans: readonly Span[];
  /** Addresses in all, each counted once. */
  readonly count: number;
}

export interface RangePermits {
  /** Ranges of more than 65,536 addresses too. */
  readonly yesLarge: boolean;
  /** Other people's address space too. */
  readonly allowPublic: boolean;
}

const LARGE = 65_536n;
/** Even with leave: more than this is a typing mistake (an IPv6 /64, the whole IPv4 internet). */
const ABSURD = 1n << 26n;

/**
 * Reads ranges: `192.0.2.0/24`, `192.0.2.10-192.0.2.40`, `192.0.2.10-40`, single addresses, and lists of these with commas.
 * The network and broadcast address of an IPv4 network of four or more addresses are left out: no host has them.
 * @throws ProgramProblem for what is no range, is too large, or is not the user's own to sweep
 */
export function parseRanges(texts: readonly string[], permits: RangePermits): RangePlan {
  const names = texts.flatMap((text) => text.split(',')).map((text) => text.trim());
  const wanted = names.filter((name) => name !== '');
  if (wanted.length === 0)
    throw new ProgramProblem('range-empty', 'No range was given: name one, such as 192.0.2.0/24.');
  const spans = joined(wanted.map((name) => checked(name, parseRange(name), permits)));
  const total = spans.reduce((sum, span) => sum + size(span), 0n);
  if (total > LARGE && !permits.yesLarge) throw tooLarge('The ranges together', 'hold', total);
  return { names: wanted, spans, count: Number(total) };
}

function parseRange(text: string): Span {
  const slash = /^([^/]+)\/(\d{1,3})$/.exec(text);
  if (slash !== null) return parseNetwork(text, slash[1] ?? '', Number(slash[2]));
  const dash = /^([^-]+)-([^-]+)$/.exec(text);
  if (dash !== null) return parseFromTo(text, (dash[1] ?? '').trim(), (dash[2] ?? '').trim());
  const single = toNumber(text);
  if (single === undefined) throw noAddress(text);
  const zone = zoneOf(text);
  return { family: single.family, first: single.value, last: single.value, ...(zone === undefined ? {} : { zone }) };
}

function parseNetwork(text: string, address: string, bits: number): Span {
  const number = toNumber(address);
  if (number === undefined) throw noAddress(text);
  const most = number.family === 4 ? 32 : 128;
  if (bits > most) {
    throw new ProgramProblem('range-prefix', `"${text}" has a prefix of ${bits} bits; the most is ${most}.`);
  }
  const block = blockOf(address, bits);
  const hasEnds = number.family === 4 && bits <= 30;
  return hasEnds ? { ...block, first: block.first + 1n, last: block.last - 1n } : block;
}

function parseFromTo(text: string, from: string, to: string): Span {
  const first = toNumber(from);
  const isLastOctet = first?.family === 4 && /^\d{1,3}$/.test(to) && Number(to) <= 255;
  const last = isLastOctet ? toNumber(from.slice(0, from.lastIndexOf('.') + 1) + to) : toNumber(to);
  if (first === undefined || last === undefined || first.family !== last.family) throw noAddress(text);
  if (last.value < first.value) {
    throw new ProgramProblem('range-backwards', `"${text}" ends before it begins: write the lower address first.`);
  }
  return { family: first.family, first: first.value, last: last.value };
}

function checked(name: string, span: Span, permits: RangePermits): Span {
  if (size(span) > LARGE && (!permits.yesLarge || size(span) > ABSURD))
    throw tooLarge(`"${name}"`, 'holds', size(span));
  if (holdsNobody(span)) {
    throw new ProgramProblem(
      'range-nobody',
      `"${name}" holds addresses that no host can have (unspecified, multicast or reserved).`,
    );
  }
  if (!isPrivate(span) && !permits.allowPublic) {
    throw new ProgramProblem(
      'range-public',
      `"${name}" is public address space; sweep your own network, or add --allow-public if these addresses are yours.`,
    );
  }
  return span;
}

function noAddress(text: string): ProgramProblem {
  const says = `"${text.slice(0, 80)}" is no address and no range; write 192.0.2.0/24, 192.0.2.10-40 or single addresses.`;
  return new ProgramProblem('range-no-address', says);
}

function tooLarge(what: string, verb: string, total: bigint): ProgramProblem {
  const says = `${what} ${verb} ${total.toLocaleString('en-GB')} addresses;`;
  return total > ABSURD
    ? new ProgramProblem(
        'range-too-large',
        `${says} that can't be swept one by one: name smaller ranges or single addresses.`,
      )
    : new ProgramProblem('range-too-large', `${says} above 65,536 it is swept only with --yes-large.`);
}

function size(span: Span): bigint {
  return span.last - span.first + 1n;
}

/** Overlapping and touching spans made one, so that no address is asked twice; otherwise in the order named. */
function joined(spans: readonly Span[]): readonly Span[] {
  const out: Span[] = [];
  for (const span of spans) {
    let whole = span;
    for (let index = out.length - 1; index >= 0; index -= 1) {
      const other = out[index];
      if (other === undefined || other.family !== whole.family || other.zone !== whole.zone) continue;
      if (whole.first > other.last + 1n || other.first > whole.last + 1n) continue;
      out.splice(index, 1);
      whole = {
        ...whole,
        first: lower(whole.first, other.first),
        last: higher(whole.last, other.last),
      };
    }
    out.push(whole);
  }
  return out;
}

function lower(a: bigint, b: bigint): bigint {
  return [a, b].sort(byValue)[0] ?? a;
}

function higher(a: bigint, b: bigint): bigint {
  return [a, b].sort(byValue)[1] ?? b;
}

function byValue(a: bigint, b: bigint): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** Every address of the plan once; those of `first` that lie in it come first. */
export function* addressesOf(plan: RangePlan, first: readonly string[] = []): Generator<string> {
  const early = new Set(first.filter((address) => contains(plan, address)).map(plainForm));
  yield* early;
  for (const span of plan.spans) {
    for (let value = span.first; value <= span.last; value += 1n) {
      const address = withZone(toText(span.family, value), span.zone);
      if (!early.has(address)) yield address;
    }
  }
}

/** True when the address lies in one of the ranges. */
export function contains(plan: RangePlan, address: string): boolean {
  const number = toNumber(address);
  if (number === undefined) return false;
  const zone = zoneOf(address);
  return plan.spans.some(
    (span) =>
      span.family === number.family &&
      span.first <= number.value &&
      number.value <= span.last &&
      (span.zone === undefined || zone === undefined || span.zone === zone),
  );
}

function plainForm(address: string): string {
  const number = toNumber(address);
  return number === undefined ? address : withZone(toText(number.family, number.value), zoneOf(address));
}

function zoneOf(address: string): string | undefined {
  return address.split('%', 2)[1] || undefined;
}

function withZone(address: string, zone: string | undefined): string {
  return zone === undefined ? address : `${address}%${zone}`;
}

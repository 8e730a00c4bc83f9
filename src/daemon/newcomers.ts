import { EVENT_SCHEMA, type EventDocument } from '../model/event.js';
import type { FoundPrinter } from '../model/sweep.js';
import type { Target } from '../model/target.js';
import type { Change } from '../store/change.js';
import { digest } from './digest.js';
import type { Watched } from './watch.js';

/** What is known of a printer's identity, beside its name. */
export interface Known {
  readonly watched: Watched;
  /** `uuid …`, `serial …`, `mac …`, `address …`, as the store has them. */
  readonly identities: ReadonlySet<string>;
}

export interface Newcomers {
  /** Printers nobody knew. */
  readonly appeared: readonly Watched[];
  /** Known ones that were found by themselves and now answer elsewhere. */
  readonly moved: readonly Watched[];
  readonly changes: ReadonlyMap<string, readonly Change[]>;
}

/** IPP, raw and LPD (RFC 8010, common practice, RFC 1179). */
const PRINT_PORTS = [631, 9100, 515];
const LONGEST_NAME = 60;

/** Sorts what a sweep found into printers that are known and those that are not. Pure. */
export function newcomersOf(found: readonly FoundPrinter[], known: readonly Known[], at: number): Newcomers {
  const names = new Set(known.map(({ watched }) => watched.name.toLowerCase()));
  const appeared: Watched[] = [];
  const moved: Watched[] = [];
  const changes = new Map<string, readonly Change[]>();
  const matches = matchesOf(found, known);
  for (const printer of found) {
    const match = matches.get(printer);
    if (match === undefined) {
      const name = freeName(printer, names);
      names.add(name.toLowerCase());
      appeared.push(watchedOf(printer, name));
      changes.set(name, changesOf(printer, name, at));
    } else if (!match.watched.configured && !addressesOf(printer).includes(match.watched.target.host)) {
      moved.push(watchedOf(printer, match.watched.name));
      changes.set(match.watched.name, changesOf(printer, match.watched.name, at));
    }
  }
  return { appeared, moved, changes };
}

function addressesOf({ address, alsoAt }: FoundPrinter): readonly string[] {
  return [address, ...alsoAt];
}

/**
 * An identifier decides. The address does only for a known printer that was not found elsewhere: when an office is renumbered, one printer
 * gets the address that another had.
 */
function matchesOf(found: readonly FoundPrinter[], known: readonly Known[]): ReadonlyMap<FoundPrinter, Known> {
  const matches = new Map<FoundPrinter, Known>();
  for (const printer of found) {
    const same = known.find((one) => isTheSame(printer, one)) ?? known.find((one) => sharesIdentity(printer, one));
    if (same !== undefined) matches.set(printer, same);
  }
  const here = new Set([...matches].filter(([printer, one]) => sharesAddress(printer, one)).map(([, one]) => one));
  const elsewhere = new Set([...matches.values()].filter((one) => !here.has(one)));
  for (const printer of found) {
    const there = known.find((one) => !elsewhere.has(one) && sharesAddress(printer, one));
    if (!matches.has(printer) && there !== undefined) matches.set(printer, there);
  }
  return matches;
}

/** By what it was known by from the first: since then another may have answered in its place. */
function isTheSame(printer: FoundPrinter, { identities }: Known): boolean {
  for (const kind of ['serial', 'uuid', 'mac'] as const) {
    const first = [...identities].find((identity) => identity.startsWith(`${kind} `));
    if (printer[kind] !== null && first !== undefined) return first === `${kind} ${printer[kind]}`;
  }
  return false;
}

function sharesAddress(printer: FoundPrinter, { watched }: Known): boolean {
  return addressesOf(printer).includes(watched.target.host);
}

function sharesIdentity(printer: FoundPrinter, { identities }: Known): boolean {
  const own = [
    ...(printer.uuid === null ? [] : [`uuid ${printer.uuid}`]),
    ...(printer.serial === null ? [] : [`serial ${printer.serial}`]),
    ...(printer.mac === null ? [] : [`mac ${printer.mac}`]),
  ];
  return own.some((identity) => identities.has(identity));
}

/** A name that can be typed as TARGET: the printer's own where it is one and free, else its address. */
function freeName({ name, address }: FoundPrinter, taken: ReadonlySet<string>): string {
  const plain = (name ?? '')
    .trim()
    .replaceAll(/[\s/:#]+/gu, '-')
    .replaceAll(/[\p{Cc}\p{Cf}\p{Cs}]/gu, '');
  // Whole characters: half of one can stand in no address of a page (RFC 3629, section 3).
  const own = [...plain].slice(0, LONGEST_NAME).join('');
  return /^[\p{L}\p{N}][^\s]*$/u.test(own) && !taken.has(own.toLowerCase()) ? own : address;
}

function watchedOf(printer: FoundPrinter, name: string): Watched {
  const { address, ipp } = printer;
  const target: Target = {
    label: name,
    host: address,
    snmpPort: 161,
    printPorts: [...new Set([...PRINT_PORTS, ...printer.ports.filter((port) => ![80, 443].includes(port))])],
    queues: [],
    ...(ipp === null ? {} : { ippUri: ipp }),
  };
  return { name, target, group: groupOf(address), configured: false };
}

function changesOf({ address, uuid, serial, mac }: FoundPrinter, printer: string, at: number): Change[] {
  const identities = [
    ['address', address],
    ['uuid', uuid],
    ['serial', serial],
    ['mac', mac],
  ] as const;
  return [
    { kind: 'printer', printer, address, configured: false, at, lastAnswerAt: at, goneAt: null },
    ...identities.flatMap(([what, value]) =>
      value === null ? [] : [{ kind: 'identity' as const, printer, what, value, at }],
    ),
  ];
}

/** Who would fall silent together where no switch is named: neighbours in a subnet, taken as /24 or /64. */
export function groupOf(host: string): string {
  const four = /^(\d+\.\d+\.\d+)\.\d+$/.exec(host);
  if (four !== null) return `${four[1]}.0/24`;
  const six = /^([0-9a-f]{1,4}(?::[0-9a-f]{1,4}){3}):/i.exec(host);
  return six === null ? host : `${six[1]}::/64`;
}

/** The event that a printer came or went. */
export function comingOrGoing(
  kind: 'printer-new' | 'printer-gone',
  site: string,
  watched: Watched,
  at: number,
): EventDocument {
  const { name, target } = watched;
  const summary =
    kind === 'printer-new'
      ? `${name}: a printer nobody listed answers at ${target.host}.`
      : `${name}: it has not answered for a week and is no longer watched; it was last at ${target.host}.`;
  return {
    schema: EVENT_SCHEMA,
    id: digest(site, kind, name, String(at)),
    kind,
    printer: name,
    layer: null,
    cause: null,
    at: new Date(at).toISOString(),
    summary,
  };
}

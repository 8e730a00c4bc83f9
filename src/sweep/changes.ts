import type { FoundPrinter, SweepChange, SweepDocument } from '../model/sweep.js';

/** A printer that was known before, from the configuration or an earlier sweep. */
export interface Remembered {
  /** What it is called in sentences. */
  readonly label: string;
  readonly addresses: readonly string[];
  readonly serial: string | null;
  readonly uuid: string | null;
  readonly mac: string | null;
  readonly deviceIndex?: number;
}

/** What a sweep is compared with. */
export interface Memory {
  readonly against: SweepChange['against'];
  readonly printers: readonly Remembered[];
  /** Whether a printer at this address would have been found: only then is one that wasn't found gone. */
  readonly inRange: (address: string) => boolean;
}

/**
 * What differs from what was known: new, gone, moved, changed. A printer is the same when serial number, UUID or hardware
 * address agree, in this order; one of which nothing is known but where it was is the same when a printer sits there.
 * A sweep that was stopped says nothing of who is gone.
 */
export function changesSince(
  sweep: Pick<SweepDocument, 'found'>,
  memory: Memory,
  complete: boolean,
): readonly SweepChange[] {
  const left = new Set(sweep.found);
  const changes: Change[] = [];
  const take = (found: FoundPrinter | undefined): FoundPrinter | undefined => {
    if (found !== undefined) left.delete(found);
    return found;
  };
  const missing = memory.printers.filter((known) => {
    const same = take([...left].find((found) => isSame(known, found)));
    if (same === undefined) return true;
    if (!addressesOf(same).some((address) => known.addresses.includes(address))) changes.push(moved(known, same));
    return false;
  });
  for (const known of missing) {
    const there = [...left].find((found) => addressesOf(found).some((address) => known.addresses.includes(address)));
    // Two identities that can't be compared are no contradiction.
    if (there !== undefined && !contradict(known, there)) take(there);
    else if (there !== undefined) changes.push(changed(known, take(there) ?? there));
    else if (complete && known.addresses.some(memory.inRange)) changes.push(gone(known));
  }
  for (const found of left) changes.push(fresh(found, memory.against));
  return changes.map((change) => ({ ...change, against: memory.against }));
}

function addressesOf(found: FoundPrinter): readonly string[] {
  return [found.address, ...found.alsoAt];
}

const KEYS = ['serial', 'uuid', 'mac'] as const;

function isSame(known: Remembered, found: FoundPrinter): boolean {
  if (known.deviceIndex !== undefined && found.deviceIndex !== undefined && known.deviceIndex !== found.deviceIndex)
    return false;
  const verdicts = KEYS.map((key) => compare(known[key], found[key]));
  return verdicts.find((verdict) => verdict !== null) ?? false;
}

function contradict(known: Remembered, found: FoundPrinter): boolean {
  return KEYS.some((key) => compare(known[key], found[key]) === false);
}

/** Null when one of the two says nothing. */
function compare(a: string | null, b: string | null): boolean | null {
  if (a === null || b === null) return null;
  const plain = (text: string): string =>
    text
      .trim()
      .toLowerCase()
      .replace(/^urn:uuid:/, '');
  return plain(a) === plain(b);
}

type Change = Omit<SweepChange, 'against'>;

function moved(known: Remembered, { address, name }: FoundPrinter): Change {
  const [before = ''] = known.addresses;
  const summary = `${known.label} was at ${before} and is now at ${address}.`;
  return { what: 'moved', address, before, name: name ?? known.label, summary };
}

function changed(known: Remembered, found: FoundPrinter): Change {
  const { address, name } = found;
  const key = KEYS.find((one) => compare(known[one], found[one]) === false) ?? 'serial';
  const words = { serial: 'serial number', uuid: 'UUID', mac: 'hardware address' }[key];
  const summary = `At ${address}, where ${known.label} was, another device answers: ${words} ${found[key]} in place of ${known[key]}.`;
  return { what: 'changed', address, name, summary };
}

function gone(known: Remembered): Change {
  const [address = ''] = known.addresses;
  return { what: 'gone', address, name: known.label, summary: `${known.label} was at ${address} and was not found.` };
}

function fresh({ address, name }: FoundPrinter, against: SweepChange['against']): Change {
  const where =
    against === 'configuration' ? 'the configuration does not list it' : 'the earlier sweep did not find it';
  return { what: 'new', address, name, summary: `${name ?? 'A printer'} at ${address} is new: ${where}.` };
}

/** The printers of an earlier sweep, as a memory. */
export function rememberedFrom(document: Pick<SweepDocument, 'found'>): readonly Remembered[] {
  return document.found.map(({ address, alsoAt, name, serial, uuid, mac, deviceIndex }) => ({
    label: name ?? `the printer at ${address}`,
    addresses: [address, ...alsoAt],
    serial,
    uuid,
    mac,
    ...(deviceIndex === undefined ? {} : { deviceIndex }),
  }));
}

import type { About, Evidence, NeighbourEntryValue } from '../model/evidence.js';
import { from, idsOf } from './fact.js';
import { readProxy } from './proxy.js';

export interface LifeFact {
  /** Something at the address answered, at whatever level. */
  readonly alive: boolean;
  /** The only sign is an "unreachable" that came soon: a firewall's word, or the end of a resolution that was begun before. */
  readonly doubtful: boolean;
  /** It answered above the link: a datagram or a connection, not only its hardware address. */
  readonly speaks: boolean;
  /** Records that show life; when there are none, the records that found nothing. */
  readonly evidence: readonly string[];
  /** Hardware address of the neighbour, when the link could be asked. */
  readonly mac: string | null;
  /** All that the link showed while it was looked at: two are two owners of one address, or one device's two sockets. */
  readonly macs: readonly string[];
  /** The link was asked and gave no hardware address. */
  readonly unresolved: boolean;
}

/**
 * A host is absent only after its address resolution has run out, about three seconds on the systems measured.
 * An "unreachable" sooner than this is a firewall's word, not absence.
 */
const RESOLUTION_MS = 900;

/** One record stands for a whole conversation: the session for its tables, the first exchange for the later ones. */
function standsFor(record: Evidence): boolean {
  if (record.source === 'snmp') return record.what === 'session';
  if (record.source === 'ipp') return record.what === 'Get-Printer-Attributes';
  return true;
}

function isEarlyNo(record: Evidence): boolean {
  return record.source === 'tcp' && record.value === 'EHOSTUNREACH' && record.tookMs < RESOLUTION_MS;
}

function speaks(record: Evidence): boolean {
  if (record.about !== 'target' || !standsFor(record)) return false;
  switch (record.source) {
    case 'tcp':
      return record.outcome === 'answered' || record.outcome === 'refused' || isEarlyNo(record);
    case 'icmp':
      return record.outcome === 'answered';
    case 'snmp':
    case 'ipp':
    case 'http':
    case 'lpd':
    case 'pjl':
      return record.outcome === 'answered' || record.outcome === 'denied' || record.outcome === 'garbled';
    default:
      return false;
  }
}

const ASKING: ReadonlySet<string> = new Set(['tcp', 'icmp', 'snmp', 'ipp', 'http']);
const LIVE_STATES = new Set(['reachable', 'delay', 'probe', 'permanent']);

type LinkEntry = Extract<Evidence, { source: 'neighbour' }> & { readonly value: NeighbourEntryValue };

/** What the link showed of the target's address, in the order in which it was looked at. */
export function linkEntries(evidence: readonly Evidence[], about: About = 'target'): readonly LinkEntry[] {
  return from(evidence, 'neighbour').filter((r): r is LinkEntry => r.about === about && r.value?.kind === 'entry');
}

/** Whether anything at the target's address gave a sign of life. Undefined when it was never asked. */
export function readLife(evidence: readonly Evidence[]): LifeFact | undefined {
  const aboutTarget = evidence.filter((r) => r.about === 'target' && r.source !== 'history' && r.source !== 'operator');
  // What a proxy answers is no sign of the target.
  const proxy = readProxy(evidence)?.mac;
  const entries = linkEntries(evidence).filter(({ value }) => proxy === undefined || value.mac !== proxy);
  const [entry] = entries;
  const entryValue = entry?.value ?? null;
  // A firewall of the host itself speaks from a host that the link can resolve: one that it can't is not there. A firewall on the way
  // speaks through a gateway: when that does not resolve, this machine's own kernel said so.
  const unseen = (seen: readonly LinkEntry[]) => seen.length > 0 && seen.every(({ outcome }) => outcome !== 'answered');
  const denied = unseen(entries) || (entries.length === 0 && unseen(linkEntries(evidence, 'gateway')));
  const spoken = aboutTarget.filter((r) => speaks(r) && !(denied && isEarlyNo(r)));
  const onLink = entries.filter(({ value }) => value.mac !== null && LIVE_STATES.has(value.state));
  const asked = aboutTarget.filter((r) => ASKING.has(r.source) && standsFor(r));
  if (spoken.length === 0 && onLink.length === 0 && asked.length === 0) return undefined;
  const answered = entries.filter(({ outcome }) => outcome === 'answered');
  const signs = idsOf([...new Set([...onLink, ...answered]), ...spoken]);
  const unresolved = entryValue !== null && (entryValue.state === 'failed' || entryValue.state === 'incomplete');
  return {
    alive: signs.length > 0,
    doubtful: onLink.length === 0 && answered.length === 0 && spoken.length > 0 && spoken.every(isEarlyNo),
    speaks: spoken.length > 0,
    evidence: signs.length > 0 ? signs : idsOf(unresolved && entry ? [entry, ...asked] : asked),
    mac: entryValue?.mac ?? null,
    macs: [...new Set(answered.flatMap(({ value }) => value.mac ?? []))],
    unresolved,
  };
}

import type { FoundPrinter, OtherHost } from '../model/sweep.js';
import type { DiscoveredDevice, NeighbourRow } from '../net/net.js';
import type { Announcement } from './announced.js';
import type { Hints, Met } from './inspect.js';
import { type Judged, judge } from './judge.js';
import { compareAddresses, mergeSightings, type Sighting } from './merge.js';
import type { SweepOptions } from './options.js';
import type { Proxies } from './proxies.js';
import type { Queue } from './queues.js';
import { contains } from './ranges.js';

/** Everything that a sweep has learnt so far, by address, and what it comes to. */
export class Findings {
  readonly met = new Map<string, Met>();
  readonly discovered = new Map<string, DiscoveredDevice>();
  heard: readonly Announcement[] = [];
  private readonly told = new Set<string>();

  constructor(
    private readonly options: Pick<SweepOptions, 'plan' | 'ports' | 'onFound'>,
    /** The neighbour table as it was last read. */
    public neighbours: readonly NeighbourRow[],
    private readonly proxies: Proxies,
  ) {}

  /** Addresses at which a printer was met. */
  get count(): number {
    return this.told.size;
  }

  /** Tells of the printers at an address, the first time that there are any. */
  tell(address: string): void {
    if (this.told.has(address)) return;
    const { printers } = this.judgeAt(address);
    if (printers.length === 0) return;
    this.told.add(address);
    for (const { unit: _unit, endpoint: _endpoint, ...printer } of printers) this.options.onFound?.(printer);
  }

  /** Where the announcements of an address say that it may be asked. */
  hintsFor(address: string): Hints {
    const own = this.heard.filter((one) => one.address === address);
    return {
      ports: [...new Set(own.flatMap((one) => one.ports))],
      ippUris: own.flatMap((one) => one.ippUri ?? []),
    };
  }

  judgeAt(address: string): Judged {
    const bare = address.replace(/%[\s\S]*$/, '');
    const row = this.neighbours.find((one) => one.address === bare);
    const known = this.met.get(address);
    const met = known !== undefined && this.proxies.has(known.mac) ? withoutLink(known) : known;
    // A row that only remembers an earlier answer is no life, until the table says that it was confirmed.
    const confirmed = row?.state === 'reachable' && !this.proxies.has(row.mac);
    const place = {
      address,
      met: met === undefined || met.alive || !confirmed ? met : { ...met, alive: true },
      mac: met?.mac ?? (address.includes(':') ? (row?.mac ?? null) : null),
      heard: this.heard.filter((one) => one.address === address),
      discovered: this.discovered.get(address),
    };
    return judge(place, this.options.ports, (queue) => this.leadsElsewhere(queue, address));
  }

  outcome(): { readonly found: readonly FoundPrinter[]; readonly others: readonly OtherHost[] } {
    const places = [...this.met.keys(), ...this.heard.map((one) => one.address), ...this.discovered.keys()];
    const judged = [...new Set(places)].map((address) => this.judgeAt(address));
    const found = mergeSightings(judged.flatMap(({ printers }) => printers).map((one) => this.withNeighbours(one)));
    const taken = new Set(found.flatMap((printer) => [printer.address, ...printer.alsoAt]));
    const others = judged.flatMap(({ other }) => (other === null || taken.has(other.address) ? [] : [other]));
    return { found, others: others.sort((a, b) => compareAddresses(a.address, b.address)) };
  }

  /** A queue that sends to an address of these ranges speaks for a printer that is found there, or is not there. */
  private leadsElsewhere({ leadsTo }: Queue, server: string): boolean {
    if (leadsTo === null) return true;
    const { plan } = this.options;
    return leadsTo.some((address) => address !== server && (contains(plan, address) || this.met.has(address)));
  }

  /** The IPv6 addresses at which the table shows the same hardware address. */
  private withNeighbours(one: Sighting): Sighting {
    if (one.mac === null || one.unit !== undefined) return one;
    if (this.proxies.has(one.mac)) return one;
    const rows = this.neighbours.filter((row) => row.mac === one.mac && row.address.includes(':'));
    const more = rows.filter((row) => row.state !== 'failed').map(zoned);
    return { ...one, alsoAt: [...new Set([...one.alsoAt, ...more])].filter((address) => address !== one.address) };
  }
}

/** What is known of a host whose hardware address is that of somebody who answers for many. */
function withoutLink(met: Met): Met {
  return { ...met, mac: null, alive: met.knocked.alive || met.said !== null };
}

/** The address of a row, a link-local one with its zone. */
export function zoned(row: NeighbourRow): string {
  return /^fe[89ab]/i.test(row.address) && row.interface !== null ? `${row.address}%${row.interface}` : row.address;
}

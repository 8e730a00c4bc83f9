import type { NeighbourRow, Net, OwnSubnet } from '../net/net.js';
import { blockOf, isLoopbackSpan, overlap, type Span, toNumber } from './space.js';

export type Reach = 'loopback' | 'onlink' | 'routed';

/** The table is not read more often than this. */
const FRESH_MS = 250;

/** What the machine's own links tell about an address, without asking the kernel once for each. */
export class Link {
  private readonly blocks: readonly Span[];
  private readonly own: ReadonlySet<string>;
  private rows: Promise<ReadonlyMap<string, NeighbourRow>> | undefined;
  private readAt = Number.NEGATIVE_INFINITY;

  constructor(
    private readonly net: Net,
    subnets: readonly OwnSubnet[],
  ) {
    this.blocks = subnets.flatMap((subnet) => {
      const bits = Number(subnet.cidr.split('/')[1]);
      return toNumber(subnet.address) === undefined || !Number.isInteger(bits) ? [] : [blockOf(subnet.address, bits)];
    });
    this.own = new Set(subnets.map((subnet) => subnet.address));
  }

  reach(address: string): Reach {
    const number = toNumber(address);
    if (number === undefined) return 'routed';
    const span = { family: number.family, first: number.value, last: number.value };
    if (isLoopbackSpan(span) || this.own.has(address)) return 'loopback';
    return this.blocks.some((block) => overlap(block, span)) ? 'onlink' : 'routed';
  }

  /** Whether any address of these spans lies on an own link. */
  touches(spans: readonly Span[]): boolean {
    return spans.some((span) => !isLoopbackSpan(span) && this.blocks.some((block) => overlap(block, span)));
  }

  /** The row of an address, from a table that is read again at most four times a second. */
  async row(address: string): Promise<NeighbourRow | undefined> {
    const now = this.net.monotonic();
    if (this.rows === undefined || now - this.readAt > FRESH_MS) {
      this.readAt = now;
      this.rows = this.net.neighbours().then((rows) => new Map(rows.map((row) => [row.address, row])));
    }
    return (await this.rows).get(address);
  }
}

import type { OwnSubnet } from '../net/net.js';
import { blockOf, isLoopbackSpan, isSelfAssigned, overlap, type Span, toNumber } from './space.js';

export type Reach = 'loopback' | 'onlink' | 'routed';

/** What the machine's own links tell about an address, without asking the kernel once for each. */
export class Link {
  private readonly blocks: readonly Block[];
  private readonly own: ReadonlySet<string>;
  private latest: { readonly address: string; readonly reach: Reach } = { address: '', reach: 'routed' };

  constructor(subnets: readonly OwnSubnet[]) {
    this.blocks = subnets.flatMap((subnet) => {
      const bits = Number(subnet.cidr.split('/')[1]);
      if (toNumber(subnet.address) === undefined || !Number.isInteger(bits)) return [];
      return [{ ...blockOf(subnet.address, bits), interface: subnet.interface }];
    });
    this.own = new Set(subnets.map((subnet) => subnet.address));
  }

  reach(address: string): Reach {
    // The same address is asked about several times in a row.
    if (address !== this.latest.address) this.latest = { address, reach: this.reachOf(address) };
    return this.latest.reach;
  }

  private reachOf(address: string): Reach {
    const number = toNumber(address);
    if (number === undefined) return 'routed';
    const span = { family: number.family, first: number.value, last: number.value };
    if (isLoopbackSpan(span) || this.own.has(address)) return 'loopback';
    return this.blocks.some((block) => overlap(block, span)) ? 'onlink' : 'routed';
  }

  /** True for this machine's own addresses on its links. */
  isOwn(address: string): boolean {
    return this.own.has(address);
  }

  /** Whether any address of these spans lies on an own link. */
  touches(spans: readonly Span[]): boolean {
    return spans.some((span) => !isLoopbackSpan(span) && this.blocks.some((block) => overlap(block, span)));
  }

  /** Whether all addresses of these spans lie on own links. */
  holds(spans: readonly Span[]): boolean {
    return spans.every((span) =>
      this.blocks.some(({ family, first, last }) => family === span.family && first <= span.first && span.last <= last),
    );
  }

  /** Interfaces whose subnets these spans touch. */
  interfacesOf(spans: readonly Span[]): ReadonlySet<string> {
    const touched = this.blocks.filter((block) => spans.some((span) => overlap(block, span)));
    return new Set(touched.map((block) => block.interface));
  }

  /** False for a device at 169.254/16 when this machine has no such address itself: no packet finds the way. */
  isInReach(address: string): boolean {
    return address.includes('%') || !isSelfAssigned(address) || this.reach(address) !== 'routed';
  }
}

interface Block extends Span {
  readonly interface: string;
}

import ipaddr from 'ipaddr.js';
import { RateLimiterMemory, RateLimiterRes } from 'rate-limiter-flexible';

/** Requests within a minute. */
export interface Paces {
  /** Of one client. */
  readonly client: number;
  /** Of all together: the agent's own work is to look at printers. */
  readonly all: number;
  /** Of one client, only those that make the agent do something. */
  readonly actions: number;
}

export const USUAL_PACES: Paces = { client: 1_200, all: 6_000, actions: 60 };
const MINUTE = 60;

/** How often somebody may ask. */
export class Pace {
  private readonly client: RateLimiterMemory;
  private readonly all: RateLimiterMemory;
  private readonly actions: RateLimiterMemory;

  constructor({ client, all, actions }: Paces) {
    this.client = new RateLimiterMemory({ points: client, duration: MINUTE });
    this.all = new RateLimiterMemory({ points: all, duration: MINUTE });
    this.actions = new RateLimiterMemory({ points: actions, duration: MINUTE });
  }

  /** Seconds to wait; undefined when it may be asked now. */
  async tooFast(client: string, acts: boolean): Promise<number | undefined> {
    try {
      await this.client.consume(client);
      if (acts) await this.actions.consume(client);
      await this.all.consume('all');
      return undefined;
    } catch (refused) {
      if (refused instanceof RateLimiterRes) return Math.max(1, Math.ceil(refused.msBeforeNext / 1_000));
      throw refused;
    }
  }
}

/** Who counts as one client: an address; of IPv6 the network, whose owner has every address in it (RFC 6177). */
export function clientOf(address: string): string {
  if (!ipaddr.isValid(address)) return address;
  const read = ipaddr.process(address);
  if (read instanceof ipaddr.IPv4) return read.toString();
  return `${read.toNormalizedString().split(':').slice(0, 4).join(':')}::/64`;
}

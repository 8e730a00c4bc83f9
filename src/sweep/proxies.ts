/** One hardware address behind more addresses than these is a proxy's, a repeater's or a router's. */
const MOST_SHARING = 4;

/**
 * Hardware addresses that answer for many: proxy ARP (RFC 1027). Where one does, that an address resolves says nothing of whether
 * anybody is there.
 */
export class Proxies {
  private readonly spokenFor = new Map<string, Set<string>>();

  /** The link gave this hardware address for that address. */
  note(address: string, mac: string): void {
    const addresses = this.spokenFor.get(mac) ?? new Set();
    this.spokenFor.set(mac, addresses.add(address));
  }

  has(mac: string | null): boolean {
    return mac !== null && (this.spokenFor.get(mac)?.size ?? 0) > MOST_SHARING;
  }

  sentences(): readonly string[] {
    return [...this.spokenFor].flatMap(([mac, addresses]) =>
      this.has(mac)
        ? [
            `${mac} answers for ${addresses.size} addresses of this link (proxy ARP): of those, only hosts that gave another sign of life are listed.`,
          ]
        : [],
    );
  }
}

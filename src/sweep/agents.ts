import type { SnmpFinder, SnmpFound, SnmpSearch } from '../net/snmp-finder.js';

/**
 * Looks for SNMP agents at addresses where perhaps nobody is. The library behind it is loaded once somebody is there to be asked,
 * while the link looks for the others.
 */
export class AgentFinder {
  private finder: Promise<SnmpFinder> | undefined;
  private closed = false;

  constructor(private readonly search: SnmpSearch) {}

  /** The agent at one of these ports, undefined when none answered. */
  async find(address: string, ports: readonly number[]): Promise<SnmpFound | undefined> {
    if (this.closed) return undefined;
    this.finder ??= import('../net/snmp-finder.js').then(({ SnmpFinder }) => new SnmpFinder(this.search));
    const finder = await this.finder;
    if (this.closed) finder.close();
    return finder.find(address, ports);
  }

  /** Whoever still waits is told that nobody answered. */
  close(): void {
    this.closed = true;
    void this.finder?.then((finder) => finder.close());
  }
}

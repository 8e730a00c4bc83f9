import type { Net } from '../net/net.js';
import type { SnmpFound } from '../net/snmp-finder.js';
import type { Limits } from '../probes/probe.js';
import { NOBODYS_PORT } from '../probes/tcp/nobodys-port.js';
import type { AgentFinder } from './agents.js';
import type { Identified } from './identify.js';
import { type Knocked, knock } from './knock.js';
import type { Link, Reach } from './link.js';
import type { KnownPrinter, SweepOptions } from './options.js';
import { Slots } from './pace.js';
import type { Seen } from './presence.js';
import type { PrintServer } from './queues.js';

/** What was learnt at one address. */
export interface Met {
  readonly address: string;
  readonly reach: Reach;
  /** Hardware address, on-link only. */
  readonly mac: string | null;
  /** Something answered, or the link has just resolved the address. */
  readonly alive: boolean;
  readonly knocked: Knocked;
  readonly said: Identified | null;
  readonly server: PrintServer | null;
  /** Further ports that a printer is known or said to print by. */
  readonly printPorts: readonly number[];
  /** Connections come about even at a port that nobody serves: something answers for whoever may be there. */
  readonly takesAll: boolean;
}

/** What is known of an address before it is asked. */
export interface Hints {
  /** By the link, on-link only. */
  readonly seen?: Seen;
  /** By its announcements. */
  readonly ports: readonly number[];
  readonly ippUris: readonly string[];
}

export const NO_HINTS: Hints = { ports: [], ippUris: [] };

/** The group that every agent has (RFC 3418 section 2). */
const SYSTEM = '1.3.6.1.2.1.1';
/** Open ports from which on it is worth asking for one that nobody has. */
const MANY_OPEN = 3;
/** How many answers' time one host may take to say who it is: its scalars, its tables, their ends, and one answer that got lost. */
const PATIENCE = 4;
/** Loopback answers at once: more would only cost descriptors. */
const LOOPBACK_CONNECTS = 200;

/** One address: what does it offer, who is it. */
export class Inspector {
  private readonly hosts: Slots;
  private readonly connects: Slots;
  private readonly own = new Slots(LOOPBACK_CONNECTS);

  constructor(
    private readonly options: SweepOptions,
    private readonly net: Net,
    private readonly link: Link,
    private readonly agents: AgentFinder,
  ) {
    this.hosts = new Slots(options.pace.inspections);
    this.connects = new Slots(options.pace.connects);
  }

  /** Undefined when nobody was met. */
  async visit(address: string, hints: Hints, timeoutMs = this.options.pace.timeoutMs): Promise<Met | undefined> {
    const reach = this.link.reach(address);
    const known = this.options.known.find((printer) => printer.address === address);
    const { ports } = this.options;
    const printPorts = [...(known?.printPorts ?? []), ...hints.ports];
    const all = [...new Set([...ports.ipp, ...ports.print, ...printPorts, ...ports.web])];
    const slots = reach === 'loopback' ? this.own : this.connects;
    const how = { net: this.net, slots, timeoutMs, present: hints.seen !== undefined };
    const [knocked, agent] = await Promise.all([
      knock(address, all, how),
      this.agentAt(address, this.snmpPorts(known), timeoutMs),
    ]);
    const fresh = hints.seen !== undefined && !hints.seen.remembered;
    const met = { address, reach, knocked, printPorts, mac: hints.seen?.mac ?? null, takesAll: false };
    if (agent === undefined && !knocked.alive) {
      return hints.seen === undefined ? undefined : { ...met, alive: fresh, said: null, server: null };
    }
    const uris = this.ippUris(address, knocked, known, hints);
    if (agent === undefined && uris.length === 0) {
      // Every address of loopback refuses: who offers nothing there is nobody, and 65,000 of them need not be kept.
      const nobody = reach === 'loopback' && knocked.open.length === 0 && hints.seen === undefined;
      return nobody ? undefined : { ...met, alive: true, said: null, server: null };
    }
    const limits = this.limits(timeoutMs);
    return this.hosts.run(async () => {
      // Loaded while the link still looks for the others.
      const { identify } = await import('./identify.js');
      const [said, takesAll] = await Promise.all([
        identify({ address, agent, ippUris: uris }, this.net, limits),
        agent === undefined && this.takesAll(address, knocked, timeoutMs),
      ]);
      return { ...met, alive: true, said, takesAll, server: await this.serverAt(address, knocked, said, limits) };
    });
  }

  /** A tarpit takes every call, and so does a firewall that answers for what is behind it. */
  private async takesAll(address: string, { open }: Knocked, timeoutMs: number): Promise<boolean> {
    if (open.length < MANY_OPEN) return false;
    const { outcome } = await this.connects.run(() => this.net.tcpConnect(address, NOBODYS_PORT, timeoutMs));
    return outcome === 'answered';
  }

  /** This machine says at once that a port of its own is closed, to a socket that is connected: there nobody need wait. */
  private async agentAt(address: string, ports: readonly number[], timeoutMs: number): Promise<SnmpFound | undefined> {
    if (!this.link.isOwn(address)) return this.agents.find(address, ports);
    for (const credential of this.options.credentials) {
      for (const port of ports) {
        const client = this.net.snmp({ address, port, credential, timeoutMs, retries: 0 });
        const { outcome } = await client.getNext([SYSTEM]);
        client.close();
        if (outcome === 'answered') return { port, credentials: [credential] };
        if (outcome === 'refused') break;
      }
    }
    return undefined;
  }

  private snmpPorts(known: KnownPrinter | undefined): readonly number[] {
    const usual = this.options.ports.snmp;
    return [...new Set(known === undefined ? usual : [known.snmpPort, ...usual])];
  }

  private limits(timeoutMs: number): Limits {
    const { credentials, retries } = this.options;
    return { timeoutMs, retries, deadlineMs: timeoutMs * PATIENCE, credentials };
  }

  /** What was said beforehand, then the open ports. IPP on the port of the web only where the host looks like a printer. */
  private ippUris(address: string, knocked: Knocked, known: KnownPrinter | undefined, hints: Hints) {
    const { ports } = this.options;
    const stated = [known?.ippUri, ...hints.ippUris].filter((uri) => uri !== undefined);
    const open = ports.ipp.filter((port) => knocked.open.includes(port));
    const prints = [...ports.print, ...hints.ports].some((port) => knocked.open.includes(port));
    const secure = open.length === 0 && prints && knocked.open.includes(443) ? [uriAt('ipps', address, 443)] : [];
    // A link-local address has a zone, which no URI can hold: there the host's usual port and paths are asked.
    if (address.includes('%')) return open.includes(631) ? [null] : [];
    return [...new Set([...stated, ...open.map((port) => uriAt('ipp', address, port)), ...secure])];
  }

  /** A server that speaks IPP and has no printer at the usual paths may have queues. */
  private async serverAt(
    address: string,
    knocked: Knocked,
    said: Identified,
    limits: Limits,
  ): Promise<PrintServer | null> {
    const port = this.options.ports.ipp.find((one) => knocked.open.includes(one));
    if (port === undefined || said.ipp !== null || !said.ippNotFound) return null;
    const { askQueues } = await import('./queues.js');
    return askQueues(address, port, false, this.net, limits.timeoutMs);
  }
}

export function uriAt(scheme: 'ipp' | 'ipps', address: string, port: number, path = '/ipp/print'): string {
  return `${scheme}://${address.includes(':') ? `[${address.replace(/%[\s\S]*$/, '')}]` : address}:${port}${path}`;
}

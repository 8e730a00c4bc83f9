import type { Observation } from '../model/evidence.js';
import type { FoundBy, FoundPrinter, OtherHost } from '../model/sweep.js';
import type { Net } from '../net/net.js';
import type { Limits } from '../probes/probe.js';
import type { AgentFinder } from './agents.js';
import type { Announcement } from './announced.js';
import { askSnmp, type Identified, identify } from './identify.js';
import { type Knocked, knock } from './knock.js';
import type { Link } from './link.js';
import type { KnownPrinter, SweepOptions } from './options.js';
import { Slots } from './pace.js';

/** What SNMP gave, or is about to give. */
type Snmp = readonly Observation[] | Promise<readonly Observation[]>;

/** What one address came to. */
export interface Visit {
  readonly printer: FoundPrinter | null;
  readonly other: OtherHost | null;
}

/** The address at hand and what is known of it beforehand. */
interface Whom {
  readonly address: string;
  readonly known: KnownPrinter | undefined;
  readonly announced: Announcement | undefined;
}

const NOBODY: Visit = { printer: null, other: null };

/** How many answers' time one host may take to say who it is. */
const PATIENCE = 4;

/** One address: is somebody there, what does it offer, who is it. */
export class Inspector {
  private readonly hosts: Slots;
  private readonly strangers: Slots;

  constructor(
    private readonly options: SweepOptions,
    private readonly net: Net,
    private readonly link: Link,
    private readonly agents: AgentFinder,
  ) {
    this.hosts = new Slots(options.pace.inspections);
    this.strangers = new Slots(options.pace.strangers);
  }

  /**
   * On the link, whoever does not resolve is not there. Elsewhere no table tells who is there, so SNMP is asked too. On this machine a
   * closed port says so at once.
   */
  async visit(address: string, announced?: Announcement): Promise<Visit> {
    const whom = { address, known: this.options.known.find((printer) => printer.address === address), announced };
    const reach = this.link.reach(address);
    if (reach === 'routed') return this.strangers.run(() => this.visitStranger(whom));
    if (reach === 'loopback')
      return this.strangers.run(async () => this.ask(await this.knock(whom), whom, this.snmpOf(whom)));
    const knocked = await this.knock(whom);
    if (!knocked.alive && !knocked.resolved && announced === undefined) return NOBODY;
    return this.hosts.run(() => this.ask(knocked, whom, this.snmpOf(whom)));
  }

  private async visitStranger(whom: Whom): Promise<Visit> {
    const [knocked, agent] = await Promise.all([
      this.knock(whom),
      this.agents.find(whom.address, this.snmpPorts(whom)),
    ]);
    if (agent === undefined && !knocked.alive && whom.announced === undefined) return NOBODY;
    const limits = agent === undefined ? undefined : { ...this.limits(), credentials: [agent.credential] };
    return this.ask(
      knocked,
      whom,
      limits === undefined ? [] : askSnmp(whom.address, [agent?.port ?? 0], this.net, limits),
    );
  }

  private knock({ address, known, announced }: Whom): Promise<Knocked> {
    const { ports, pace } = this.options;
    const print = [...ports.ipp, ...ports.print, ...(known?.printPorts ?? []), ...(announced?.ports ?? [])];
    return knock(address, [...new Set([...print, ...ports.web])], this.net, this.link, pace.timeoutMs);
  }

  private snmpPorts({ known }: Whom): readonly number[] {
    const usual = this.options.ports.snmp;
    return [...new Set(known === undefined ? usual : [known.snmpPort, ...usual])];
  }

  private snmpOf(whom: Whom): Promise<readonly Observation[]> {
    return askSnmp(whom.address, this.snmpPorts(whom), this.net, this.limits());
  }

  private limits(): Limits {
    const { credentials, pace, retries } = this.options;
    return { timeoutMs: pace.timeoutMs, retries, deadlineMs: pace.timeoutMs * PATIENCE, credentials };
  }

  private async ask(knocked: Knocked, whom: Whom, asking: Snmp): Promise<Visit> {
    const { address, known, announced } = whom;
    const stated = [known?.ippUri, announced?.ippUri].filter((uri) => typeof uri === 'string');
    const open = this.options.ports.ipp.filter((port) => knocked.open.includes(port));
    const ippUris = [...new Set([...stated, ...open.map((port) => uriAt(address, port))])];
    const identified = await identify({ address, ippUris }, asking, this.net, this.limits());
    return this.judge(knocked, identified, whom);
  }

  private judge(knocked: Knocked, said: Identified, { address, known, announced }: Whom): Visit {
    const carriers = [...this.options.ports.ipp, ...this.options.ports.print, ...(known?.printPorts ?? [])];
    const printPorts = knocked.open.filter((port) => carriers.includes(port));
    const answered = knocked.alive || said.snmp !== null || said.ipp !== null;
    const saysNo =
      (said.document?.isPrinter === false && said.snmp !== null) || isPrintServer(knocked, said, this.options);
    const announces = announced !== undefined && !announced.isQueue;
    const isPrinter = said.document?.isPrinter === true || (!saysNo && (printPorts.length > 0 || announces));
    if (isPrinter) return { printer: sighting(address, knocked, said, announced, printPorts.length > 0), other: null };
    const isBareLoopback = this.link.reach(address) === 'loopback' && knocked.open.length === 0 && said.snmp === null;
    if (!answered || isBareLoopback) return NOBODY;
    return { printer: null, other: { address, what: describe(knocked, said) } };
  }
}

/**
 * IPP that has no printer at any usual path, and no raw or LPD port beside it: a print server speaks like that. A printer
 * whose only fault is an unusual path has one of these ports, or SNMP, to be known by.
 */
function isPrintServer(knocked: Knocked, said: Identified, { ports }: SweepOptions): boolean {
  return said.ippNotFound && !ports.print.some((port) => knocked.open.includes(port));
}

function uriAt(address: string, port: number): string {
  return `ipp://${address.includes(':') ? `[${address}]` : address}:${port}/ipp/print`;
}

function sighting(
  address: string,
  knocked: Knocked,
  said: Identified,
  announced: Announcement | undefined,
  tcp: boolean,
): FoundPrinter {
  const identity = said.document?.isPrinter === true ? said.document.identity : undefined;
  const own = identity?.macs ?? [];
  const ways: readonly (readonly [FoundBy, boolean])[] = [
    ['snmp', said.snmp !== null],
    ['ipp', said.ipp !== null],
    ['dns-sd', announced !== undefined],
    ['tcp', tcp],
    ['neighbour', knocked.mac !== null],
  ];
  return {
    address,
    name: identity?.name ?? announced?.name ?? null,
    model: identity?.model ?? announced?.model ?? null,
    serial: identity?.serial ?? null,
    uuid: identity?.uuid ?? announced?.uuid ?? null,
    mac: own.find((mac) => mac === knocked.mac) ?? own[0] ?? knocked.mac,
    ports: knocked.open,
    snmp: said.snmp,
    ipp: said.ipp,
    dnsSd: announced !== undefined,
    foundBy: ways.filter(([, found]) => found).map(([way]) => way),
    alsoAt: [],
  };
}

function describe(knocked: Knocked, said: Identified): string {
  const ports = knocked.open.length === 0 ? 'none of the ports asked is open' : `open: ${knocked.open.join(', ')}`;
  if (said.ippNotFound) return `answers IPP, not a printer: a print server (${ports})`;
  if (said.snmp === null) return `answers, not a printer (${ports})`;
  const words = said.description === null ? '' : ` "${said.description}"`;
  return `answers SNMP, not a printer${words} (${ports})`;
}

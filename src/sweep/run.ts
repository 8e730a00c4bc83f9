import type { SweepDocument } from '../model/sweep.js';
import type { NeighbourRow, Net, Rouser } from '../net/net.js';
import { AgentFinder } from './agents.js';
import { addressConflicts } from './conflicts.js';
import { Findings, zoned } from './findings.js';
import { type Hints, Inspector, type Met, NO_HINTS } from './inspect.js';
import type { Link, Reach } from './link.js';
import { listenAround } from './listen.js';
import type { SweepOptions } from './options.js';
import { Places, Slots } from './pace.js';
import { PresenceFinder, type Seen } from './presence.js';
import { Proxies } from './proxies.js';
import { addressesOf } from './ranges.js';
import { Remaining } from './remaining.js';

/** Loopback costs no place in any table, and nobody is disturbed there. */
const LOOPBACK_AT_ONCE = 2048;
/** A second round over more addresses than these would take longer than the first. */
const MOST_AGAIN = 8192;
/** IPv6 neighbours that are asked at most. */
const MOST_IPV6 = 256;
/** The kernel's own three questions, a second apart. */
const FULL_RESOLVE_MS = 3100;
/** An old row is checked by the kernel after five seconds of grace (Linux `delay_first_probe_time`), then asked. */
const RECHECK_MS = 6500;

/** One sweep under way. */
export class SweepRun {
  private readonly findings: Findings;
  private readonly agents: AgentFinder;
  private readonly inspector: Inspector;
  private readonly patientAgents: AgentFinder;
  private readonly patient: Inspector;
  private readonly presence: PresenceFinder;
  private readonly proxies = new Proxies();
  private readonly strangers: Slots;
  private readonly rooms: Readonly<Record<Reach, Places>>;
  private readonly remaining: Remaining;
  private readonly ended = new AbortController();
  /** Addresses that somebody has begun with. */
  private readonly begun = new Set<string>();
  private readonly pending = new Set<Promise<void>>();
  private readonly lookedAgain = new Set<string>();
  private readonly confirmed = new Set<string>();
  /** Addresses that a proxy speaks for, where nobody gave a sign. */
  private readonly unheard = new Set<string>();
  private done = 0;

  constructor(
    private readonly options: SweepOptions,
    private readonly net: Net,
    private readonly link: Link,
    rouser: Rouser,
    before: readonly NeighbourRow[],
  ) {
    const { pace, credentials, retries } = options;
    const remembered = new Map(before.flatMap(({ address, mac }) => (mac === null ? [] : [[address, mac]])));
    this.findings = new Findings(options, before, this.proxies);
    this.agents = new AgentFinder({ credentials, retries, timeoutMs: pace.timeoutMs });
    this.inspector = new Inspector(options, net, link, this.agents);
    // An answer may take all the patience, and the question before it may have been lost: a later one gets as long.
    this.patientAgents = new AgentFinder({ credentials, retries: retries + 1, timeoutMs: 2 * pace.patienceMs });
    this.patient = new Inspector(options, net, link, this.patientAgents);
    this.presence = new PresenceFinder(net, rouser, pace, remembered, (address, seen) =>
      this.track(this.late(address, seen)),
    );
    this.strangers = new Slots(pace.strangers);
    this.rooms = {
      onlink: new Places(pace.unresolved),
      routed: new Places(pace.strangers),
      loopback: new Places(LOOPBACK_AT_ONCE),
    };
    this.remaining = new Remaining(options.plan.count, () => net.monotonic());
  }

  /** Everything, from the first question to the second look. */
  async all(): Promise<void> {
    const { listenMs, signal } = this.options;
    const until = this.net.monotonic() + listenMs;
    await Promise.all([this.walk(), this.listen()]);
    // While announcements are listened for, an address that resolves late still counts; without listening nobody waits.
    const left = until - this.net.monotonic();
    if (left > 0) await Promise.race([this.presence.settle(signal), rest(left)]);
    await this.ipv6Neighbours();
    await this.pendingDone();
    await this.secondRound();
    await this.pendingDone();
    // What the table shows by now matters to whoever an old row spoke for, and to what else has the same hardware address.
    const settled = [...this.findings.met.values()].every(({ alive }) => alive);
    if (listenMs > 0 || !settled) this.findings.neighbours = await this.net.neighbours();
  }

  close(): void {
    this.ended.abort();
    this.agents.close();
    this.patientAgents.close();
    this.presence.close();
  }

  outcome(): Pick<SweepDocument, 'addressesTried' | 'found' | 'others' | 'problems' | 'liveness'> {
    const { plan, remarks } = this.options;
    const cut = this.stopped() && this.done < plan.count;
    const table = this.link.touches(plan.spans) && !this.presence.blind;
    return {
      addressesTried: this.done,
      ...this.findings.outcome(),
      liveness: table ? ['neighbour-table', ...(this.link.holds(plan.spans) ? [] : (['tcp'] as const))] : ['tcp'],
      problems: [
        ...remarks,
        ...this.proxies.sentences(),
        ...addressConflicts(this.findings.met, this.findings.neighbours, this.proxies),
        ...(this.presence.blind
          ? ['This system shows no neighbour table: who is there was told by TCP and SNMP answers alone.']
          : []),
        ...(cut ? [`Stopped before the end: ${this.done} of ${plan.count} addresses were tried.`] : []),
      ],
    };
  }

  /** Every address once: known printers first, then whoever the neighbour table already knows, then the rest in order. */
  private async walk(): Promise<void> {
    const { plan, known } = this.options;
    const likely = [
      ...known.map((printer) => printer.address),
      ...this.findings.neighbours.filter((row) => row.mac !== null).map((row) => row.address),
    ];
    const own: string[] = [];
    // This machine itself is asked in full at once, which loads all that asks: after the link was asked, and while it is waited for.
    const ownLater = this.link.touches(plan.spans);
    for (const address of addressesOf(plan, likely)) {
      if (ownLater && this.link.reach(address) === 'loopback') own.push(address);
      else {
        const wait = this.turn(address);
        if (wait !== undefined) await wait;
      }
    }
    for (const address of own) await this.turn(address);
    await this.pendingDone();
  }

  /** Begins with an address, at once where there is room for it; else what it gives has to be waited for. */
  private turn(address: string): Promise<void> | undefined {
    if (this.stopped()) return undefined;
    const room = this.rooms[this.link.reach(address)];
    const begin = (): void => {
      if (this.stopped()) room.give();
      else this.track(this.once(address).finally(() => room.give()));
    };
    const wait = room.take();
    if (wait !== undefined) return wait.then(begin);
    begin();
    return undefined;
  }

  private async once(address: string): Promise<void> {
    if (!this.begun.has(address)) await this.begin(address, NO_HINTS);
    this.done += 1;
    const leftMs = this.remaining.leftMs(this.done);
    this.options.onProgress?.({
      done: this.done,
      total: this.options.plan.count,
      found: this.findings.count,
      leftMs,
    });
  }

  /** On the link whoever does not resolve is not there. Elsewhere no table tells who is there. */
  private async begin(address: string, hints: Hints): Promise<void> {
    this.begun.add(address);
    const reach = this.link.reach(address);
    if (reach === 'loopback') return this.visit(address, hints);
    // The table that is read here holds IPv4 alone.
    if (reach === 'routed' || address.includes(':')) return this.strangers.run(() => this.visit(address, hints));
    const presence = await this.presence.ask(address);
    if (presence === 'blind') return this.strangers.run(() => this.visit(address, hints));
    if (presence !== 'absent') return this.visitSeen(address, hints, presence);
  }

  /** The link says that somebody is there; of an address that a proxy speaks for, as little is known as of one elsewhere. */
  private visitSeen(address: string, hints: Hints, seen: Seen): Promise<void> {
    this.proxies.note(address, seen.mac);
    return this.proxies.has(seen.mac) ? this.behindProxy(address, hints) : this.visit(address, { ...hints, seen });
  }

  private async behindProxy(address: string, hints: Hints): Promise<void> {
    await this.strangers.run(() => this.visit(address, hints));
    if (!this.findings.met.has(address)) this.unheard.add(address);
  }

  private async visit(address: string, hints: Hints): Promise<void> {
    if (!this.stopped()) this.keep(await this.inspector.visit(address, hints));
  }

  private keep(met: Met | undefined): void {
    if (met === undefined || this.stopped()) return;
    this.findings.met.set(met.address, met);
    this.findings.tell(met.address);
    this.track(this.secondLook(met));
    this.track(this.confirm(met));
  }

  /** A host that only an old row of the table speaks for: the kernel is made to ask it anew, so that it is told from one that left. */
  private async confirm({ address, alive, mac, reach }: Met): Promise<void> {
    if (alive || mac === null || reach !== 'onlink' || !this.isPatient() || this.confirmed.has(address)) return;
    this.confirmed.add(address);
    const { state } = await this.net.neighbour(address, RECHECK_MS);
    const met = this.findings.met.get(address);
    if (state === 'reachable' && met !== undefined) this.findings.met.set(address, { ...met, alive: true });
  }

  private isPatient(): boolean {
    return this.options.pace.patienceMs > 0 && this.options.listenMs > 0;
  }

  private async late(address: string, seen: Seen): Promise<void> {
    await this.visitSeen(address, this.findings.hintsFor(address), seen);
  }

  private listen(): Promise<void> {
    const { plan, listenMs } = this.options;
    if (listenMs === 0 || !this.link.touches(plan.spans)) return Promise.resolve();
    return listenAround(this.net, this.link, plan, listenMs, this.ended.signal, {
      announced: (heard) => {
        this.findings.heard = heard;
        for (const address of new Set(heard.map((one) => one.address))) this.hear(address);
      },
      discovered: (device) => {
        this.findings.discovered.set(device.address, device);
        this.hear(device.address);
      },
    });
  }

  /** Somebody is heard at an address: it is visited, unless it was; and once more if it now says where else to ask. */
  private hear(address: string): void {
    if (this.stopped()) return;
    const hints = this.findings.hintsFor(address);
    const met = this.findings.met.get(address);
    const telling = `${address} ${hints.ippUris.join(' ')}`;
    if (!this.begun.has(address) && this.link.isInReach(address)) {
      this.begun.add(telling);
      this.track(this.begin(address, hints).then(() => this.findings.tell(address)));
    } else if (met !== undefined && met.said?.ipp == null && hints.ippUris.length > 0 && !this.begun.has(telling)) {
      this.begun.add(telling);
      const seen = met.mac === null ? {} : { seen: { mac: met.mac, remembered: false } };
      this.track(this.visit(address, { ...hints, ...seen }));
    } else {
      this.findings.tell(address);
    }
  }

  /** IPv6 has too many addresses to be counted through: those that the table knows, of devices that IPv4 has not shown. */
  private async ipv6Neighbours(): Promise<void> {
    const { plan, listenMs } = this.options;
    if (listenMs === 0 || this.stopped() || !this.link.touches(plan.spans)) return;
    this.findings.neighbours = await this.net.neighbours();
    const macs = new Set([...this.findings.met.values()].map(({ mac }) => mac));
    const links = this.link.interfacesOf(plan.spans);
    const strange = this.findings.neighbours.filter(
      (row) => row.address.includes(':') && row.mac !== null && row.state !== 'failed' && !macs.has(row.mac),
    );
    const here = strange.filter((row) => row.interface !== null && links.has(row.interface)).map(zoned);
    for (const address of here.slice(0, MOST_IPV6)) {
      if (!this.begun.has(address)) this.track(this.begin(address, NO_HINTS));
    }
  }

  /**
   * Something got lost on this link: whoever has not resolved is asked again, and given the kernel's full time; and so is whoever gave no
   * sign from behind a proxy, which resolves for all.
   */
  private async secondRound(): Promise<void> {
    const met = [...this.findings.met.values()];
    const lossy = this.presence.sawLoss || met.some(({ knocked, said }) => knocked.lossy || said?.cut === true);
    if (!lossy || this.stopped()) return;
    const again = this.presence.unanswered().slice(0, MOST_AGAIN);
    const behind = [...this.unheard].slice(0, MOST_AGAIN);
    await Promise.all([
      ...again.map(async (address) => {
        const presence = await this.presence.ask(address, FULL_RESOLVE_MS);
        if (typeof presence === 'object') await this.late(address, presence);
      }),
      ...behind.map((address) => this.behindProxy(address, this.findings.hintsFor(address))),
    ]);
  }

  /**
   * A host that is there, but showed no printer and left a question open, may have slept: it is asked once more, with patience. Not where
   * nobody listens: there nothing is waited for.
   */
  private async secondLook(met: Met): Promise<void> {
    const { pace } = this.options;
    const { address, mac, alive } = met;
    if (!this.isPatient() || this.lookedAgain.has(address) || !this.leftOpen(met)) return;
    this.lookedAgain.add(address);
    const seen = mac === null ? {} : { seen: { mac, remembered: !alive } };
    const again = await this.patient.visit(address, { ...this.findings.hintsFor(address), ...seen }, pace.patienceMs);
    const alreadyAlive = this.findings.met.get(address)?.alive === true;
    this.keep(again === undefined ? undefined : { ...again, alive: again.alive || alreadyAlive });
  }

  private leftOpen({ said, address, reach, mac, takesAll }: Met): boolean {
    if (reach === 'loopback' || takesAll || this.proxies.has(mac)) return false;
    if (this.findings.judgeAt(address).printers.some((one) => one.snmp !== null || one.ipp !== null)) return false;
    return said === null || said.snmp === null || said.cut;
  }

  private track(work: Promise<void>): void {
    const tracked: Promise<void> = work.finally(() => this.pending.delete(tracked));
    this.pending.add(tracked);
  }

  private async pendingDone(): Promise<void> {
    while (this.pending.size > 0 && !this.stopped()) await Promise.all(this.pending);
  }

  private stopped(): boolean {
    return this.options.signal?.aborted === true || this.ended.signal.aborted;
  }
}

function rest(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}

import { type FoundPrinter, type OtherHost, SWEEP_SCHEMA, type SweepDocument } from '../model/sweep.js';
import type { Net } from '../net/net.js';
import { PRINTER_SERVICE_TYPES } from '../probes/dns-sd/dns-sd.js';
import { AgentFinder } from './agents.js';
import { type Announcement, announcements } from './announced.js';
import { Inspector, type Visit } from './inspect.js';
import { Link } from './link.js';
import { compareAddresses, mergeSightings } from './merge.js';
import type { SweepOptions } from './options.js';
import { Bucket } from './pace.js';
import { addressesOf, contains } from './ranges.js';

/**
 * Finds the printers of some ranges. What is known or likely is asked first, results are told as they come, and the kernel's
 * neighbour table is never asked for more than it holds. Ends within a second of the abort signal, with what was found.
 */
export async function sweep(options: SweepOptions, net: Net): Promise<SweepDocument> {
  const startedAt = net.now().toISOString();
  const start = net.monotonic();
  const run = new SweepRun(options, net, new Link(net, await net.subnets()));
  try {
    await Promise.race([run.all(), aborted(options.signal)]);
  } finally {
    run.close();
  }
  return {
    schema: SWEEP_SCHEMA,
    ranges: options.plan.names,
    startedAt,
    tookMs: Math.round(net.monotonic() - start),
    ...run.outcome(),
  };
}

function aborted(signal: AbortSignal | undefined): Promise<void> {
  return new Promise((resolve) => {
    if (signal?.aborted === true) resolve();
    else signal?.addEventListener('abort', () => resolve(), { once: true });
  });
}

class SweepRun {
  private readonly printers = new Map<string, FoundPrinter>();
  private readonly others = new Map<string, OtherHost>();
  private readonly started = new Set<string>();
  private readonly agents: AgentFinder;
  private readonly inspector: Inspector;
  private readonly bucket: Bucket;
  private done = 0;

  constructor(
    private readonly options: SweepOptions,
    private readonly net: Net,
    private readonly link: Link,
  ) {
    const { pace } = options;
    const { credentials, retries } = options;
    this.agents = new AgentFinder({ credentials, retries, timeoutMs: pace.timeoutMs });
    this.inspector = new Inspector(options, net, link, this.agents);
    this.bucket = new Bucket(pace.perSecond, pace.burst, () => net.monotonic());
  }

  async all(): Promise<void> {
    await Promise.all([this.walk(), this.listen()]);
  }

  close(): void {
    this.agents.close();
  }

  outcome(): Pick<SweepDocument, 'addressesTried' | 'found' | 'others' | 'problems'> {
    const found = mergeSightings([...this.printers.values()]);
    const taken = new Set(found.flatMap((printer) => [printer.address, ...printer.alsoAt]));
    const stopped = this.options.signal?.aborted === true && this.done < this.options.plan.count;
    const { count } = this.options.plan;
    return {
      addressesTried: this.done,
      found,
      others: [...this.others.values()]
        .filter((other) => !taken.has(other.address))
        .sort((a, b) => compareAddresses(a.address, b.address)),
      problems: [
        ...this.options.remarks,
        ...(stopped ? [`Stopped before the end: ${this.done} of ${count} addresses were tried.`] : []),
      ],
    };
  }

  /** Every address once: known printers first, then whoever the neighbour table already knows, then the rest in order. */
  private async walk(): Promise<void> {
    const { plan, pace, known } = this.options;
    const neighbours = await this.net.neighbours();
    const likely = [
      ...known.map((printer) => printer.address),
      ...neighbours.filter((row) => row.mac !== null).map((row) => row.address),
    ];
    const addresses = addressesOf(plan, likely);
    const worker = async (): Promise<void> => {
      for (const address of addresses) {
        if (this.stopped()) return;
        await this.once(address);
      }
    };
    await Promise.all(Array.from({ length: Math.min(pace.knocks, plan.count) }, worker));
  }

  private async once(address: string): Promise<void> {
    if (!this.started.has(address)) {
      this.started.add(address);
      if (this.link.reach(address) === 'onlink') await this.bucket.take();
      if (this.stopped()) return;
      this.note(address, await this.inspector.visit(address));
    }
    this.done += 1;
    this.options.onProgress?.({ done: this.done, total: this.options.plan.count, found: this.printers.size });
  }

  /** Announcements come from the link: they add what no port told, and addresses that were still to come. */
  private async listen(): Promise<void> {
    const { listenMs, plan } = this.options;
    if (listenMs === 0 || !this.link.touches(plan.spans)) return;
    const instances = await this.net.browse(PRINTER_SERVICE_TYPES, listenMs);
    const heard = announcements(instances, (address) => contains(plan, address));
    await Promise.all(heard.map((announcement) => this.hear(announcement)));
  }

  private async hear(announcement: Announcement): Promise<void> {
    if (this.stopped()) return;
    this.started.add(announcement.address);
    this.note(announcement.address, await this.inspector.visit(announcement.address, announcement));
  }

  private note(address: string, visit: Visit): void {
    if (this.stopped()) return;
    if (visit.other !== null && !this.printers.has(address)) this.others.set(address, visit.other);
    if (visit.printer === null) return;
    const before = this.printers.get(address);
    // A visit that knows the announcement knows more than one without.
    if (before?.dnsSd === true && !visit.printer.dnsSd) return;
    this.others.delete(address);
    this.printers.set(address, visit.printer);
    if (before === undefined) this.options.onFound?.(visit.printer);
  }

  private stopped(): boolean {
    return this.options.signal?.aborted === true;
  }
}

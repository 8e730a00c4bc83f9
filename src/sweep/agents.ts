import { setTimeout as sleep } from 'node:timers/promises';
import type { SnmpCredential } from '../net/net.js';
import type { SweepTarget } from '../net/snmp-sweep.js';

/** An SNMP agent that answered: where, and under which credential. */
export interface Agent {
  readonly port: number;
  readonly credential: SnmpCredential;
}

export interface AgentSearch {
  readonly credentials: readonly SnmpCredential[];
  /** For an answer, all repeats included. Milliseconds. */
  readonly timeoutMs: number;
  readonly retries: number;
}

/** Silent addresses cost no descriptor, so many may be waited for at the same time; who asks limits those that answer. */
const IN_FLIGHT = 4096;
const GRACE_MS = 60;

/**
 * Looks for agents at addresses where perhaps nobody is, over one UDP socket for each credential and address family: thousands of
 * addresses cost no more descriptors than one. Addresses are handed in one by one, as the sweep comes to them.
 */
export class AgentFinder {
  private readonly lines: readonly Line[];

  constructor(search: AgentSearch) {
    this.lines = search.credentials.map((credential) => new Line(credential, search));
  }

  /**
   * The first credential, in the order given, that an agent at one of these ports answered. One that answers a little later than a
   * later one still counts.
   */
  async find(address: string, ports: readonly number[]): Promise<Agent | undefined> {
    const found: (Agent | undefined)[] = [];
    const asked = this.lines
      .flatMap((line) => ports.map((port) => ({ line, port })))
      .map(async ({ line, port }, index) => {
        const answered = await line.ask({ address, port });
        if (answered) found[index] = { port, credential: line.credential };
        return answered;
      });
    const any = new Promise<void>((resolve) => {
      for (const answer of asked) void answer.then((answered) => answered && resolve());
    });
    await Promise.race([any, Promise.all(asked)]);
    if (asked.length > 1 && found.some(Boolean)) await Promise.race([Promise.all(asked), sleep(GRACE_MS)]);
    return found.find((agent) => agent !== undefined);
  }

  close(): void {
    for (const line of this.lines) line.close();
  }
}

/** One credential's socket, and who waits for what it hears. */
class Line {
  private readonly queue: SweepTarget[] = [];
  private readonly waiting = new Map<string, (found: boolean) => void>();
  private wake: (() => void) | undefined;
  private readonly ending = new AbortController();

  constructor(
    readonly credential: SnmpCredential,
    search: AgentSearch,
  ) {
    void this.run(search).catch(() => this.close());
  }

  /** The library is loaded once somebody is there to be asked, while the link looks for the others. */
  private async run({ timeoutMs, retries }: AgentSearch): Promise<void> {
    const targets = this.targets();
    const first = await targets.next();
    if (first.done === true) return;
    this.queue.unshift(first.value);
    const { sweepSnmp } = await import('../net/snmp-sweep.js');
    await sweepSnmp(targets, this.credential, {
      timeoutMs: Math.max(1, Math.floor(timeoutMs / (retries + 1))),
      retries,
      maxInFlight: IN_FLIGHT,
      onReply: (reply) => this.settle(reply, reply.outcome === 'answered'),
      signal: this.ending.signal,
    });
  }

  ask(target: SweepTarget): Promise<boolean> {
    if (this.ending.signal.aborted) return Promise.resolve(false);
    return new Promise((resolve) => {
      this.waiting.set(keyOf(target), resolve);
      this.queue.push(target);
      this.wake?.();
    });
  }

  /** Whoever still waits is told that nobody answered. */
  close(): void {
    this.ending.abort();
    this.wake?.();
    for (const resolve of this.waiting.values()) resolve(false);
    this.waiting.clear();
  }

  private settle(target: SweepTarget, found: boolean): void {
    const key = keyOf(target);
    this.waiting.get(key)?.(found);
    this.waiting.delete(key);
  }

  private async *targets(): AsyncGenerator<SweepTarget> {
    while (!this.ending.signal.aborted) {
      const next = this.queue.shift();
      if (next !== undefined) yield next;
      else {
        await new Promise<void>((resolve) => {
          this.wake = resolve;
        });
      }
    }
  }
}

function keyOf(target: SweepTarget): string {
  return `${target.address} ${target.port}`;
}

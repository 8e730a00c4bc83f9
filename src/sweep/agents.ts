import { setMaxListeners } from 'node:events';
import type { SnmpCredential } from '../net/net.js';
import { type SweepTarget, sweepSnmp } from '../net/snmp-sweep.js';

/** An SNMP agent that answered: where, and under which credential. */
export interface Agent {
  readonly port: number;
  readonly credential: SnmpCredential;
}

export interface AgentSearch {
  readonly credentials: readonly SnmpCredential[];
  readonly timeoutMs: number;
  readonly retries: number;
}

/** A thousand replies at once overflow a socket's buffer. Most addresses here stay silent, so a quarter of that is safe. */
const IN_FLIGHT = 256;

/**
 * Looks for agents at addresses where perhaps nobody is, over one UDP socket for each credential: thousands of addresses cost no more
 * descriptors than one. Addresses are handed in one by one, as the sweep comes to them.
 */
export class AgentFinder {
  private readonly lines: readonly Line[];

  constructor(search: AgentSearch) {
    this.lines = search.credentials.map((credential) => new Line(credential, search));
  }

  /** The first credential, in the order given, that an agent at one of these ports answered. */
  async find(address: string, ports: readonly number[]): Promise<Agent | undefined> {
    const answers = await Promise.all(
      this.lines.flatMap((line) =>
        ports.map(async (port) => ({ port, credential: line.credential, found: await line.ask({ address, port }) })),
      ),
    );
    return answers.find((answer) => answer.found);
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
    const { timeoutMs, retries } = search;
    const { signal } = this.ending;
    // Every question under way listens to it.
    setMaxListeners(IN_FLIGHT + 1, signal);
    void sweepSnmp(this.targets(), credential, {
      timeoutMs,
      retries,
      maxInFlight: IN_FLIGHT,
      onReply: (reply) => this.settle(reply, reply.outcome === 'answered'),
      signal,
    }).catch(() => this.close());
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

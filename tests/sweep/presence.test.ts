import { afterEach, describe, expect, test } from 'vitest';
import type { Net } from '../../src/net/net.js';
import { PACES } from '../../src/sweep/pace.js';
import { PresenceFinder, type Seen } from '../../src/sweep/presence.js';
import { netWith } from '../probes/net-stand-in.js';

/**
 * A neighbour table as Linux was measured to keep one: an unanswered address takes a row for three seconds, of which there are so
 * many and no more; what finds none is dropped without a word. Time runs faster than outside.
 */
class Table {
  most = 0;
  dropped = 0;
  readonly rows = new Map<string, { readonly at: number; readonly mac: string | null }>();

  constructor(
    private readonly capacity: number,
    private readonly present: ReadonlyMap<string, { readonly afterMs: number }>,
    readonly clock: () => number,
  ) {}

  rouse(address: string): void {
    this.expire();
    const row = this.rows.get(address);
    if (row !== undefined) return;
    if (this.waiting() >= this.capacity) {
      this.dropped += 1;
      return;
    }
    this.rows.set(address, { at: this.clock(), mac: null });
    this.most = Math.max(this.most, this.waiting());
  }

  read(): ReadonlyMap<string, string | null> {
    this.expire();
    const shown = [...this.rows].map(([address, { at }]) => {
      const host = this.present.get(address);
      return [address, host !== undefined && this.clock() - at >= host.afterMs ? '02:00:00:00:00:01' : null] as const;
    });
    return new Map(shown);
  }

  private waiting(): number {
    return [...this.rows.keys()].filter((address) => !this.present.has(address)).length;
  }

  private expire(): void {
    for (const [address, { at }] of this.rows) {
      if (!this.present.has(address) && this.clock() - at > 3100) this.rows.delete(address);
    }
  }
}

let open: PresenceFinder | undefined;
afterEach(() => open?.close());

function finder(
  capacity: number,
  present: Record<string, number>,
  unresolved: number,
  onLate: (address: string, seen: Seen) => void = () => undefined,
  readable = true,
  speed = 20,
) {
  const start = performance.now();
  const clock = (): number => (performance.now() - start) * speed;
  const hosts = new Map(Object.entries(present).map(([address, afterMs]) => [address, { afterMs }]));
  const table = new Table(capacity, hosts, clock);
  const net: Net = netWith({
    monotonic: clock,
    rouser: () => ({ rouse: (address) => table.rouse(address), close: () => undefined }),
    resolved: async () => (readable ? table.read() : new Map()),
  });
  const pace = { ...PACES.brisk, unresolved, perSecond: 1e9, burst: 1e6, resolveMs: 4000 };
  open = new PresenceFinder(net, net.rouser(), pace, new Map([['10.0.0.3', '02:00:00:00:00:01']]), onLate);
  return { finder: open, table };
}

const addresses = (count: number): string[] =>
  Array.from({ length: count }, (_, index) => `10.0.${index >> 8}.${index & 255}`);

describe('who is there, by the kernel’s table', () => {
  test('a subnet three times as large as the table: everybody is found, nobody asked for in vain', async () => {
    const { finder: presence, table } = finder(100, { '10.0.0.5': 10, '10.0.0.250': 10, '10.0.1.40': 10 }, 90);
    const all = addresses(300);
    const seen = await Promise.all(all.map((address) => presence.ask(address)));
    expect(all.filter((_, index) => typeof seen[index] === 'object')).toEqual(['10.0.0.5', '10.0.0.250', '10.0.1.40']);
    expect(table.dropped).toBe(0);
    expect(table.most).toBeLessThanOrEqual(90);
  });

  test('what the kernel dropped, because others had filled the table, is sent to again', async () => {
    const { finder: presence, table } = finder(40, { '10.0.0.59': 10 }, 60);
    const seen = await Promise.all(addresses(60).map((address) => presence.ask(address)));
    expect(table.dropped).toBeGreaterThan(0);
    expect(seen.at(-1)).toMatchObject({ mac: '02:00:00:00:00:01' });
  });

  test('an address that the table knew before is no proof of life; a new one is', async () => {
    const { finder: presence } = finder(100, { '10.0.0.3': 0, '10.0.0.4': 0 }, 90);
    expect(await presence.ask('10.0.0.3')).toMatchObject({ remembered: true });
    expect(await presence.ask('10.0.0.4')).toMatchObject({ remembered: false });
  });

  test('an answer to a later question is told after the sweep has gone on, and shows that something gets lost', async () => {
    const late: string[] = [];
    const { finder: presence } = finder(100, { '10.0.0.4': 1500 }, 90, (address) => late.push(address), true, 5);
    expect(await presence.ask('10.0.0.4', 200)).toBe('absent');
    await presence.settle(undefined);
    expect(late).toEqual(['10.0.0.4']);
    expect(presence.sawLoss).toBe(true);
  });

  test('a system that shows no table is told from a subnet on which nobody is', async () => {
    const none = finder(100, {}, 90, undefined, false).finder;
    expect(await Promise.all(addresses(8).map((address) => none.ask(address)))).toContain('blind');
    expect(none.blind).toBe(true);
    none.close();
    const empty = finder(100, {}, 90).finder;
    expect(await Promise.all(addresses(8).map((address) => empty.ask(address)))).toEqual(Array(8).fill('absent'));
    expect(empty.blind).toBe(false);
  });
});

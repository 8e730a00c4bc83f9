/** `tsx tests/lab/soak.ts [PRINTERS] [DAYS] [MINUTES]`: an office for many days on a fake clock, through the real code. */
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import Libsql from 'libsql';
import { Agent, type Settings } from '../../src/daemon/agent.js';
import { wallClock } from '../../src/daemon/hours.js';
import { readingOf } from '../../src/daemon/reading.js';
import { addressing } from '../../src/daemon/tell-whom.js';
import type { Message } from '../../src/daemon/teller.js';
import type { Watched } from '../../src/daemon/watch.js';
import { openStore, type Store } from '../../src/store/store.js';
import { keptLog, MemoryShelf, tellerOf } from '../daemon/worlds.js';
import { CAUSES, chance, type Injected, makeTemplates, type Soaked, seenOf, type Templates } from './soak-office.js';

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;
const START = Date.parse('2026-01-05T00:00:00Z');
const GROUP = 14;

export interface SoakPlan {
  readonly printers: number;
  readonly days: number;
  readonly everyMs: number;
  readonly seed: number;
}

export interface SoakReport {
  readonly readings: number;
  readonly injected: number;
  readonly incidents: number;
  /** Injected and not found. */
  readonly missed: readonly string[];
  /** Found and not injected. */
  readonly invented: readonly string[];
  readonly faultsTold: number;
  readonly clearedTold: number;
  /** Octets of the store at the end of each week. */
  readonly sizes: readonly number[];
  /** Rows of each table at the end of all. */
  readonly rows: Readonly<Record<string, number>>;
  /** Heap in use at the end of each week, after a collection where one can be asked for. */
  readonly heaps: readonly number[];
}

/** Troubles that last long enough to be seen twice, and blinks that do not; never two at once at one printer. */
function inject({ printers, days, everyMs, seed }: SoakPlan): { troubles: Injected[]; blinks: Injected[] } {
  const random = chance(seed);
  const troubles: Injected[] = [];
  const blinks: Injected[] = [];
  const busy = Array.from({ length: printers }, () => START + 2 * everyMs);
  const end = START + days * DAY - DAY / 2;
  for (let at = START + 3 * DAY; at < end; at += 29 * DAY) {
    // A switch dies, and everything behind it is silent.
    const members = Array.from({ length: Math.min(GROUP, printers) }, (_, n) => n);
    troubles.push({ printers: members.map(nameOf), cause: 'several', from: at, to: at + 2 * HOUR });
  }
  const switches = [...troubles];
  for (let n = 0; n < printers; n++) {
    for (let at = busy[n] ?? START; ; ) {
      at += DAY / 2 + random() * 6 * DAY;
      const cause = random() < 0.2 ? 'no-sign-of-life' : (CAUSES[Math.floor(random() * CAUSES.length)] ?? 'paused');
      const long = 3 * everyMs + random() * 6 * HOUR;
      if (at + long > end) break;
      const clear = switches.every(({ from, to }) => at > to + 4 * HOUR || at + long < from - 4 * HOUR);
      if (!clear) continue;
      if (random() < 0.25) blinks.push({ printers: [nameOf(n)], cause, from: at, to: at + 5_000 });
      else troubles.push({ printers: [nameOf(n)], cause, from: at, to: at + long });
      at += long + 3 * HOUR;
    }
  }
  return { troubles, blinks };
}

const nameOf = (n: number): string => `p${String(n).padStart(2, '0')}`;

class SoakWorld {
  wall = START;
  steady = 0;
  readonly now = (): number => this.wall;
  readonly monotonic = (): number => this.steady;
  advance(ms: number): void {
    this.wall += ms;
    this.steady += ms;
  }
}

/** Runs the office through its days and compares what the agent found with what was put there. */
export async function soak(plan: SoakPlan, tell: (line: string) => void = () => undefined): Promise<SoakReport> {
  const templates = await makeTemplates();
  const folder = mkdtempSync(join(tmpdir(), 'outfeed-soak-'));
  try {
    return await new Soak(plan, templates, folder, tell).run();
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

class Soak {
  private readonly world = new SoakWorld();
  private readonly printers: Map<string, Soaked>;
  private readonly troubles: readonly Injected[];
  private readonly byPrinter = new Map<string, Injected[]>();
  private readonly told: string[] = [];
  private readonly sizes: number[] = [];
  private readonly heaps: number[] = [];
  private readings = 0;

  constructor(
    private readonly plan: SoakPlan,
    private readonly templates: Templates,
    private readonly folder: string,
    private readonly tell: (line: string) => void,
  ) {
    const { troubles, blinks } = inject(plan);
    this.troubles = troubles;
    for (const one of [...troubles, ...blinks]) {
      for (const name of one.printers) this.byPrinter.set(name, [...(this.byPrinter.get(name) ?? []), one]);
    }
    this.printers = new Map(
      Array.from({ length: plan.printers }, (_, n) => {
        return [nameOf(n), { name: nameOf(n), address: `192.0.2.${n + 1}`, level: 6000, pages: 1000 * n }];
      }),
    );
  }

  async run(): Promise<SoakReport> {
    const end = START + this.plan.days * DAY;
    let week = 0;
    while (this.world.wall < end) {
      // Each week the agent is killed: nothing is said, nothing is written.
      const until = Math.min(end, START + ++week * 7 * DAY);
      await this.oneLife(until);
    }
    const store = await this.open();
    const report = await this.compare(store);
    await store.close();
    return { ...report, rows: this.rows() };
  }

  private rows(): Record<string, number> {
    const file = new Libsql(join(this.folder, 'soak.db'), { readonly: true });
    const tables = file.prepare("select name from sqlite_master where type = 'table'").all() as { name: string }[];
    const count = (name: string) => (file.prepare(`select count(*) as n from "${name}"`).get() as { n: number }).n;
    const rows = Object.fromEntries(tables.map(({ name }) => [name, count(name)]));
    file.close();
    return rows;
  }

  private open(): Promise<Store> {
    return openStore('sqlite:soak.db', { site: 'soak', folder: this.folder });
  }

  private async oneLife(until: number): Promise<void> {
    const store = await this.open();
    const agent = new Agent(
      {
        world: this.world,
        store,
        log: keptLog(),
        shelf: new MemoryShelf(),
        sweep: () => Promise.reject(new Error('none')),
        read: async ({ label }) => this.look(label),
      },
      this.settings(),
    );
    await agent.start();
    while (this.world.wall < until) {
      await agent.step();
      await agent.idle();
      const next = agent.watch.nextDue() - this.world.steady;
      this.world.advance(Math.max(200, Math.min(next, until - this.world.wall, 10_000)));
    }
    this.readings += agent.watch.readings;
    globalThis.gc?.();
    this.heaps.push(process.memoryUsage().heapUsed);
    this.sizes.push(statSync(join(this.folder, 'soak.db')).size);
    this.tell(`day ${(until - START) / DAY}: ${agent.watch.readings} readings, ${this.sizes.at(-1)} octets`);
    await agent.idle();
    // The lock would outlive a killed agent only as long as its process, which here goes on.
    await agent.keeper.flush(true);
    await agent.stop();
    await store.close();
  }

  private settings(): Settings {
    const clock = wallClock('UTC');
    const setting = tellerOf({ to: { kind: 'command', run: 'none', args: [] } });
    const send = async ({ events }: Message): Promise<void> => {
      for (const { kind, printer, cause } of events) this.told.push(`${kind} ${printer} ${cause}`);
    };
    return {
      rules: {
        site: 'soak',
        pace: { everyMs: this.plan.everyMs, inFaultMs: 5 * MINUTE },
        clock,
        officeHours: undefined,
        addressed: addressing([setting], clock),
        atOnce: 1000,
      },
      printers: [...this.printers.values()].map(({ name, address }, n): Watched => {
        const target = { label: name, host: address, snmpPort: 161, printPorts: [], queues: [] };
        return { name, target, group: `switch ${Math.floor(n / GROUP)}`, configured: true };
      }),
      tellers: [{ setting, send }],
      sweepEveryMs: 1e15,
      keepMs: 400 * DAY,
    };
  }

  private look(name: string) {
    const now = this.world.wall;
    const printer = this.printers.get(name);
    if (printer === undefined) throw new Error(name);
    const trouble = this.byPrinter.get(name)?.find(({ from, to }) => from <= now && now < to);
    const dead = trouble?.cause === 'several' || trouble?.cause === 'no-sign-of-life';
    if (trouble === undefined) this.print(printer, now);
    return readingOf(seenOf(this.templates, dead ? 'dead' : (trouble?.cause ?? 'well'), printer, now));
  }

  /** Prints in office hours; a cartridge is exchanged when it is nearly empty. */
  private print(printer: Soaked, now: number): void {
    const date = new Date(now);
    if (date.getUTCDay() % 6 === 0 || date.getUTCHours() < 8 || date.getUTCHours() >= 18) return;
    const printed = 2 + (printer.pages % 7);
    printer.pages += printed;
    printer.level = printer.level - printed < 300 ? 6000 : printer.level - printed;
  }

  private async compare(store: Store): Promise<Omit<SoakReport, 'rows'>> {
    const incidents = await store.incidents({ limit: 1_000_000 });
    const slack = 3 * this.plan.everyMs + 30 * MINUTE;
    const fits = (one: Injected, incident: (typeof incidents)[number]): boolean => {
      const started = Date.parse(incident.startedAt);
      const ended = incident.endedAt === null ? Number.POSITIVE_INFINITY : Date.parse(incident.endedAt);
      const same =
        one.cause === 'several' ? incident.affects.length === one.printers.length : incident.cause === one.cause;
      return (
        same &&
        incident.affects.includes(one.printers[0] ?? '') &&
        started >= one.from &&
        started < one.to &&
        ended < one.to + slack
      );
    };
    const words = (one: Injected) => `${one.printers[0]} ${one.cause} ${new Date(one.from).toISOString()}`;
    const missed = this.troubles.filter((one) => incidents.filter((incident) => fits(one, incident)).length !== 1);
    const invented = incidents.filter((incident) => this.troubles.filter((one) => fits(one, incident)).length !== 1);
    return {
      readings: this.readings,
      injected: this.troubles.length,
      incidents: incidents.length,
      missed: missed.map(words),
      invented: invented.map(
        ({ printer, cause, startedAt, affects }) => `${printer} ${cause} ${startedAt} ${affects.length}`,
      ),
      faultsTold: this.told.filter((line) => line.startsWith('fault')).length,
      clearedTold: this.told.filter((line) => line.startsWith('cleared')).length,
      sizes: this.sizes,
      heaps: this.heaps,
    };
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [printers = 60, days = 90, minutes = 30] = process.argv.slice(2).map(Number);
  const started = performance.now();
  const report = await soak({ printers, days, everyMs: minutes * MINUTE, seed: 7 }, console.log);
  const { sizes } = report;
  const perYear = ((sizes.at(-1) ?? 0) / printers) * (365 / days);
  console.log(
    JSON.stringify({ ...report, missed: report.missed.slice(0, 10), invented: report.invented.slice(0, 10) }, null, 1),
  );
  console.log(
    `${printers} printers, ${days} days, read every ${minutes} min: ${report.readings} readings in ${((performance.now() - started) / 1000).toFixed(0)} s`,
  );
  console.log(
    `${report.missed.length} of ${report.injected} missed, ${report.invented.length} invented; ${Math.round(perYear)} octets a printer and year at most`,
  );
}

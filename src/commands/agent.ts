import { resolve } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import type { Config, PrinterSetting } from '../config/config.js';
import { findConfig, loadConfig } from '../config/load.js';
import { Agent } from '../daemon/agent.js';
import { listenForAnnouncements } from '../daemon/announcements.js';
import { actionRoute } from '../daemon/api/action-routes.js';
import { listRoute } from '../daemon/api/list-routes.js';
import { openApiRoute } from '../daemon/api/openapi.js';
import { LatestReadings } from '../daemon/latest.js';
import type { Metrics } from '../daemon/outside/metrics/metrics.js';
import { type HeardQueue, listenToQueues } from '../daemon/outside/queue-events.js';
import { ReportFolder } from '../daemon/outside/report-folder.js';
import { supervisor } from '../daemon/outside/systemd.js';
import { listenForTraps, type TrapListener } from '../daemon/outside/traps.js';
import { eventsRoute, printerRoute } from '../daemon/printer-routes.js';
import { type ReadPrinter, reader, type WithPast } from '../daemon/reading.js';
import { healthRoute } from '../daemon/routes.js';
import type { Shelf } from '../daemon/shelf.js';
import type { World } from '../daemon/world.js';
import { EXIT, type ExitCode } from '../model/problem.js';
import type { Net } from '../net/net.js';
import type { Limits } from '../probes/probe.js';
import { withPast } from '../store/past-evidence.js';
import type { Store } from '../store/store.js';
import { parseIppUri } from '../wire/ipp/uri.js';
import { type OpenPage, openPage, place, portProblem } from './agent-http.js';
import { agentLog, type LevelledLog } from './agent-log.js';
import { metricsOf } from './agent-metrics.js';
import { commandRoutes } from './agent-routes.js';
import { agentSettings } from './agent-settings.js';
import { fileShelf, shelfFolder } from './agent-shelf.js';
import { openAgentStore, siteName } from './agent-store.js';
import type { Io } from './io.js';
import { limitsOf } from './limits.js';
import type { CommonOptions } from './options.js';
import { servedPage } from './served-page.js';
import { sweepFor } from './sweep.js';
import { programVersion } from './version.js';

export interface AgentArgs {
  /** Read everything once, tell, and end. */
  readonly once: boolean;
  readonly options: CommonOptions;
}

/** At most so long between two looks at what is due. */
const MOST_WAIT_MS = 1_000;
/** Two looks into the folder of reports; a new one is read at the second that finds it unchanged. */
const REPORTS_MS = 5_000;

/** Watches the site's printers until it is told to stop, or once. Exit 0 after an orderly end. */
export async function runAgent({ once, options }: AgentArgs, io: Io): Promise<ExitCode> {
  const config = await loadConfig(options.config, io);
  const log = agentLog(io.stderr, options.verbose ? 'debug' : options.quiet ? 'warn' : 'info');
  const store = await openAgentStore(config, io);
  try {
    const running = await RunningAgent.make({ config, options, io, log, store });
    await (once ? running.once() : running.untilStopped());
  } finally {
    await store.close().catch(() => undefined);
  }
  return EXIT.nothingWrong;
}

interface Parts {
  readonly config: Config;
  readonly options: CommonOptions;
  readonly io: Io;
  readonly log: LevelledLog;
  readonly store: Store;
}

/** What it sees by, and what it saw last. */
interface Senses {
  readonly reports: ReportFolder | undefined;
  readonly latest: LatestReadings;
  readonly read: ReadPrinter;
}

class RunningAgent {
  private readonly closers: (() => void | Promise<void>)[] = [];
  private wakeUp: () => void = () => undefined;
  private page: OpenPage | undefined;
  private metrics: Metrics | undefined;
  private reloading: Promise<void> = Promise.resolve();
  private subscriptions: { readonly over: AbortController; readonly ended: Promise<void> } | undefined;

  private constructor(
    private readonly parts: Parts,
    private readonly agent: Agent,
    private readonly net: Net,
    private limits: Limits,
    private config: Config,
    private readonly stopped: AbortController,
    private readonly senses: Senses,
  ) {}

  static async make(parts: Parts): Promise<RunningAgent> {
    const { config, options, io, log, store } = parts;
    const net = await io.net();
    const world: World = { now: () => net.now().getTime(), monotonic: () => net.monotonic() };
    const limits = await limitsOf(options, config, io);
    const settings = await agentSettings(config, options, io, store);
    const made: { running?: RunningAgent } = {};
    const stopped = new AbortController();
    const quietly = { ...options, quiet: true, json: true };
    const latest = new LatestReadings();
    const read = reader(
      net,
      () => made.running?.limits ?? limits,
      rememberedWith(store),
      () => made.running?.senses.reports?.evidence() ?? [],
    );
    const agent = new Agent(
      {
        world,
        store,
        log,
        read,
        shelf: shelfOf(parts),
        onReading: (name, reading) => {
          latest.take(name, reading);
          made.running?.metrics?.read(reading.why.tookMs / 1_000, reading.alive);
        },
        onEvent: latest.tell,
        sweep: () => sweepFor([], quietly, { ...io, signal: stopped.signal }),
      },
      settings,
    );
    const reports = reportsOf(parts, world, agent);
    made.running = new RunningAgent(parts, agent, net, limits, config, stopped, { reports, latest, read });
    await agent.start();
    return made.running;
  }

  get signal(): AbortSignal {
    return this.stopped.signal;
  }

  async once(): Promise<void> {
    try {
      // A report that is there at the start is not being written.
      await this.senses.reports?.look();
      await this.senses.reports?.look();
      await this.agent.once((ms) => sleep(ms));
    } finally {
      this.stopped.abort();
      await this.agent.stop();
    }
  }

  async untilStopped(): Promise<void> {
    const { io, log } = this.parts;
    const systemd = supervisor(io.env);
    try {
      this.listenToSignals();
      await this.open();
      io.signal?.addEventListener('abort', () => this.stop(), { once: true });
      if (io.signal?.aborted === true) this.stop();
      await systemd.tell('READY=1', `STATUS=watching ${this.agent.watch.printers().length} printers`);
      const watchdog = this.feedWatchdog(systemd);
      await this.turn();
      log.info({}, 'the agent ends');
      clearInterval(watchdog);
      await Promise.race([systemd.tell('STOPPING=1'), sleep(200)]);
    } finally {
      this.stopped.abort();
      // What can not be closed must not keep what was seen from being written.
      for (const close of this.closers)
        await Promise.resolve()
          .then(close)
          .catch((error: unknown) => log.warn({ err: String(error) }, 'not closed'));
      await this.agent.stop();
    }
  }

  private stop(): void {
    this.stopped.abort();
    this.wakeUp();
  }

  private async turn(): Promise<void> {
    while (!this.signal.aborted) {
      const wait = Math.min(MOST_WAIT_MS, await this.agent.step());
      await new Promise<void>((resolve) => {
        const timer = setTimeout(resolve, wait);
        this.wakeUp = () => {
          clearTimeout(timer);
          resolve();
        };
      });
    }
  }

  private feedWatchdog(systemd: ReturnType<typeof supervisor>): NodeJS.Timeout | undefined {
    if (systemd.watchdogMs === null) return undefined;
    return setInterval(() => {
      if (this.agent.alive) void systemd.tell('WATCHDOG=1');
    }, systemd.watchdogMs / 3);
  }

  /** Opens what can be heard and asked from outside. A port that can't be had is a mistake to mend. */
  private async open(): Promise<void> {
    const { log, store, io } = this.parts;
    const { traps } = this.config;
    const { latest, read } = this.senses;
    const config = () => this.config;
    const served = await servedPage({ agent: this.agent, latest, read, store, io, config });
    this.metrics = await metricsOf(this.agent, latest);
    const routes = [
      healthRoute(this.agent),
      this.metrics.route,
      listRoute(this.agent, store, () => io.now().getTime()),
      actionRoute(this.agent, store, () => io.now().getTime()),
      openApiRoute(programVersion()),
      printerRoute(this.agent, this.senses.latest, this.senses.read),
      eventsRoute(this.senses.latest),
      ...commandRoutes({ config, options: this.parts.options, io }),
      ...served.routes,
    ];
    this.page = await openPage(this.config, { ...served, routes }, log, io);
    this.closers.push(() => this.page?.close());
    if (traps !== undefined) await this.openTraps(traps.listen);
    await this.watchReports();
    this.subscribe();
    this.closers.push(() => this.unsubscribe());
    void listenForAnnouncements(this.net, this.signal, (address) => this.hear(address, 'dns-sd')).catch(
      (error: unknown) => log.warn({ err: String(error) }, 'listening for announcements failed'),
    );
  }

  /** Where the configuration says so, queues tell what happens to them. */
  private subscribe(): void {
    if (this.signal.aborted) return;
    const { log } = this.parts;
    const queues = this.config.printers.filter(({ subscribe }) => subscribe).flatMap(spoolerQueues);
    const over = new AbortController();
    const heard = (printer: string): void => {
      log.debug({ printer, by: 'queue' }, 'heard from a queue');
      this.agent.watch.wake(printer);
      this.wakeUp();
    };
    const ended = listenToQueues({
      net: this.net,
      queues,
      heard,
      log,
      timeoutMs: this.limits.timeoutMs,
      signal: over.signal,
    }).catch((error: unknown) => log.warn({ err: String(error) }, 'listening to queues failed'));
    this.subscriptions = { over, ended };
  }

  private async unsubscribe(): Promise<void> {
    this.subscriptions?.over.abort();
    await this.subscriptions?.ended;
  }

  private async watchReports(): Promise<void> {
    const { reports } = this.senses;
    if (reports === undefined) return;
    await reports.look();
    const looks = setInterval(() => void reports.look(), REPORTS_MS);
    this.closers.push(() => clearInterval(looks));
  }

  private async openTraps(listen: string): Promise<void> {
    const { log } = this.parts;
    const options = {
      ...place(listen),
      credentials: this.limits.credentials,
      log,
      heard: ({ address, kind, what }: { address: string; kind: string; what: string | null }) => {
        log.debug({ address, kind, what }, 'a notification came');
        this.hear(address, kind);
      },
    };
    const listener = await listenForTraps(options).catch((error: unknown): TrapListener => {
      throw portProblem('traps.listen', listen, error);
    });
    this.closers.push(() => listener.close());
    log.info({ port: listener.port }, 'traps are listened for');
  }

  private hear(address: string, by: string): void {
    this.parts.log.debug({ address, by }, 'heard from an address');
    this.agent.heardFrom(address);
  }

  /** HUP: read the configuration again. USR2: say more, or less again. */
  private listenToSignals(): void {
    const { log } = this.parts;
    const on = (signal: NodeJS.Signals, act: () => void): void => {
      process.on(signal, act);
      this.closers.push(() => void process.removeListener(signal, act));
    };
    on('SIGHUP', () => {
      // One after the other: two at once would leave subscriptions behind that nobody ends.
      this.reloading = this.reloading.then(() => this.reload());
    });
    if (process.platform === 'win32') return;
    on('SIGUSR2', () => log.info({ level: log.turn() }, 'the log says more or less from now on'));
  }

  private async reload(): Promise<void> {
    const { options, io, log, store } = this.parts;
    try {
      const file = await findConfig(options.config, io);
      const fresh = await loadConfig(options.config, io);
      const config = withKept(fresh, this.config);
      const limits = await limitsOf(options, config, io);
      const settings = await agentSettings(config, options, io, store);
      // The last that may fail: what follows holds as a whole.
      await this.page?.renew();
      const later = onlyAfterStart(fresh, this.config);
      this.agent.follow(settings);
      this.limits = limits;
      this.config = config;
      await this.unsubscribe();
      this.subscribe();
      log.info({ file, onlyAfterStart: later }, 'the configuration was read again');
    } catch (error) {
      const words = error instanceof Error ? error.message : String(error);
      log.error({ err: words }, 'the configuration can not be used; the one before still holds');
    }
  }
}

/** What is opened once, when the agent starts. */
const ONLY_AFTER_START = ['page', 'store', 'traps', 'reports'] as const;

function onlyAfterStart(fresh: Config, kept: Config): readonly string[] {
  const later = ONLY_AFTER_START.filter((key) => JSON.stringify(fresh[key]) !== JSON.stringify(kept[key]));
  return siteName(fresh) === siteName(kept) ? later : [...later, 'site.name'];
}

/** A new configuration with what holds since the start. The store was opened for the site by its name. */
function withKept({ traps: _traps, reports: _reports, site, ...fresh }: Config, kept: Config): Config {
  const { page, store, traps, reports } = kept;
  const { name: _name, ...rest } = site;
  const { name } = kept.site;
  return {
    ...fresh,
    site: { ...rest, ...(name === undefined ? {} : { name }) },
    page,
    store,
    ...(traps === undefined ? {} : { traps }),
    ...(reports === undefined ? {} : { reports }),
  };
}

/** A subscription is kept on a spooler only: a printer is read, never written to. */
function spoolerQueues({ name, address, ippUri, queues }: PrinterSetting): readonly HeardQueue[] {
  const other = ippUri === undefined ? undefined : parseIppUri(ippUri)?.host;
  const printerHosts = [address, ...(other === undefined ? [] : [other])];
  return queues.map((uri) => ({ uri, printer: name, printerHosts }));
}

function reportsOf({ config, io, log }: Parts, world: World, agent: Agent): ReportFolder | undefined {
  if (config.reports === undefined) return undefined;
  const { folder, maxAgeMs } = config.reports;
  const onNew = (addresses: readonly string[]): void => {
    for (const address of addresses) agent.watch.wakeAddress(address);
  };
  return new ReportFolder({ folder: resolve(config.folder ?? io.cwd, folder), maxAgeMs, world, log, onNew });
}

function shelfOf({ config, io, store }: Parts): Shelf {
  const folder = shelfFolder(io.env, config.folder ?? io.cwd);
  return fileShelf({ folder, site: siteName(config), shown: store.shown });
}

/** What the past adds where nothing answers. A store that is away adds nothing. */
function rememberedWith(store: Store): WithPast {
  return async (bundle, printer) => {
    const past = await store.past(printer).catch(() => undefined);
    return past === undefined ? bundle : withPast(bundle, past);
  };
}

import Negotiator from 'negotiator';
import { collectDefaultMetrics, Registry } from 'prom-client';
import { held } from '../../held.js';
import { type Answer, notAllowed, type Route } from '../http/answer.js';
import { AgentMetrics, type MeteredAgent } from './agent-metrics.js';
import { type MeteredPrinter, PrinterMetrics } from './printer-metrics.js';

export interface Metered {
  readonly version: string;
  readonly agent: () => MeteredAgent;
  readonly printers: () => readonly MeteredPrinter[];
}

/** The two ways of writing metrics, the plain one first: it is what whoever has no wish gets. */
const FORMATS = [
  { accepts: ['text/plain', 'text/plain;version=0.0.4'], type: Registry.PROMETHEUS_CONTENT_TYPE },
  {
    accepts: ['application/openmetrics-text;version=1.0.0', 'application/openmetrics-text'],
    type: Registry.OPENMETRICS_CONTENT_TYPE,
  },
] as const;

/** Who asks within this time gets the same text: a thousand printers take a while to write. */
const HOLDS_MS = 500;

/** `/metrics`: the site and the agent for Prometheus and whatever reads its format, as OpenMetrics when it is asked for. */
export class Metrics {
  private readonly formats;

  constructor(metered: Metered) {
    // One registry each: the library keeps the format there, and writing the one changes names for the other.
    this.formats = FORMATS.map(({ accepts, type }) => ({ accepts, format: new Format(type, metered) }));
  }

  /** A reading was made. */
  read(seconds: number, answered: boolean): void {
    for (const { format } of this.formats) format.agent.read(seconds, answered);
  }

  readonly route: Route = async ({ path, method, accept }) => {
    if (path !== '/metrics') return undefined;
    if (method !== 'GET') return notAllowed('GET');
    const offered = this.formats.flatMap(({ accepts }) => [...accepts]);
    const wanted = new Negotiator({ headers: { accept: accept === '' ? '*/*' : accept } }).mediaType(offered);
    const found = this.formats.find(({ accepts }) => accepts.some((type) => type === wanted)) ?? this.formats[0];
    return found?.format.answer();
  };
}

/** Of the library: gauges that are called like counters, which OpenMetrics forbids. The same by kind remains. */
const MISNAMED = ['handles', 'requests', 'resources'].map((what) => `nodejs_active_${what}_total`);

class Format {
  readonly agent: AgentMetrics;
  private readonly registry = new Registry();
  private readonly printers: PrinterMetrics;
  readonly answer = held(() => this.make(), HOLDS_MS);

  constructor(
    private readonly type: typeof Registry.PROMETHEUS_CONTENT_TYPE | typeof Registry.OPENMETRICS_CONTENT_TYPE,
    private readonly metered: Metered,
  ) {
    // The library's types know one format for a registry once it was made.
    this.registry.setContentType(type as typeof Registry.PROMETHEUS_CONTENT_TYPE);
    this.agent = new AgentMetrics(this.registry, metered.version);
    this.printers = new PrinterMetrics(this.registry);
    collectDefaultMetrics({ register: this.registry });
    for (const name of MISNAMED) this.registry.removeSingleMetric(name);
  }

  private async make(): Promise<Answer> {
    this.agent.fill(this.metered.agent());
    this.printers.fill(this.metered.printers());
    // Octets, which are compressed once for all who get them.
    return { status: 200, body: Buffer.from(await this.registry.metrics()), type: this.type };
  }
}

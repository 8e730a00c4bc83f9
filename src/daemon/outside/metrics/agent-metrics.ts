import { Counter, Gauge, Histogram, type Registry } from 'prom-client';
import { LAYERS } from '../../../model/layers.js';
import { labelOf } from './labels.js';

/** How the agent itself does. */
export interface MeteredAgent {
  readonly ready: boolean;
  readonly openIncidents: readonly { readonly layer: string }[];
  readonly store: { readonly waiting: number; readonly written: number; readonly dropped: number };
  /** Totals of each way of telling people since the start. */
  readonly tellers: readonly { readonly id: string; readonly sent: number; readonly failed: number }[];
}

/** From a printer beside the server to one that answers at the last moment, in seconds. */
const READ_BUCKETS = [0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10, 20, 40];

export class AgentMetrics {
  private readonly ready: Gauge;
  private readonly open: Gauge;
  private readonly reads: Histogram;
  private readonly waiting: Gauge;
  private readonly written: Counter;
  private readonly dropped: Counter;
  private readonly sent: Counter;
  private readonly failed: Counter;

  constructor(registry: Registry, version: string) {
    const registers = [registry];
    const gauge = (name: string, help: string, labelNames: string[] = []) =>
      new Gauge({ name: `outfeed_${name}`, help, labelNames, registers });
    const counter = (name: string, help: string, labelNames: string[] = []) =>
      new Counter({ name: `outfeed_${name}_total`, help, labelNames, registers });
    gauge('build_info', 'The program that answers; always 1.', ['version']).set({ version: labelOf(version) }, 1);
    this.ready = gauge('ready', '1 while what is seen can be written down and this agent has the site to itself.');
    this.open = gauge('incidents_open', 'Incidents that are not over, by the layer at fault.', ['layer']);
    this.reads = new Histogram({
      name: 'outfeed_read_duration_seconds',
      help: 'How long the last look of a reading took, by whether anything at the address answered.',
      labelNames: ['outcome'],
      buckets: READ_BUCKETS,
      registers,
    });
    for (const outcome of ['answered', 'silent']) this.reads.zero({ outcome });
    this.waiting = gauge('store_changes_waiting', 'Changes that wait for the store.');
    this.written = counter('store_changes_written', 'Changes written to the store since the start.');
    this.dropped = counter('store_changes_dropped', 'Measurements given up because the store was away for too long.');
    this.sent = counter('messages_sent', 'Messages that were taken, by the way of telling people.', ['teller']);
    this.failed = counter('messages_failed', 'Tries to tell people that failed; they are repeated.', ['teller']);
  }

  read(seconds: number, answered: boolean): void {
    this.reads.observe({ outcome: answered ? 'answered' : 'silent' }, seconds);
  }

  fill({ ready, openIncidents, store, tellers }: MeteredAgent): void {
    this.ready.set(ready ? 1 : 0);
    for (const layer of LAYERS) this.open.set({ layer }, openIncidents.filter((one) => one.layer === layer).length);
    this.waiting.set(store.waiting);
    for (const metric of [this.written, this.dropped, this.sent, this.failed]) metric.reset();
    this.written.inc(store.written);
    this.dropped.inc(store.dropped);
    for (const { id, sent, failed } of tellers) {
      this.sent.inc({ teller: labelOf(id) }, sent);
      this.failed.inc({ teller: labelOf(id) }, failed);
    }
  }
}

/** The server of the HTTP bench in a process of its own: `bare|served PRINTERS`. Tells its port, and its memory when asked. */
import { fastify } from 'fastify';
import type { Agent } from '../../src/daemon/agent.js';
import { listRoute } from '../../src/daemon/api/list-routes.js';
import { LatestReadings } from '../../src/daemon/latest.js';
import { serve } from '../../src/daemon/outside/http/server.js';
import { Metrics } from '../../src/daemon/outside/metrics/metrics.js';
import { type PageParts, pageRoute } from '../../src/daemon/page-routes.js';
import { readingOf } from '../../src/daemon/reading.js';
import { conditionOf, newTrack } from '../../src/daemon/track.js';
import type { Store } from '../../src/store/store.js';
import { bundleOf, HEALTHY, type Site, snmpPrinter } from '../ladder/bundle.js';

const [what, count = '1000'] = process.argv.slice(2);
const quiet = { debug: () => undefined, info: () => undefined, warn: () => undefined, error: () => undefined };
const UNLIMITED = { client: 1e9, all: 1e9, actions: 1e9 };
const JAMMED: Site = { ...HEALTHY, snmp: snmpPrinter({ device: 5, printer: 1, bits: '0400' }) };

/** One in ten is silent. */
function office(): { readonly agent: Agent; readonly latest: LatestReadings } {
  const latest = new LatestReadings();
  const printers = Array.from({ length: Number(count) }, (_, i) => {
    const name = `printer-${i}`;
    const reading = readingOf(bundleOf(i % 10 === 0 ? JAMMED : HEALTHY));
    latest.take(name, reading);
    const target = { label: name, host: `192.0.2.${i % 250}`, snmpPort: 161, printPorts: [631], queues: [] };
    const track = { ...newTrack(name, 'a'), confirmed: conditionOf(reading.why), since: Date.now() };
    return { watched: { name, target, group: 'a', configured: true }, track, lastAnswerAt: Date.now() };
  });
  const documents = printers.map(({ watched: { name, target }, track: { confirmed }, lastAnswerAt }) => ({
    name,
    address: target.host,
    silent: confirmed.silent,
    layer: confirmed.layer,
    cause: confirmed.cause,
    since: new Date(lastAnswerAt).toISOString(),
    lastAnswerAt: new Date(lastAnswerAt).toISOString(),
  }));
  const agent = {
    watch: { printers: () => printers, incidents: () => [] },
    sweepState: () => ({ running: false, lastAt: null }),
    printersDocument: () => ({
      schema: 'outfeed.printers/1',
      printers: [...documents].sort((a, b) => (a.name < b.name ? -1 : 1)),
    }),
  };
  return { agent: agent as unknown as Agent, latest };
}

async function served(): Promise<number> {
  const { agent, latest } = office();
  const site = () => ({ name: 'Harbour annex', timezone: 'UTC', people: new Map() });
  const parts = { agent, latest, log: quiet, now: Date.now, site, assets: { style: '/a.css', script: '/a.js' } };
  const metrics = new Metrics({
    version: '0.0.0',
    agent: () => ({ ready: true, openIncidents: [], store: { waiting: 0, written: 0, dropped: 0 }, tellers: [] }),
    printers: () =>
      agent.watch.printers().map(({ watched: { name, target }, track, lastAnswerAt }) => ({
        name,
        address: target.host,
        silent: track.confirmed?.silent ?? null,
        lastAnswerAt,
        latest: latest.of(name),
      })),
  });
  const routes = [metrics.route, listRoute(agent, {} as Store, Date.now), pageRoute(parts as unknown as PageParts)];
  const made = { address: '127.0.0.1', port: 0, token: undefined, routes, log: quiet, paces: UNLIMITED };
  return (await serve(made)).port;
}

async function bare(): Promise<number> {
  const app = fastify();
  app.get('/', async () => 'hello');
  await app.listen({ port: 0, host: '127.0.0.1' });
  return (app.server.address() as { port: number }).port;
}

const port = await (what === 'bare' ? bare() : served());
process.on('message', () => {
  (globalThis as { gc?: () => void }).gc?.();
  process.send?.({ megabytes: Math.round(process.memoryUsage().rss / 1e6) });
});
process.on('disconnect', () => process.exit(0));
process.send?.({ port });

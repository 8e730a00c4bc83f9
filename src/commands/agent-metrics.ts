import type { Agent } from '../daemon/agent.js';
import type { LatestReadings } from '../daemon/latest.js';
import type { Metrics } from '../daemon/outside/metrics/metrics.js';
import { programVersion } from './version.js';

/** The metrics of a running agent. Only one that serves them pays for loading the library. */
export async function metricsOf(agent: Agent, latest: LatestReadings): Promise<Metrics> {
  const { Metrics } = await import('../daemon/outside/metrics/metrics.js');
  return new Metrics({
    version: programVersion(),
    agent: () => ({
      ready: agent.troubles().length === 0,
      openIncidents: agent.watch.incidents(),
      store: { waiting: agent.keeper.backlog, written: agent.keeper.written, dropped: agent.keeper.dropped },
      tellers: agent.told(),
    }),
    printers: () =>
      agent.watch.printers().map(({ watched, track, lastAnswerAt }) => ({
        name: watched.name,
        address: watched.target.host,
        silent: track.confirmed?.silent ?? null,
        lastAnswerAt,
        latest: latest.of(watched.name),
      })),
  });
}

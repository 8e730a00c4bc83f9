/** Which causes the scenarios show, and why the others are not among them. */
import { LADDER } from '../../src/ladder/ladder.js';
import type { LabScenario } from './scenario.js';

/** Why no scenario of the lab shows a cause. */
const ELSEWHERE: Readonly<Record<string, string>> = {
  'keeps-restarting': 'needs the up-times of several readings',
  'snmp-credentials-refused': 'the made-up agents speak no version 3; shown against the system agent in tests/peers',
  'spooler-crash-loop': 'read from a print host’s report, tests/queues and tests/ladder',
  'driver-wrong-architecture': 'read from a print host’s report, tests/queues and tests/ladder',
  'driver-missing': 'read from a print host’s report, tests/queues and tests/ladder',
  'driver-rights': 'read from a print host’s report, tests/queues and tests/ladder',
  'packets-lost': 'needs a link that loses packets, tests/networks',
  'proxy-arp': 'needs somebody who answers for every address, tests/networks',
  'long-packets-lost': 'needs a path with a narrow link, tests/networks',
  'every-port-open': 'needs somebody who takes every call, tests/networks',
  'poison-job': 'read from a print host’s report, tests/queues and tests/ladder',
};

const nameOf = (layer: string, cause: string): string => `${layer}/${cause}`;

/** Causes without a scenario, each with its reason; without one where nobody gave any. */
export function uncovered(scenarios: readonly LabScenario[]): string[] {
  const shown = new Set(scenarios.flatMap(({ expect }) => [expect.cause, ...expect.others, ...expect.warnings]));
  return LADDER.flatMap(({ id, causes }) =>
    Object.keys(causes)
      .filter((cause) => !shown.has(cause))
      .map((cause) => `${nameOf(id, cause).padEnd(38)} ${ELSEWHERE[cause] ?? 'no reason given'}`),
  );
}

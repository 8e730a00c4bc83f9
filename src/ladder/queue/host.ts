import type { PrintHostFact } from '../../facts/print-host/print-host.js';
import type { QueueFact } from '../../facts/queues.js';
import type { Finding } from '../../model/layers.js';
import { accusedWords } from '../../queues/words.js';

/** Fewer crashes are bad luck, not a loop: common practice, no published source. */
const LEAST_CRASHES = 2;
/** A loop whose last crash lies further back has ended, for now. */
const RECENT_SECONDS = 86_400;

/** True when the record shows a print service that keeps crashing. */
export function isLooping({ crashes, lastCrashSeconds }: PrintHostFact): boolean {
  return crashes !== null && crashes.crashes.length >= LEAST_CRASHES && (lastCrashSeconds ?? 0) <= RECENT_SECONDS;
}

/** The loop as one finding. What is suspected stands in its words; a suspected job is a finding of its own. */
export function crashFindings(host: PrintHostFact): Finding[] {
  const { crashes } = host;
  if (crashes === null || crashes.crashes.length < LEAST_CRASHES) return [];
  const suspect = crashes.accused === null ? null : accusedWords(crashes.accused);
  return [
    {
      cause: 'spooler-crash-loop',
      severity: isLooping(host) ? 'fault' : 'warning',
      certainty: 'sure',
      ...(host.host === null ? {} : { component: host.host }),
      detail: {
        ...(host.host === null ? {} : { other: host.host }),
        times: `${crashes.crashes.length} times`,
        ...(suspect === null ? {} : { suspect }),
        ...(host.recovery === null ? {} : { recovery: host.recovery.words }),
      },
      evidence: host.evidence,
    },
  ];
}

/** A driver that is absent, incomplete or made for another architecture. */
export function driverFindings(queue: QueueFact): Finding[] {
  const { driver } = queue;
  const missing = queue.reasons.some((reason) => /missing-filter/.test(reason));
  const base = { severity: 'fault', component: queue.name, evidence: [queue.evidence.read] } as const;
  if (driver?.problem === 'wrong-architecture') {
    const detail = { queue: queue.name, driver: driver.name, expected: driver.has, other: driver.wants };
    return [{ ...base, cause: 'driver-wrong-architecture', certainty: 'sure', detail }];
  }
  if (driver?.problem !== 'missing' && !missing) return [];
  const detail = { queue: queue.name, ...(driver === null ? {} : { driver: driver.name, how: driver.has }) };
  return [{ ...base, cause: 'driver-missing', certainty: driver?.problem === 'missing' ? 'sure' : 'likely', detail }];
}

/** Drivers that could not be installed for want of a right. */
export function refusedDrivers({ driverRefusals, evidence, host }: PrintHostFact): Finding[] {
  const [first] = driverRefusals;
  if (first === undefined) return [];
  const detail = {
    ...(first.driver === null ? {} : { driver: first.driver }),
    code: `error ${first.error}`,
    ...(first.policy === true ? { how: 'only administrators may install drivers there' } : {}),
    ...(host === null ? {} : { other: host }),
  };
  const component = first.driver ?? undefined;
  return [
    {
      cause: 'driver-rights',
      severity: 'fault',
      certainty: 'likely',
      ...(component === undefined ? {} : { component }),
      detail,
      evidence,
    },
  ];
}

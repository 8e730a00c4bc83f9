import { setTimeout as delay } from 'node:timers/promises';
import type { Observation, SwitchValue } from '../../model/evidence.js';
import type { Target } from '../../model/target.js';
import type { Net, SnmpClient } from '../../net/net.js';
import type { Limits, Probe } from '../probe.js';
import { openSession } from '../snmp/session.js';
import { readForwarding } from './forwarding.js';
import { type PortReading, readPort } from './port.js';

const SNMP_PORT = 161;
/** Between the two readings of the error counters: long enough to see a bad cable, short beside the other probes. */
const COUNTING_MS = 400;

function record(
  target: Target,
  port: number,
  outcome: Observation['outcome'],
  value: SwitchValue | null,
  at: string,
  tookMs: number,
): Observation {
  const subject = target.switch?.address ?? target.host;
  return { source: 'switch', what: `port ${port}`, about: 'target', subject, outcome, value, at, tookMs };
}

async function readTwice(client: SnmpClient, port: number, stop: AbortSignal): Promise<PortReading> {
  const [first, macs] = await Promise.all([readPort(client, port), readForwarding(client, port)]);
  if (first.value === null) return first;
  await delay(COUNTING_MS, undefined, { signal: stop }).catch(() => undefined);
  const second = await readPort(client, port);
  const { errors, ...known } = first.value;
  const climbed = errors === undefined || second.value?.errors === undefined ? undefined : second.value.errors - errors;
  const value: SwitchValue = {
    ...known,
    macs,
    ...(errors === undefined ? {} : { errors }),
    // A counter that wrapped or was cleared between the two readings says nothing.
    ...(climbed === undefined || climbed < 0 ? {} : { errorsClimbed: climbed }),
  };
  return { outcome: 'answered', value };
}

/**
 * Asks the managed switch that the configuration names about the printer's port: link, errors, learned addresses
 * (RFC 2863 ifTable, RFC 4188 and RFC 4363 forwarding tables). Read-only; nothing when no switch is configured.
 */
export const switchProbe: Probe = {
  id: 'switch',
  run: async (target: Target, net: Net, limits: Limits) => {
    if (target.switch === undefined || limits.credentials.length === 0) return [];
    const { address, port } = target.switch;
    const at = net.now().toISOString();
    const started = net.monotonic();
    const took = (): number => Math.round(net.monotonic() - started);
    const stop = AbortSignal.timeout(limits.deadlineMs);
    const asked: Target = { ...target, host: address, snmpPort: target.switch.snmpPort ?? SNMP_PORT };
    const { winner, outcome } = await openSession(asked, net, limits, stop);
    if (winner === null) return [record(target, port, outcome, null, at, took())];
    // A closed client answers every question at once: a slow switch's forwarding table ends where the time does.
    const close = (): void => winner.client.close();
    stop.addEventListener('abort', close, { once: true });
    if (stop.aborted) close();
    try {
      const { outcome: read, value } = await readTwice(winner.client, port, stop);
      return [record(target, port, value === null && stop.aborted ? 'silent' : read, value, at, took())];
    } finally {
      stop.removeEventListener('abort', close);
      close();
    }
  },
};

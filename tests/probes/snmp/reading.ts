import type { Observation, SnmpSessionValue, SnmpTableValue } from '../../../src/model/evidence.js';
import type { Target } from '../../../src/model/target.js';
import type { Net, SnmpCredential } from '../../../src/net/net.js';
import { openSnmp } from '../../../src/net/snmp-guard.js';
import type { Limits } from '../../../src/probes/probe.js';
import { snmpProbe } from '../../../src/probes/snmp/snmp-probe.js';
import { type Agent, type Handler, startAgent } from '../../net/snmp-agent.js';

export const net = { now: () => new Date(), monotonic: () => performance.now(), snmp: openSnmp } as unknown as Net;

export const PUBLIC: SnmpCredential = { version: '2c', community: 'public', label: 'community 1' };
export const PUBLIC_1: SnmpCredential = { version: '1', community: 'public', label: 'community 1' };

export interface Reading {
  readonly records: readonly Observation[];
  readonly session: SnmpSessionValue;
  readonly sessionRecord: Observation;
  /** Value of the record of that name. */
  table(what: string): SnmpTableValue;
  outcome(what: string): string | undefined;
  readonly requests: number;
}

export function target(host: string, snmpPort: number): Target {
  return { label: 'printer', host, snmpPort, printPorts: [], queues: [] };
}

function reading(records: readonly Observation[], requests: number): Reading {
  const found = (what: string) => records.find((record) => record.what === what);
  const [first] = records;
  if (first === undefined) throw new Error('no records');
  return {
    records,
    sessionRecord: first,
    session: first.value as SnmpSessionValue,
    table: (what) => found(what)?.value as SnmpTableValue,
    outcome: (what) => found(what)?.outcome,
    requests,
  };
}

/** Reads what an agent with this handler gives, over a loopback socket. */
export async function readFrom(
  address: string,
  handler: Handler,
  limits: Partial<Limits> = {},
  delayMs = 0,
): Promise<Reading> {
  const agent: Agent = await startAgent(address, handler, delayMs);
  try {
    const given = { timeoutMs: 400, retries: 0, deadlineMs: 20_000, credentials: [PUBLIC], ...limits };
    return reading(await snmpProbe.run(target(address, agent.port), net, given), agent.seen.length);
  } finally {
    await agent.close();
  }
}

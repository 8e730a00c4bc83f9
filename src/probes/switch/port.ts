import type { Outcome, SwitchValue } from '../../model/evidence.js';
import type { RawVarbind, SnmpClient } from '../../net/net.js';

/** RFC 4188 dot1dBasePortIfIndex: bridge port to interface. */
const BASE_PORT_IF_INDEX = '1.3.6.1.2.1.17.1.4.1.2';
/** RFC 2863 ifTable columns. */
const IF_ADMIN_STATUS = '1.3.6.1.2.1.2.2.1.7';
const IF_OPER_STATUS = '1.3.6.1.2.1.2.2.1.8';
const IF_LAST_CHANGE = '1.3.6.1.2.1.2.2.1.9';
const IF_IN_ERRORS = '1.3.6.1.2.1.2.2.1.14';
const IF_OUT_ERRORS = '1.3.6.1.2.1.2.2.1.20';

/** ifOperStatus (RFC 2863). */
const OPER: Readonly<Record<number, string>> = {
  1: 'up',
  2: 'down',
  3: 'testing',
  4: 'unknown',
  5: 'dormant',
  6: 'notPresent',
  7: 'lowerLayerDown',
};

const numberOf = (varbind: RawVarbind | undefined): number | undefined =>
  typeof varbind?.value === 'number' ? varbind.value : undefined;

export interface PortReading {
  readonly outcome: Outcome;
  readonly value: SwitchValue | null;
}

/**
 * State and error count of one port; `garbled` when the switch knows no such interface. A switch without the bridge table numbers ports
 * and interfaces alike; one that did not answer has not said so, and another port's state would be taken for this one's.
 */
export async function readPort(client: SnmpClient, port: number): Promise<PortReading> {
  const bridge = await client.get([`${BASE_PORT_IF_INDEX}.${port}`]);
  if (bridge.outcome !== 'answered') return { outcome: bridge.outcome, value: null };
  const index = numberOf(bridge.varbinds[0]) ?? port;
  const columns = [IF_OPER_STATUS, IF_ADMIN_STATUS, IF_LAST_CHANGE, IF_IN_ERRORS, IF_OUT_ERRORS];
  const reply = await client.get(columns.map((column) => `${column}.${index}`));
  if (reply.outcome !== 'answered') return { outcome: reply.outcome, value: null };
  const value = stateOf(reply.varbinds, port, index);
  return { outcome: value === null ? 'garbled' : 'answered', value };
}

function stateOf(varbinds: readonly RawVarbind[], port: number, index: number): SwitchValue | null {
  const value = (column: string): number | undefined =>
    numberOf(varbinds.find((varbind) => varbind.oid === `${column}.${index}`));
  const oper = value(IF_OPER_STATUS);
  if (oper === undefined) return null;
  const admin = value(IF_ADMIN_STATUS);
  const lastChange = value(IF_LAST_CHANGE);
  const input = value(IF_IN_ERRORS);
  const output = value(IF_OUT_ERRORS);
  return {
    port,
    operStatus: OPER[oper] ?? String(oper),
    ...(admin === undefined ? {} : { adminStatus: OPER[admin] ?? String(admin) }),
    ...(lastChange === undefined ? {} : { lastChangeTicks: lastChange }),
    ...(input === undefined && output === undefined ? {} : { errors: (input ?? 0) + (output ?? 0) }),
  };
}

import type { Target } from '../../model/target.js';
import type { SnmpCredential } from '../../net/net.js';
import type { Limits } from '../probe.js';

/** Agents that are remembered; beyond them the one that was read longest ago is forgotten. */
const MOST_AGENTS = 10_000;

const agentOf = ({ host, snmpPort }: Target): string => `${host} ${snmpPort}`;
const nameOf = ({ version, label }: SnmpCredential): string => `${version} ${label}`;

/** The credentials in the order in which they are tried: the one that worked here before comes first, the others as stated. */
export function inOrder(target: Target, { credentials, worked }: Limits): readonly SnmpCredential[] {
  const last = worked?.get(agentOf(target));
  const first = credentials.find((credential) => nameOf(credential) === last);
  return first === undefined ? credentials : [first, ...credentials.filter((credential) => credential !== first)];
}

/** Remembers the credential that an agent answered to. */
export function remember(target: Target, { credentials, worked }: Limits, credential: SnmpCredential): void {
  if (worked === undefined || !credentials.includes(credential)) return;
  const agent = agentOf(target);
  worked.delete(agent);
  worked.set(agent, nameOf(credential));
  const [oldest] = worked.keys();
  if (worked.size > MOST_AGENTS && oldest !== undefined) worked.delete(oldest);
}

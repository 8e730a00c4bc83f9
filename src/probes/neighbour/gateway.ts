import type { Observation } from '../../model/evidence.js';
import type { Net } from '../../net/net.js';
import { askEntry } from './entry.js';

/** Where gateways tend to listen: web pages and a name server. A refusal proves life as well as an open port does. */
const GATEWAY_PORTS = [80, 443, 53];

/**
 * The gateway as a control: its hardware address, and, where the way to the target leads through it, a connection as a second
 * sign of life for tables that can't be read. `connectMs`: how long a connection may take; null for none.
 */
export async function gatewayControls(
  gateway: string | null,
  connectMs: number | null,
  net: Net,
  timeoutMs: number,
): Promise<readonly Observation[]> {
  if (gateway === null) return [];
  const connections = connectMs === null ? [] : GATEWAY_PORTS.map((port) => connection(gateway, port, net, connectMs));
  return Promise.all([askEntry('gateway', gateway, net, timeoutMs), ...connections]);
}

async function connection(gateway: string, port: number, net: Net, timeoutMs: number): Promise<Observation> {
  const at = net.now().toISOString();
  const result = await net.tcpConnect(gateway, port, timeoutMs);
  return {
    source: 'tcp',
    what: `${port}/tcp`,
    about: 'gateway',
    subject: gateway,
    outcome: result.outcome,
    value: result.value,
    at,
    tookMs: result.tookMs,
  };
}

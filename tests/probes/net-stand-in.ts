import type { Net } from '../../src/net/net.js';

/** A `Net` of which only the given parts exist: whoever asks for more has asked too much. Its clock stands still. */
export function netWith(parts: Partial<Net>): Net {
  const absent = (name: string) => () => {
    throw new Error(`nobody should ask for ${name} here`);
  };
  return {
    now: () => new Date('2026-01-31T09:00:00.000Z'),
    monotonic: () => 0,
    tcpConnect: absent('tcpConnect'),
    tcpExchange: absent('tcpExchange'),
    http: absent('http'),
    resolve: absent('resolve'),
    route: absent('route'),
    neighbour: absent('neighbour'),
    neighbours: absent('neighbours'),
    subnets: absent('subnets'),
    ping: absent('ping'),
    browse: absent('browse'),
    discover: absent('discover'),
    rouser: absent('rouser'),
    resolved: absent('resolved'),
    snmp: absent('snmp'),
    ...parts,
  };
}

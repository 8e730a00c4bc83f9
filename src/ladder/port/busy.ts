import type { Facts } from '../../facts/facts.js';
import { type PortFact, portOfUri } from '../../facts/ports.js';
import type { Finding } from '../../model/layers.js';

type Needs = Pick<Facts, 'ports' | 'ipp' | 'queues' | 'rawChannel' | 'pjl'>;

/** Raw printing: common practice, no published source. */
const RAW_PORT = 9100;

export interface BusyPort {
  readonly port: number;
  readonly finding: Finding;
}

/** Ports of queues that send raw data here. */
function queuePorts({ queues }: Needs): readonly number[] {
  return (queues ?? []).flatMap(({ device }) =>
    device?.leadsHere && device.scheme === 'socket' && device.port !== null ? [device.port] : [],
  );
}

/** Refused at first and answered at the second try: whoever held it has let go, so nothing is stopped any more. */
function freed(port: PortFact, { pjl }: Needs): Finding | undefined {
  if (port.state !== 'refused' || pjl?.port !== port.port) return undefined;
  if (pjl.outcome !== 'answered' && pjl.outcome !== 'garbled') return undefined;
  return {
    cause: 'raw-port-busy',
    severity: 'warning',
    certainty: 'likely',
    detail: { port: String(port.port) },
    evidence: [port.id, ...pjl.evidence],
  };
}

/**
 * The printer's own channel table says that somebody sends on it, or that it takes no data while the printer prints. A
 * channel that takes no data on an idle printer is switched off, which is another cause.
 */
function held(port: PortFact, facts: Needs): Finding | undefined {
  const { rawChannel, ports } = facts;
  if (!rawChannel) return undefined;
  const taken = rawChannel.inUse || (rawChannel.takesData === false && rawChannel.printing);
  if (!taken) return undefined;
  const otherWay = ports?.print.some((p) => p.state === 'open') ?? false;
  const needed = queuePorts(facts).includes(port.port) || !otherWay;
  return {
    cause: 'raw-port-busy',
    severity: needed ? 'fault' : 'warning',
    certainty: 'likely',
    detail: { port: String(port.port) },
    evidence: [port.id, ...rawChannel.evidence],
  };
}

/** Print ports that serve another way of printing: IPP (RFC 8010), LPD (RFC 1179), or what a queue uses them for. */
function otherPorts({ ipp, queues }: Needs): ReadonlySet<number> {
  const byQueue = (queues ?? []).flatMap(({ device }) =>
    device?.leadsHere && device.scheme !== 'socket' && device.port !== null ? [device.port] : [],
  );
  return new Set([631, 515, 80, 443, ...byQueue, ...(ipp ? [portOfUri(ipp.read.uri)] : [])]);
}

/** Raw ports that do not open because somebody else has them, by the printer's own word or a second try. */
export function busyPorts(facts: Needs): readonly BusyPort[] {
  const others = otherPorts(facts);
  // Where the configuration names a raw port of its own it is the one that serves no other way.
  const named = (facts.ports?.print ?? []).map(({ port }) => port).filter((port) => !others.has(port));
  const raw = new Set([RAW_PORT, ...named, ...queuePorts(facts), ...(facts.pjl ? [facts.pjl.port] : [])]);
  return (facts.ports?.all ?? [])
    .filter(({ port, state }) => raw.has(port) && (state === 'refused' || state === 'filtered'))
    .flatMap((port) => {
      const finding = freed(port, facts) ?? held(port, facts);
      return finding ? [{ port: port.port, finding }] : [];
    });
}

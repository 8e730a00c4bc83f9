import type { Evidence } from '../model/evidence.js';
import { from } from './fact.js';

/** `unreachable` late means address resolution ran out; early it is a firewall's refusal and counts as `filtered`. */
export type PortState = 'open' | 'refused' | 'filtered' | 'unreachable';

export interface PortFact {
  readonly port: number;
  readonly state: PortState;
  readonly carriesPrint: boolean;
  readonly id: string;
}

export interface PortsFact {
  readonly all: readonly PortFact[];
  readonly print: readonly PortFact[];
  /** A port that nobody serves takes calls too: whoever answers does so for everything. */
  readonly takesAll: PortFact | undefined;
}

/** tcpmux, retired by RFC 7805: asked only to see whether it opens. */
const NOBODYS_PORT = 1;
const WEB_PORTS = new Set([80, 443]);
const EARLY_MS = 900;

function stateOf(outcome: string, value: string | null, tookMs: number): PortState {
  if (outcome === 'answered') return 'open';
  if (outcome === 'refused') return 'refused';
  if (outcome === 'silent') return 'filtered';
  return value === 'EHOSTUNREACH' && tookMs < EARLY_MS ? 'filtered' : 'unreachable';
}

/** TCP ports of the target. 80 and 443 show life but carry no print data, unless IPP was read there. */
export function readPorts(evidence: readonly Evidence[]): PortsFact | undefined {
  const ippPorts = from(evidence, 'ipp')
    .filter((r) => r.about === 'target' && r.outcome !== 'refused' && r.value?.httpStatus != null)
    .flatMap((r) => (r.value ? [portOfUri(r.value.uri)] : []));
  const all = from(evidence, 'tcp')
    .filter((r) => r.about === 'target')
    .flatMap((r): PortFact[] => {
      const port = Number.parseInt(r.what, 10);
      if (!Number.isInteger(port)) return [];
      const carriesPrint = (!WEB_PORTS.has(port) || ippPorts.includes(port)) && port !== NOBODYS_PORT;
      return [{ port, state: stateOf(r.outcome, r.value, r.tookMs), carriesPrint, id: r.id }];
    });
  if (all.length === 0) return undefined;
  const takesAll = all.find((p) => p.port === NOBODYS_PORT && p.state === 'open');
  return { all, print: all.filter((p) => p.carriesPrint), takesAll };
}

/** Port of an ipp, ipps, http or https URI; the scheme's default where it names none (RFC 8010 section 5, RFC 7472). */
export function portOfUri(uri: string): number {
  const match = /^([a-z]+):\/\/(?:[^/?#@]*@)?(?:\[[^\]]*\]|[^/:]*)(?::(\d{1,5}))?/i.exec(uri);
  if (match?.[2]) return Number(match[2]);
  const scheme = match?.[1]?.toLowerCase();
  if (scheme === 'http') return 80;
  if (scheme === 'https') return 443;
  if (scheme === 'socket') return 9100;
  if (scheme === 'lpd') return 515;
  return 631;
}

import type { Evidence } from '../model/evidence.js';
import { readProxy } from './proxy.js';

export interface ControlsFact {
  /** True: one of them answers. False: all that were asked are silent. */
  readonly gatewayAlive: boolean | null;
  readonly fellowsAlive: boolean | null;
  readonly gateway: string | null;
  readonly evidence: readonly string[];
}

const LIVE_STATES = new Set(['reachable', 'delay', 'probe', 'permanent']);

function answers(record: Evidence): boolean {
  if (record.source === 'neighbour') {
    return record.value?.kind === 'entry' && record.value.mac !== null && LIVE_STATES.has(record.value.state);
  }
  return record.outcome === 'answered' || record.outcome === 'refused' || record.outcome === 'denied';
}

function anyAlive(records: readonly Evidence[]): boolean | null {
  return records.length === 0 ? null : records.some(answers);
}

/** The gateway and other hosts of the link as controls: they tell a dead printer from a dead network. */
export function readControls(evidence: readonly Evidence[]): ControlsFact | undefined {
  const gateway = evidence.filter((r) => r.about === 'gateway');
  // Whoever a proxy answers for may not be there.
  const proxy = readProxy(evidence)?.evidence ?? [];
  const fellows = evidence.filter((r) => r.about === 'fellow' && !proxy.includes(r.id));
  const all = [...gateway, ...fellows];
  if (all.length === 0) return undefined;
  const alive = all.filter(answers);
  return {
    gatewayAlive: anyAlive(gateway),
    fellowsAlive: anyAlive(fellows),
    gateway: gateway[0]?.subject ?? null,
    evidence: (alive.length > 0 ? alive : all).map((r) => r.id),
  };
}

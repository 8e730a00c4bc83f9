import type { Evidence } from '../model/evidence.js';
import { from, type PrinterFact } from './fact.js';
import { linkEntries } from './life.js';
import { readProxy } from './proxy.js';

export interface ExpectedFact {
  /** `same`: at least one identifier agrees. `other`: one differs. `unread`: nothing to compare with. */
  readonly verdict: 'same' | 'other' | 'unread';
  readonly kind: 'serial' | 'uuid' | 'mac' | null;
  readonly expected: string | null;
  readonly found: string | null;
  readonly evidence: readonly string[];
}

function text(value: unknown): string | null {
  return typeof value === 'string' && value.trim() !== '' ? value.trim() : null;
}

const plain = (value: string): string =>
  value
    .toLowerCase()
    .replace(/^urn:uuid:/, '')
    .replace(/[^0-9a-z]/g, '');

/** The identity that the configuration or the past expects at this address, against the one that answers. */
export function readExpected(
  evidence: readonly Evidence[],
  printer: PrinterFact | undefined,
): ExpectedFact | undefined {
  const record = from(evidence, 'history').find((r) => r.what === 'expected');
  if (!record?.value) return undefined;
  const identity = printer?.document.identity;
  // The hardware address that the link shows counts too: a device that says nothing still has one.
  const proxy = readProxy(evidence)?.mac;
  const entries = linkEntries(evidence).filter(({ value }) => proxy === undefined || value.mac !== proxy);
  const linkMacs = entries.flatMap((entry) => entry.value.mac ?? []);
  const pairs = [
    { kind: 'serial' as const, expected: text(record.value.serial), found: identity?.serial ? [identity.serial] : [] },
    { kind: 'uuid' as const, expected: text(record.value.uuid), found: identity?.uuid ? [identity.uuid] : [] },
    { kind: 'mac' as const, expected: text(record.value.mac), found: [...(identity?.macs ?? []), ...linkMacs] },
  ].flatMap((p) => (p.expected !== null && p.found.length > 0 ? [{ ...p, expected: p.expected }] : []));
  const agrees = pairs.find((p) => p.found.some((f) => plain(f) === plain(p.expected)));
  const shown = agrees ?? pairs[0];
  const evidenceIds = [
    record.id,
    ...(printer?.evidence.identity ?? []),
    ...(shown?.kind === 'mac' ? entries.map((entry) => entry.id) : []),
  ];
  if (!shown) return { verdict: 'unread', kind: null, expected: null, found: null, evidence: evidenceIds };
  return {
    verdict: agrees ? 'same' : 'other',
    kind: shown.kind,
    expected: shown.expected,
    found: shown.found[0] ?? null,
    evidence: evidenceIds,
  };
}

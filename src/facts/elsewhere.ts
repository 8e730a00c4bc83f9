import type { Evidence, HistoryEvidence } from '../model/evidence.js';
import { from } from './fact.js';
import { linkEntries } from './life.js';

/** The same device at an address other than the one that was asked. */
export interface ElsewhereFact {
  readonly address: string;
  readonly evidence: readonly string[];
}

const bare = (uuid: unknown): string | null =>
  typeof uuid === 'string' && uuid !== '' ? uuid.toLowerCase().replace(/^urn:uuid:/, '') : null;

/** The same device, by its UUID among the announcements (RFC 6763) or by its hardware address on the link. */
export function readElsewhere(evidence: readonly Evidence[]): readonly ElsewhereFact[] | undefined {
  const expected = from(evidence, 'history').find((r) => r.what === 'expected');
  if (!expected) return undefined;
  const found = [...announced(evidence, expected), ...onLink(evidence, expected)];
  return found.length > 0 ? found : undefined;
}

function onLink(evidence: readonly Evidence[], expected: HistoryEvidence): ElsewhereFact[] {
  return linkEntries(evidence, 'elsewhere')
    .filter((entry) => entry.outcome === 'answered' && entry.value.mac === expected.value?.mac)
    .map((entry) => ({ address: entry.subject, evidence: [entry.id, expected.id] }));
}

function announced(evidence: readonly Evidence[], expected: HistoryEvidence): ElsewhereFact[] {
  const uuid = bare(expected.value?.uuid);
  if (uuid === null) return [];
  return from(evidence, 'dns-sd')
    .filter((r) => r.about === 'elsewhere')
    .flatMap((r) =>
      (r.value?.instances ?? [])
        .filter((instance) => bare(instance.txt.uuid) === uuid)
        .flatMap((instance) => instance.addresses.map((address) => ({ address, evidence: [r.id, expected.id] }))),
    );
}

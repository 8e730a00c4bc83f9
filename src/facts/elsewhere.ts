import type { Evidence } from '../model/evidence.js';
import { from } from './fact.js';

/** The same device, by its UUID, at an address other than the one that was asked. */
export interface ElsewhereFact {
  readonly address: string;
  readonly evidence: readonly string[];
}

const bare = (uuid: unknown): string | null =>
  typeof uuid === 'string' && uuid !== '' ? uuid.toLowerCase().replace(/^urn:uuid:/, '') : null;

/** Looks for the expected UUID among the services that announced themselves (RFC 6763) from other addresses. */
export function readElsewhere(evidence: readonly Evidence[]): readonly ElsewhereFact[] | undefined {
  const expected = from(evidence, 'history').find((r) => r.what === 'expected');
  const uuid = bare(expected?.value?.uuid);
  if (uuid === null || !expected) return undefined;
  const found = from(evidence, 'dns-sd')
    .filter((r) => r.about === 'elsewhere')
    .flatMap((r) =>
      (r.value?.instances ?? [])
        .filter((instance) => bare(instance.txt.uuid) === uuid)
        .flatMap((instance) => instance.addresses.map((address) => ({ address, evidence: [r.id, expected.id] }))),
    );
  return found.length > 0 ? found : undefined;
}

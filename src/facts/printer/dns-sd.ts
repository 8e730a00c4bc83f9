/** What DNS-SD records about the target say of it (TXT keys of PWG 5100.14, RFC 6763). */
import type { Evidence, ServiceInstance } from '../../model/evidence.js';
import { cleanTextOrNull } from './clean-text.js';

export interface DnsSdReading {
  readonly ids: readonly string[];
  readonly instance: string | null;
  /** First value of a TXT key over all instances. */
  readonly txt: (key: string) => string | null;
}

/** Joins the instances of the records about the target; undefined when there is none. */
export function readDnsSd(evidence: readonly Evidence[]): DnsSdReading | undefined {
  const ids: string[] = [];
  const instances: ServiceInstance[] = [];
  for (const record of evidence) {
    if (record.source !== 'dns-sd' || record.about !== 'target' || record.value === null) continue;
    const own = record.value.instances ?? [];
    if (own.length > 0) ids.push(record.id);
    instances.push(...own);
  }
  if (instances.length === 0) return undefined;
  return {
    ids,
    instance: cleanTextOrNull(instances[0]?.name ?? ''),
    txt: (key) => {
      for (const { txt } of instances) {
        const value = txt !== undefined && Object.hasOwn(txt, key) ? txt[key] : undefined;
        const cleaned = typeof value === 'string' ? cleanTextOrNull(value) : null;
        if (cleaned !== null) return cleaned;
      }
      return null;
    },
  };
}

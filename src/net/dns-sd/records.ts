import { isIP } from 'node:net';
import type { ServiceInstance } from '../../model/evidence.js';

/** A resource record as the packet decoder gives it: `data` depends on the type and is not to be trusted. */
export interface HeardRecord {
  readonly name: string;
  readonly type: string;
  readonly ttl?: number | undefined;
  readonly flush?: boolean | undefined;
  readonly data?: unknown;
}

export interface Question {
  readonly name: string;
  /** RFC 1035 3.2.2; AAAA: RFC 3596; SRV: RFC 2782. */
  readonly type: 'PTR' | 'SRV' | 'TXT' | 'A' | 'AAAA';
}

/** A service instance by its whole name, under the type that led to it. */
export interface Pointer {
  readonly type: string;
  readonly full: string;
}

interface Kept {
  readonly data: unknown;
  readonly expiresAt: number;
}

const TYPES = new Set(['PTR', 'SRV', 'TXT', 'A', 'AAAA']);
/** A site with more than this is not a site: whatever comes after is not kept. */
const MOST_RECORDS = 4000;
const MOST_INSTANCES = 500;

/**
 * What was heard by multicast DNS (RFC 6762), as long as it is valid: records expire by their time to live, a time to
 * live of 0 takes one back (10.1), the cache-flush bit replaces what was known (10.2). Times are milliseconds of any clock.
 */
export class HeardRecords {
  private readonly sets = new Map<string, Map<string, Kept>>();
  private count = 0;

  hear(records: readonly HeardRecord[], nowMs: number): void {
    const flushed = new Set<string>();
    for (const record of records) {
      if (typeof record.name !== 'string' || !TYPES.has(record.type)) continue;
      const key = keyOf(record.type, record.name);
      if (record.flush === true && !flushed.has(key)) this.drop(key);
      if (record.flush === true) flushed.add(key);
      this.keep(key, record, nowMs);
    }
  }

  /**
   * What should be asked next: for each known instance of these types, the records that are still missing. `found`: instances that
   * somebody else found.
   */
  missing(types: readonly string[], nowMs: number, found: readonly Pointer[] = []): readonly Question[] {
    const questions: Question[] = [];
    for (const { full } of this.pointers(types, nowMs, found)) {
      const host = this.hostOf(full, nowMs)?.target;
      if (host === undefined) questions.push({ name: full, type: 'SRV' });
      if (this.valid('TXT', full, nowMs).length === 0) questions.push({ name: full, type: 'TXT' });
      if (host !== undefined && this.addresses(host, nowMs).length === 0) {
        questions.push({ name: host, type: 'A' }, { name: host, type: 'AAAA' });
      }
    }
    return questions;
  }

  /** The instances of these types (`_ipp._tcp`) that are known and valid, in order of type and name, and those found elsewhere. */
  instances(types: readonly string[], nowMs: number, found: readonly Pointer[] = []): readonly ServiceInstance[] {
    return this.pointers(types, nowMs, found).map(({ type, full }) => {
      const service = this.hostOf(full, nowMs);
      return {
        name: instanceName(full, type),
        type,
        host: service?.target ?? null,
        port: service?.port ?? null,
        addresses: service === undefined ? [] : this.addresses(service.target, nowMs),
        txt: readTxt(this.valid('TXT', full, nowMs)[0]),
      };
    });
  }

  /** The addresses heard for a host name. */
  addresses(host: string, nowMs: number): readonly string[] {
    const heard = [...this.valid('A', host, nowMs), ...this.valid('AAAA', host, nowMs)];
    return heard.filter((data): data is string => typeof data === 'string' && isIP(data) !== 0);
  }

  private pointers(types: readonly string[], nowMs: number, also: readonly Pointer[]): readonly Pointer[] {
    const found = types.flatMap((type) => {
      const heard = this.valid('PTR', `${type}.local`, nowMs).filter((data) => typeof data === 'string');
      const others = also.filter((pointer) => pointer.type === type).map(({ full }) => full);
      const names = new Map([...heard, ...others].map((full) => [full.toLowerCase(), full]));
      return [...names.values()]
        .filter((full) => isInstanceOf(full, type))
        .map((full) => ({ type, full }))
        .sort((a, b) => (a.full < b.full ? -1 : a.full > b.full ? 1 : 0));
    });
    return found.slice(0, MOST_INSTANCES);
  }

  private hostOf(full: string, nowMs: number): { readonly target: string; readonly port: number } | undefined {
    const data = this.valid('SRV', full, nowMs)[0] as { target?: unknown; port?: unknown } | undefined;
    if (typeof data?.target !== 'string' || typeof data.port !== 'number') return undefined;
    return { target: data.target, port: data.port };
  }

  private valid(type: string, name: string, nowMs: number): readonly unknown[] {
    const set = this.sets.get(keyOf(type, name));
    return set === undefined ? [] : [...set.values()].filter((kept) => kept.expiresAt > nowMs).map((kept) => kept.data);
  }

  private keep(key: string, record: HeardRecord, nowMs: number): void {
    const set = this.sets.get(key) ?? new Map<string, Kept>();
    const identity = JSON.stringify(record.data ?? null).toLowerCase();
    const seconds = typeof record.ttl === 'number' && record.ttl > 0 ? record.ttl : 0;
    if (seconds === 0) {
      if (set.delete(identity)) this.count -= 1;
      return;
    }
    if (!set.has(identity)) {
      if (this.count >= MOST_RECORDS) return;
      this.count += 1;
    }
    set.set(identity, { data: record.data, expiresAt: nowMs + seconds * 1000 });
    this.sets.set(key, set);
  }

  private drop(key: string): void {
    this.count -= this.sets.get(key)?.size ?? 0;
    this.sets.delete(key);
  }
}

/** Names compare without regard to case (RFC 6762 section 16). */
function keyOf(type: string, name: string): string {
  return `${type} ${name.toLowerCase().replace(/\.$/, '')}`;
}

/** `_printer._sub._http._tcp` → `_http._tcp`: an instance bears the type alone (RFC 6763 7.1). */
function bareType(type: string): string {
  return type.replace(/^.*\._sub\./, '');
}

function isInstanceOf(full: string, type: string): boolean {
  return full.toLowerCase().endsWith(`.${bareType(type)}.local`.toLowerCase());
}

/** The first label of the name: all before the type, dots included (RFC 6763 4.1.1 and 4.3). */
function instanceName(full: string, type: string): string {
  return full.slice(0, full.length - `.${bareType(type)}.local`.length);
}

/**
 * Key/value pairs of a TXT record (RFC 6763 6.4): the key ends at the first `=`, counts without case, and the first of
 * a repeated key stands; a key without value reads as empty; a pair without key is passed over.
 */
export function readTxt(data: unknown): Readonly<Record<string, string>> {
  const strings = Array.isArray(data) ? data : data === undefined ? [] : [data];
  const pairs = new Map<string, string>();
  for (const piece of strings) {
    const text =
      typeof piece === 'string' ? piece : piece instanceof Uint8Array ? Buffer.from(piece).toString('utf8') : '';
    const equals = text.indexOf('=');
    const key = (equals === -1 ? text : text.slice(0, equals)).toLowerCase();
    if (key !== '' && !pairs.has(key)) pairs.set(key, equals === -1 ? '' : text.slice(equals + 1));
  }
  return Object.fromEntries(pairs);
}

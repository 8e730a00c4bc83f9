import type { SnmpVersion } from '../model/evidence.js';
import type { Envelope, SecurityLevelName } from './snmp-envelope.js';

/** What a session asked for, and what it may therefore believe. */
export interface Expectation {
  readonly version: SnmpVersion;
  readonly level: SecurityLevelName;
  /** Engine learnt by discovery, in hex; null while unknown. */
  readonly engineId: string | null;
  isOpen(id: number): boolean;
}

/**
 * `pass`: the library may read it. `drop`: as if it had not come, the question stays open. `broken`: it is the reply
 * to an open question and can't be read, so waiting longer is of no use.
 */
export type Ruling =
  | { readonly verdict: 'pass'; readonly note?: string }
  | { readonly verdict: 'drop' | 'broken'; readonly note: string };

const STRENGTH: Readonly<Record<SecurityLevelName, number>> = { noAuthNoPriv: 0, authNoPriv: 1, authPriv: 2 };

const TRAILING = / octets behind the message$/;

/** Rules of version 3 that the library does not keep: level, engine (RFC 3414 3.2). */
function versionThree(envelope: Envelope, asked: Expectation): Ruling | undefined {
  if (envelope.kind === 'report') {
    const stronger = STRENGTH[envelope.level] > STRENGTH[asked.level];
    return stronger
      ? { verdict: 'drop', note: `a report at level ${envelope.level}, asked at ${asked.level}` }
      : undefined;
  }
  if (envelope.level !== asked.level)
    return {
      verdict: 'drop',
      note: `a reply at level ${envelope.level} to a question at level ${asked.level}: not believed`,
    };
  if (asked.engineId !== null && envelope.engineId !== asked.engineId)
    return { verdict: 'drop', note: 'a reply in the name of another engine: not believed' };
  return undefined;
}

/** Rules on one datagram that came from the address that was asked. */
export function rule(envelope: Envelope | null, octets: number, asked: Expectation): Ruling {
  if (envelope === null) return { verdict: 'drop', note: `${octets} octets that are no SNMP message` };
  if (envelope.version !== asked.version)
    return { verdict: 'drop', note: `a version ${envelope.version} message to a version ${asked.version} question` };
  if (!asked.isOpen(envelope.id))
    return { verdict: 'drop', note: 'a reply that belongs to no open question (late, repeated or stale)' };
  if (asked.version === '3') {
    const refusal = versionThree(envelope, asked);
    if (refusal !== undefined) return refusal;
  }
  if (envelope.damage !== null && !TRAILING.test(envelope.damage))
    return { verdict: 'broken', note: `a damaged reply (${envelope.damage})` };
  if ((envelope.kind === 'other' || (envelope.kind === 'report' && asked.version !== '3')) && envelope.damage === null)
    return { verdict: 'broken', note: 'a message that is no reply' };
  return envelope.damage === null ? { verdict: 'pass' } : { verdict: 'pass', note: envelope.damage };
}

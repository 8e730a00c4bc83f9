import type snmp from 'net-snmp';
import type { SnmpVersion } from '../model/evidence.js';
import type { SnmpClient, SnmpCredential, SnmpOptions, SnmpReply } from './net.js';
import { GuardedSession } from './snmp-session.js';
import { openChannel, type SnmpChannel } from './snmp-socket.js';
import { v3User } from './snmp-v3.js';

/** A client for a credential that can't be used on this machine: every question fails and says why. */
function unusable(version: SnmpVersion, problem: string): SnmpClient {
  const reply: SnmpReply = { outcome: 'failed', varbinds: [], error: 'not-available', problems: [problem] };
  const ask = () => Promise.resolve(reply);
  return { version, requests: 0, get: ask, getNext: ask, getBulk: ask, close: () => undefined };
}

function userOf(credential: SnmpCredential): { readonly user: snmp.User | string } | { readonly problem: string } {
  if (credential.version === '3') return v3User(credential);
  return credential.community === '' ? { problem: 'the community is empty' } : { user: credential.community };
}

/** A guarded session over a given channel; closing it closes the channel. */
export function openSnmpOver(
  options: SnmpOptions,
  channel: (address: string, port: number) => SnmpChannel,
): SnmpClient {
  const made = userOf(options.credential);
  if ('problem' in made) return unusable(options.credential.version, made.problem);
  return new GuardedSession(options, made.user, channel(options.address, options.port));
}

/** A guarded session with a socket of its own (RFC 1157, RFC 3416, RFC 3414). Never throws for what comes back. */
export function openSnmp(options: SnmpOptions): SnmpClient {
  return openSnmpOver(options, openChannel);
}

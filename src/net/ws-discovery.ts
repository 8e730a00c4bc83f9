import { randomUUID } from 'node:crypto';
import { createSocket, type RemoteInfo, type Socket } from 'node:dgram';
import { setTimeout as sleep } from 'node:timers/promises';
import { readProbeMatches } from '../wire/ws-discovery/matches.js';
import { DIALECTS, PRINT_DEVICE, probeMessage } from '../wire/ws-discovery/probe.js';
import type { DiscoveredDevice, Listening } from './net.js';
import { type OwnLink, ownLinks } from './subnets.js';

/** WS-Discovery 1.1 section 3.1.1. */
const GROUPS = { udp4: '239.255.255.250', udp6: 'ff02::c' } as const;
const PORT = 3702;

/** A datagram may get lost: the same message goes out again, as SOAP-over-UDP 1.1 section 3.1 has it, and once more for who slept. */
const AGAIN_MS = [0, 200, 1200] as const;
const MOST_DEVICES = 500;
const ROUND_MS = 100;

/**
 * Asks on every interface, over IPv4 and link-local IPv6, for print devices, and listens for `listenMs`. Only answers to
 * these very questions count, and only from devices that call themselves print devices.
 */
export async function discover(
  listenMs: number,
  listening: Listening<DiscoveredDevice> = {},
): Promise<readonly DiscoveredDevice[]> {
  const devices = new Map<string, DiscoveredDevice>();
  const probes = DIALECTS.map((dialect) => ({ dialect, id: `urn:uuid:${randomUUID()}` }));
  const ids = new Set(probes.map(({ id }) => id));
  const hear = (text: string, from: RemoteInfo): void => {
    const answer = readProbeMatches(text);
    if (answer === null || !ids.has(answer.relatesTo)) return;
    for (const { endpoint, types } of answer.matches) {
      if (!types.includes(PRINT_DEVICE) || devices.size >= MOST_DEVICES) continue;
      devices.set(`${from.address} ${endpoint}`, { address: from.address, uuid: uuidOf(endpoint), types });
    }
  };
  const mouths = ownLinks().flatMap((link) => openMouths(link, hear));
  const messages = probes.map(({ dialect, id }) => Buffer.from(probeMessage(dialect, id)));
  const start = performance.now();
  let said = 0;
  let told = 0;
  try {
    for (let past = 0; mouths.length > 0 && past < listenMs; past = performance.now() - start) {
      if (listening.signal?.aborted === true) break;
      if (past >= (AGAIN_MS[said] ?? Number.POSITIVE_INFINITY)) {
        said += 1;
        for (const mouth of mouths) for (const message of messages) mouth.say(message);
      }
      if (devices.size > told) listening.onHeard?.([...devices.values()]);
      told = devices.size;
      const wait = Math.max(1, Math.min(ROUND_MS, listenMs - past));
      await sleep(wait, undefined, { signal: listening.signal }).catch(() => undefined);
    }
  } finally {
    for (const mouth of mouths) mouth.close();
  }
  return [...devices.values()];
}

interface Mouth {
  readonly say: (message: Buffer) => void;
  readonly close: () => void;
}

function openMouths(link: OwnLink, hear: (text: string, from: RemoteInfo) => void): readonly Mouth[] {
  const addresses = [...link.ipv4, ...(link.hasIpv6 ? [null] : [])];
  return addresses.map((address) => openMouth(link, address, hear));
}

/** One socket for one interface and family; `address` null is link-local IPv6. Answers come to its own port, by unicast. */
function openMouth(link: OwnLink, address: string | null, hear: (text: string, from: RemoteInfo) => void): Mouth {
  const family = address === null ? 'udp6' : 'udp4';
  const group = address === null ? `${GROUPS.udp6}%${link.zone}` : GROUPS.udp4;
  const socket: Socket = createSocket(family);
  const waiting: Buffer[] = [];
  let state: 'opening' | 'open' | 'closed' = 'opening';
  const send = (message: Buffer): void => socket.send(message, PORT, group, () => undefined);
  // An interface that won't have it stays silent.
  socket.on('error', () => undefined);
  socket.on('message', (octets, from) => hear(octets.toString('utf8'), from));
  socket.bind(0, address ?? '::', () => {
    if (state === 'closed') return;
    try {
      socket.setMulticastInterface(address ?? `::%${link.zone}`);
      socket.setMulticastTTL(1);
    } catch {
      return;
    }
    state = 'open';
    for (const message of waiting.splice(0)) send(message);
  });
  return {
    say: (message) => {
      if (state === 'open') send(message);
      else if (state === 'opening') waiting.push(message);
    },
    close: () => {
      if (state === 'closed') return;
      state = 'closed';
      socket.close();
    },
  };
}

function uuidOf(endpoint: string): string | null {
  return /^(?:urn:)?uuid:([0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12})$/i.exec(endpoint)?.[1]?.toLowerCase() ?? null;
}

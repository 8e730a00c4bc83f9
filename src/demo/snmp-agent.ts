/**
 * A small SNMP agent on a UDP socket: v1 and v2c, GET, GETNEXT and GETBULK over a sorted set of objects.
 * It changes nothing: a SET is counted and refused.
 */
import { createSocket, type RemoteInfo, type Socket } from 'node:dgram';
import type { ScenarioSnmp } from './device.js';
import {
  ERROR,
  PDU,
  readRequest,
  type SnmpRequest,
  type Varbind,
  writeResponse,
  writeVarbind,
} from './snmp-message.js';
import type { ObjectTree } from './snmp-objects.js';

export interface SnmpAgent {
  readonly port: number;
  /** Requests seen with the right community. */
  readonly requests: () => number;
  /** SET requests seen: a reader must leave this at 0. */
  readonly writes: () => number;
  readonly close: () => Promise<void>;
}

/** Room that the message around the variable bindings takes, community included. */
const OVERHEAD = 64;

/** Starts an agent; port 0 takes a free one. Rejects with the system's error when the address can't be had. */
export async function startSnmpAgent(
  tree: ObjectTree,
  settings: ScenarioSnmp,
  at: { readonly address: string; readonly port: number },
): Promise<SnmpAgent> {
  const socket = createSocket(at.address.includes(':') ? 'udp6' : 'udp4');
  let requests = 0;
  let writes = 0;
  const timers = new Set<NodeJS.Timeout>();
  socket.on('message', (datagram, from) => {
    const request = readRequest(datagram);
    if (!request || !mayAsk(request, settings)) return;
    requests++;
    if (request.pdu === PDU.set) writes++;
    const reply = spoil(settings, request, () => answer(tree, settings, request));
    if (!reply) return;
    const timer = setTimeout(() => {
      timers.delete(timer);
      sendBack(socket, reply, from);
    }, settings.delayMs);
    timers.add(timer);
  });
  await new Promise<void>((resolve, reject) => {
    socket.once('error', reject);
    socket.bind(at.port, at.address, resolve);
  });
  socket.removeAllListeners('error').on('error', () => undefined);
  return {
    port: socket.address().port,
    requests: () => requests,
    writes: () => writes,
    close: () => {
      for (const timer of timers) clearTimeout(timer);
      return new Promise((resolve) => socket.close(() => resolve()));
    },
  };
}

function sendBack(socket: Socket, reply: Buffer, from: RemoteInfo): void {
  socket.send(reply, from.port, from.address, () => undefined);
}

function mayAsk(request: SnmpRequest, settings: ScenarioSnmp): boolean {
  const version = request.version === 0 ? '1' : request.version === 1 ? '2c' : undefined;
  return version !== undefined && settings.versions.includes(version) && request.community === settings.community;
}

/** Puts a scenario's fault in place of the sound reply. */
function spoil(settings: ScenarioSnmp, request: SnmpRequest, sound: () => Buffer): Buffer | undefined {
  switch (settings.fault) {
    case 'silent':
      return undefined;
    case 'garbage':
      return Buffer.from('\u0007 this is no message at all', 'latin1');
    case 'repeat':
      return writeResponse(
        request,
        request.oids.map((oid) => writeVarbind({ oid, type: 'Integer', value: 1 })),
      );
    case 'cut': {
      const whole = sound();
      return whole.subarray(0, whole.length >> 1);
    }
    default:
      return sound();
  }
}

function answer(tree: ObjectTree, settings: ScenarioSnmp, request: SnmpRequest): Buffer {
  const old = request.version === 0;
  if (request.pdu === PDU.getBulk && !old) return bulk(tree, settings, request);
  if (request.pdu !== PDU.get && request.pdu !== PDU.getNext) {
    return failure(request, old ? ERROR.readOnly : request.pdu === PDU.set ? ERROR.notWritable : ERROR.genErr, 1);
  }
  const find = request.pdu === PDU.get ? getOne : nextOne;
  const found = request.oids.map((oid) => find(tree, oid));
  // RFC 1157 4.1.2: version 1 has no exceptions; the first name that isn't there fails the whole request.
  const missing = old ? found.findIndex((varbind) => 'exception' in varbind) : -1;
  if (missing >= 0) return failure(request, ERROR.noSuchName, missing + 1);
  const reply = writeResponse(request, found.map(writeVarbind));
  // RFC 3416 4.2.1: a reply that does not fit is replaced by tooBig with an empty list.
  return reply.length > settings.maxBytes ? writeResponse(request, [], ERROR.tooBig) : reply;
}

function failure(request: SnmpRequest, status: number, index: number): Buffer {
  const echoed = request.oids.map((oid) => writeVarbind({ oid, exception: 'null' }));
  return writeResponse(request, echoed, status, index);
}

function getOne(tree: ObjectTree, oid: string): Varbind {
  const parent = oid.replace(/\.\d+$/, '');
  return tree.get(oid) ?? { oid, exception: tree.holds(parent) ? 'noSuchInstance' : 'noSuchObject' };
}

function nextOne(tree: ObjectTree, oid: string): Varbind {
  return tree.next(oid) ?? { oid, exception: 'endOfMibView' };
}

/** GETBULK (RFC 3416 4.2.3): as many repetitions as were asked for, as fit, and as the tree has. */
function bulk(tree: ObjectTree, settings: ScenarioSnmp, request: SnmpRequest): Buffer {
  const once = Math.max(0, Math.min(request.second, request.oids.length));
  const written: Buffer[] = [];
  let room = settings.maxBytes - OVERHEAD;
  const add = (varbind: Varbind): boolean => {
    const octets = writeVarbind(varbind);
    if (octets.length > room || written.length >= (settings.bulkCap ?? Number.POSITIVE_INFINITY)) return false;
    room -= octets.length;
    written.push(octets);
    return true;
  };
  for (const oid of request.oids.slice(0, once)) if (!add(nextOne(tree, oid))) return writeResponse(request, written);
  let columns = request.oids.slice(once);
  for (let turn = 0; turn < request.third && columns.length > 0; turn++) {
    const found = columns.map((oid) => nextOne(tree, oid));
    for (const varbind of found) if (!add(varbind)) return writeResponse(request, written);
    if (found.every((varbind) => 'exception' in varbind)) break;
    columns = found.map((varbind) => varbind.oid);
  }
  return writeResponse(request, written);
}

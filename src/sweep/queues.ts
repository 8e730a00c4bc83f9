import { isIP } from 'node:net';
import type { IppAttributes } from '../model/evidence.js';
import { readDeviceUri } from '../model/uri.js';
import type { Net } from '../net/net.js';
import { listPrinters } from '../probes/ipp/printers.js';

/** One queue of a print server. */
export interface Queue {
  readonly name: string;
  readonly model: string | null;
  readonly uuid: string | null;
  /** Path below the server: `/printers/NAME`. */
  readonly path: string;
  /**
   * Addresses that it sends to. Empty: its printer hangs on the server itself, by a cable or in a way that nothing can be told of
   * from here. Null: to another machine whose address can't be told.
   */
  readonly leadsTo: readonly string[] | null;
}

export interface PrintServer {
  readonly port: number;
  readonly tls: boolean;
  readonly queues: readonly Queue[];
  /** `unknown`: it doesn't know the question. */
  readonly answer: 'listed' | 'none' | 'unknown';
}

/** Schemes whose printer is found on the network by its name. */
const ELSEWHERE = /^(dnssd|implicitclass|mdns|smb|beh):/i;

const LOOPBACK = /^(127\.|::1$|localhost$)/i;

/** Asks what stands at an IPP port without a printer at the usual paths for its queues. */
export async function askQueues(
  address: string,
  port: number,
  tls: boolean,
  net: Net,
  timeoutMs: number,
): Promise<PrintServer> {
  const { printers, answer } = await listPrinters(net, address, port, tls, timeoutMs);
  const queues = await Promise.all(printers.map((attributes) => queueOf(attributes, address, net, timeoutMs)));
  return { port, tls, answer, queues: queues.filter((queue) => queue !== undefined) };
}

async function queueOf(
  attributes: IppAttributes,
  server: string,
  net: Net,
  timeoutMs: number,
): Promise<Queue | undefined> {
  const name = textOf(attributes, 'printer-name');
  if (name === null) return undefined;
  const device = textOf(attributes, 'device-uri');
  return {
    name,
    model: textOf(attributes, 'printer-make-and-model'),
    uuid:
      textOf(attributes, 'printer-uuid')
        ?.toLowerCase()
        .replace(/^urn:uuid:/, '') ?? null,
    path: `/printers/${encodeURIComponent(name)}`,
    leadsTo: device === null ? [] : await destination(device, server, net, timeoutMs),
  };
}

/** Where a queue sends to, by its device URI. A name that nobody here knows leads where only the server can reach. */
async function destination(
  device: string,
  server: string,
  net: Net,
  timeoutMs: number,
): Promise<readonly string[] | null> {
  if (ELSEWHERE.test(device)) return null;
  const read = readDeviceUri(device);
  if ('wrong' in read || read.host === server) return [];
  // The server's own loopback: a program there that speaks for a cable. Not so where the server itself was met on loopback.
  if (LOOPBACK.test(read.host) && !LOOPBACK.test(server)) return [];
  if (isIP(read.host) !== 0) return [read.host];
  return (await net.resolve(read.host, timeoutMs)).addresses;
}

function textOf(attributes: IppAttributes, name: string): string | null {
  const value = attributes[name]?.[0]?.value;
  const text = typeof value === 'object' && value !== null && 'text' in value ? value.text : value;
  return typeof text === 'string' && text.trim() !== '' ? text.trim() : null;
}

import { readdir, readFile } from 'node:fs/promises';
import { isIP, isIPv6 } from 'node:net';
import { networkInterfaces } from 'node:os';
import ipaddr from 'ipaddr.js';
import type { RouteValue } from '../../model/evidence.js';
import { runProgram } from '../child.js';
import { parseRouteGet } from './bsd.js';
import { NO_ROUTE, parseIpRoute, type Route, routeFromProc } from './linux.js';
import { routeFromPrint } from './windows.js';

const ROUTE_MS = 3000;

/** How this machine would reach an IP address, by the system's own table. A name has no route; null when the table can't be read. */
export async function findRoute(address: string): Promise<RouteValue | null> {
  if (isIP(address) === 0) return { ...NO_ROUTE, carrier: null };
  if (isLoopback(address)) return { kind: 'route', reach: 'loopback', interface: null, gateway: null, carrier: null };
  const route = await readRoute(address);
  if (route === undefined) return null;
  if (route.reach === 'loopback') return { ...route, carrier: null };
  return { ...route, carrier: route.interface === null ? await anyCarrier() : await readCarrier(route.interface) };
}

/** 127/8, ::1 and every address of this machine's own interfaces. */
export function isLoopback(address: string): boolean {
  if (!ipaddr.isValid(address)) return false;
  const parsed = ipaddr.process(address);
  if (parsed.range() === 'loopback') return true;
  const wanted = parsed.toString();
  return Object.values(networkInterfaces())
    .flatMap((list) => list ?? [])
    .some((own) => ipaddr.isValid(own.address) && ipaddr.process(own.address).toString() === wanted);
}

async function readRoute(address: string): Promise<Route | undefined> {
  if (process.platform === 'linux') return readLinuxRoute(address);
  if (process.platform === 'win32') {
    const table = await runProgram('route', ['print', isIPv6(address) ? '-6' : '-4'], ROUTE_MS);
    return table.exit === null ? undefined : routeFromPrint(table.stdout, address);
  }
  const family = isIPv6(address) ? ['-inet6'] : [];
  const reply = await runProgram('route', ['-n', 'get', ...family, address], ROUTE_MS);
  return parseRouteGet(`${reply.stdout}\n${reply.stderr}`);
}

/** Exit code of `ip` for what the kernel refused; any other but 0 speaks of the question: a zone in the address, an `ip` without `-j`. */
const REFUSED = 2;

async function readLinuxRoute(address: string): Promise<Route | undefined> {
  const [bare = address, zone] = address.split('%', 2);
  const through = zone === undefined ? [] : ['oif', zone];
  const reply = await runProgram('ip', ['-j', 'route', 'get', bare, ...through], ROUTE_MS);
  const route = reply.exit === 0 ? parseIpRoute(reply.stdout) : undefined;
  if (route !== undefined) return route;
  if (reply.exit === REFUSED) return NO_ROUTE;
  const table = isIPv6(bare) ? '' : await readFile('/proc/net/route', 'utf8').catch(() => '');
  return table === '' ? undefined : routeFromProc(table, address);
}

/** Whether an interface has a link. Null where the system does not say. */
async function readCarrier(device: string): Promise<boolean | null> {
  if (process.platform !== 'linux' || !/^[\w.@:-]+$/.test(device)) return null;
  try {
    return (await readFile(`/sys/class/net/${device.split('@')[0]}/carrier`, 'utf8')).trim() === '1';
  } catch (error) {
    // Reading the file of an interface that is switched off fails with EINVAL: it has no link.
    return (error as NodeJS.ErrnoException).code === 'EINVAL' ? false : null;
  }
}

/** Without a route: false when no interface but loopback has a link, else null. */
async function anyCarrier(): Promise<boolean | null> {
  if (process.platform !== 'linux') return null;
  const devices = (await readdir('/sys/class/net').catch(() => [])).filter((name) => name !== 'lo');
  const carriers = await Promise.all(devices.map(readCarrier));
  return devices.length > 0 && carriers.every((carrier) => carrier === false) ? false : null;
}

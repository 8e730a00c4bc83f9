import type { RawVarbind, SnmpClient } from '../../net/net.js';
import { compareOids } from '../snmp/oid.js';

/** RFC 4188 dot1dTpFdbPort, indexed by the six octets of the address. */
const FDB_PORT = '1.3.6.1.2.1.17.4.3.1.2';
/** RFC 4363 dot1qTpFdbPort, indexed by filtering database and address. */
const VLAN_FDB_PORT = '1.3.6.1.2.1.17.7.1.2.2.1.2';

/** A large office's switch knows a few thousand addresses; the walk ends there. */
const MOST_ROWS = 4096;
const ROWS_A_REQUEST = 40;

const within = (oid: string, root: string): boolean => oid.startsWith(`${root}.`);

/** The six last arcs of the row as a hardware address. */
function macOf(oid: string): string {
  return oid
    .split('.')
    .slice(-6)
    .map((arc) => Number(arc).toString(16).padStart(2, '0'))
    .join(':');
}

/** The table's rows of a reply as far as each lies behind the one before it (RFC 3416 4.2.3): one that turns back never ends. */
function advancing(varbinds: readonly RawVarbind[], root: string, from: string): readonly RawVarbind[] {
  const end = varbinds.findIndex(
    ({ oid }, i) => !within(oid, root) || compareOids(oid, varbinds[i - 1]?.oid ?? from) <= 0,
  );
  return end < 0 ? varbinds : varbinds.slice(0, end);
}

/** Closing the client ends the walk: what was read until then is given. */
async function walk(client: SnmpClient, root: string, port: number): Promise<string[]> {
  const macs: string[] = [];
  let from = root;
  for (let rows = 0; rows < MOST_ROWS; ) {
    const reply =
      client.version === '1' ? await client.getNext([from]) : await client.getBulk([from], 0, ROWS_A_REQUEST);
    const own = advancing(reply.varbinds, root, from);
    macs.push(...own.filter((varbind) => varbind.value === port).map((varbind) => macOf(varbind.oid)));
    const last = own.at(-1)?.oid;
    if (last === undefined || own.length < reply.varbinds.length) break;
    rows += own.length;
    from = last;
  }
  return macs;
}

/** Hardware addresses that the switch has learned on a port, from whichever of the two tables it keeps. */
export async function readForwarding(client: SnmpClient, port: number): Promise<readonly string[]> {
  const plain = await walk(client, FDB_PORT, port);
  const found = plain.length > 0 ? plain : await walk(client, VLAN_FDB_PORT, port);
  return [...new Set(found)].sort();
}

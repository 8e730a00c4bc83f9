/** The ways in that a printer says it has (ppmPortTable, PWG 5107.1 section 6), and its network cards (ifTable, ifXTable, RFC 2863). */
import type { NetworkInterface, PrintPort } from '../../model/printer.js';
import { ENUMS } from '../../registry/enums.generated.js';
import { hardwareAddress, isUnreal } from './hardware-address.js';
import type { SnmpDevice } from './parts.js';
import { integer, label, plainRows, type Row, type SnmpTables } from './snmp-tables.js';
import type { TextReader } from './text.js';

/** TruthValue of RFC 2579: true(1), false(2). */
const TRUTH: Readonly<Record<number, boolean>> = { 1: true, 2: false };

/** ppmPrinterIndex of the rows that stand for a device; all where none names one. */
function monitorsOf(tables: SnmpTables, device: number): ReadonlySet<number> {
  const rows = plainRows(tables, 'ppmPrinterTable');
  const own = rows.filter(({ row }) => integer(row, 'ppmPrinterHrDeviceIndex') === device);
  const named = rows.some(({ row }) => (integer(row, 'ppmPrinterHrDeviceIndex') ?? 0) > 0);
  return new Set((named ? own : rows).map(({ index }) => index));
}

function portOf(index: number, row: Row, text: TextReader): PrintPort {
  const port = integer(row, 'ppmPortProtocolTargetPort');
  return {
    index,
    name: text(row.get('ppmPortName')),
    protocol: label(row, 'ppmPortProtocolType', ENUMS.PrtChannelTypeTC),
    service: text(row.get('ppmPortServiceNameOrURI')),
    port: port === null || port <= 0 ? null : port,
    enabled: TRUTH[integer(row, 'ppmPortEnabled') ?? 0] ?? null,
  };
}

/** The ports of one device in the order of ppmPortIndex. */
export function readPorts({ tables, device, text }: SnmpDevice): readonly PrintPort[] {
  const monitors = monitorsOf(tables, device);
  const found: PrintPort[] = [];
  for (const [instance, row] of tables.rows.get('ppmPortTable') ?? []) {
    const [, monitor, index] = /^(\d+)\.(\d+)$/.exec(instance) ?? [];
    if (index === undefined || (monitors.size > 0 && !monitors.has(Number(monitor)))) continue;
    found.push(portOf(Number(index), row, text));
  }
  return found.sort((a, b) => a.index - b.index);
}

/** ifHighSpeed counts in millions; agents of before RFC 2863 have ifSpeed alone, whose highest value means "more than this". */
function speedOf(row: Row, more: Row | undefined): number | null {
  const millions = integer(more, 'ifHighSpeed');
  if (millions !== null && millions > 0) return millions;
  const bits = integer(row, 'ifSpeed');
  return bits === null || bits <= 0 || bits >= 4_294_967_295 ? null : bits / 1_000_000;
}

const OPER: Readonly<Record<string, boolean>> = { up: true, down: false, notPresent: false, lowerLayerDown: false };

/** The network cards in the order of ifIndex; loopbacks and tunnels are left out. */
export function readInterfaces(tables: SnmpTables, text: TextReader): readonly NetworkInterface[] {
  const extended = tables.rows.get('ifXTable');
  return plainRows(tables, 'ifTable').flatMap(({ index, row }) => {
    if (isUnreal(row)) return [];
    const more = extended?.get(String(index));
    return {
      index,
      name: text(more?.get('ifName')) ?? text(row.get('ifDescr')),
      mac: hardwareAddress(row.get('ifPhysAddress')),
      up: OPER[label(row, 'ifOperStatus', ENUMS.ifOperStatus) ?? ''] ?? null,
      megabits: speedOf(row, more),
      inErrors: integer(row, 'ifInErrors'),
      outErrors: integer(row, 'ifOutErrors'),
      inDiscards: integer(row, 'ifInDiscards'),
    };
  });
}

/** Scenario → the objects of its agent: system, IF-MIB and HOST-RESOURCES-MIB, then Printer-MIB, then what the file overrides. */

import { OBJECTS } from '../registry/objects.generated.js';
import { conditionOf, errorOctets } from './condition.js';
import type { OtherScenario, PrinterScenario, ScenarioSnmp, ScenarioSnmpOverride } from './device.js';
import { macOf, serialOf } from './identity.js';
import { ObjectTree, oidOf, type SnmpType, typeOf } from './snmp-objects.js';
import { addPrinterMib } from './snmp-tree-printer.js';

/** Ticks (hundredths of a second) since the device came up. */
export type UpTime = () => number;

/** Builds the objects of one device. `upTime` is asked anew for each request. */
export function snmpTree(scenario: PrinterScenario | OtherScenario, snmp: ScenarioSnmp, upTime: UpTime): ObjectTree {
  const tree = new ObjectTree();
  addSystem(tree, scenario, upTime);
  addInterfaces(tree, scenario);
  tree.set('hrSystemUptime', 0, upTime);
  if (scenario.kind === 'printer') {
    const condition = conditionOf(scenario);
    addPrinterDevice(tree, scenario, snmp.deviceIndex, condition);
    addPrinterMib(tree, scenario, snmp.deviceIndex, condition);
  } else {
    addServerDevices(tree);
  }
  for (const name of snmp.omit) tree.remove(oidOf(name).oid);
  for (const [name, value] of Object.entries(snmp.objects)) override(tree, name, value, upTime);
  return tree;
}

function addSystem(tree: ObjectTree, scenario: PrinterScenario | OtherScenario, upTime: UpTime): void {
  const printer = scenario.kind === 'printer';
  tree.row(0, {
    sysDescr: printer
      ? `${scenario.model}, firmware ${scenario.firmware}, serial ${serialOf(scenario)}`
      : scenario.descr,
    // 32473 is the enterprise number for examples (RFC 5612).
    sysObjectID: `1.3.6.1.4.1.32473.${printer ? 1 : 2}`,
    sysUpTime: upTime,
    sysContact: scenario.contact,
    sysName: scenario.callsItself ?? scenario.name,
    sysLocation: scenario.location,
    sysServices: 72,
  });
}

function addInterfaces(tree: ObjectTree, scenario: PrinterScenario | OtherScenario): void {
  tree.set('ifNumber', 0, 2);
  const ethernet = Buffer.from(macOf(scenario).replaceAll(':', ''), 'hex');
  const rows = [
    { index: 1, descr: 'lo', type: 'softwareLoopback', mtu: 65536, speed: 10_000_000, mac: Buffer.alloc(0) },
    { index: 2, descr: 'eth0', type: 'ethernetCsmacd', mtu: 1500, speed: 1_000_000_000, mac: ethernet },
  ];
  for (const row of rows) {
    tree.row(row.index, {
      ifIndex: row.index,
      ifDescr: row.descr,
      ifType: row.type,
      ifMtu: row.mtu,
      ifSpeed: row.speed,
      ifPhysAddress: row.mac,
      ifAdminStatus: 'up',
      ifOperStatus: 'up',
      ifLastChange: 2_500,
      ifInOctets: 81_220_441,
      ifInErrors: 0,
      ifOutOctets: 9_330_172,
      ifOutErrors: 0,
    });
  }
}

function addPrinterDevice(
  tree: ObjectTree,
  scenario: PrinterScenario,
  index: number,
  condition: ReturnType<typeof conditionOf>,
): void {
  tree.set('hrMemorySize', 0, 262_144);
  tree.row(index, {
    hrDeviceIndex: index,
    hrDeviceType: 'hrDevicePrinter',
    hrDeviceDescr: scenario.model,
    hrDeviceID: '1.3.6.1.4.1.32473.1.1',
    hrDeviceStatus: condition.device,
    hrDeviceErrors: 0,
    hrPrinterStatus: condition.printer,
    hrPrinterDetectedErrorState: errorOctets(condition.errorBits),
  });
}

function addServerDevices(tree: ObjectTree): void {
  const devices = [
    { type: 'hrDeviceProcessor', descr: 'Processor' },
    { type: 'hrDeviceDiskStorage', descr: 'Disk 1' },
  ];
  devices.forEach(({ type, descr }, position) => {
    tree.row(position + 1, {
      hrDeviceIndex: position + 1,
      hrDeviceType: type,
      hrDeviceDescr: descr,
      hrDeviceStatus: 'running',
    });
  });
}

function override(tree: ObjectTree, name: string, value: ScenarioSnmpOverride, upTime: UpTime): void {
  const { oid, name: known } = oidOf(name);
  if (value === null) {
    tree.remove(oid);
    return;
  }
  const objectName = known?.split('.')[0];
  const usual: SnmpType | undefined =
    tree.get(oid)?.type ?? (objectName ? typeOf(OBJECTS[objectName]?.syntax ?? '') : undefined);
  if (typeof value !== 'object') {
    tree.put(oid, usual ?? (typeof value === 'number' ? 'Integer' : 'OctetString'), value);
    return;
  }
  const content = value.hex === undefined ? value.value : Buffer.from(value.hex, 'hex');
  const type = (value.type as SnmpType | undefined) ?? usual ?? 'OctetString';
  tree.put(oid, type, value.perSecond ? climbing(Number(content), value.perSecond, upTime) : (content ?? ''));
}

/** A counter that starts at a value and grows with the up-time (hundredths of a second). */
function climbing(from: number, perSecond: number, upTime: UpTime): () => number {
  const start = upTime();
  return () => from + Math.floor(((upTime() - start) * perSecond) / 100);
}

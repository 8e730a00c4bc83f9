import type { MibObject } from '../../registry/objects.generated.js';

const DEVICE = '1.3.6.1.2.1.43.30.1.1';
const SUPPLY = '1.3.6.1.2.1.43.31.1.1';

function column(entry: string, number: number, syntax: string, table: string): MibObject {
  return { oid: `${entry}.${number}`, syntax, role: 'column', table };
}

/**
 * Columns of the Finisher-MIB that a diagnosis reads (RFC 3806 section 8): what a stapler or puncher can do, holds
 * and lacks.
 */
export const FINISHER_OBJECTS: Readonly<Record<string, MibObject>> = {
  finDeviceType: column(DEVICE, 2, 'FinDeviceTypeTC', 'finDeviceTable'),
  finDevicePresentOnOff: column(DEVICE, 3, 'PresentOnOff', 'finDeviceTable'),
  finDeviceCapacityUnit: column(DEVICE, 4, 'PrtCapacityUnitTC', 'finDeviceTable'),
  finDeviceMaxCapacity: column(DEVICE, 5, 'Integer32', 'finDeviceTable'),
  finDeviceCurrentCapacity: column(DEVICE, 6, 'Integer32', 'finDeviceTable'),
  finDeviceStatus: column(DEVICE, 9, 'PrtSubUnitStatusTC', 'finDeviceTable'),
  finDeviceDescription: column(DEVICE, 10, 'PrtLocalizedDescriptionStringTC', 'finDeviceTable'),
  finSupplyDeviceIndex: column(SUPPLY, 2, 'Integer32 (0..65535)', 'finSupplyTable'),
  finSupplyClass: column(SUPPLY, 3, 'PrtMarkerSuppliesClassTC', 'finSupplyTable'),
  finSupplyType: column(SUPPLY, 4, 'PrtMarkerSuppliesTypeTC', 'finSupplyTable'),
  finSupplyDescription: column(SUPPLY, 5, 'PrtLocalizedDescriptionStringTC', 'finSupplyTable'),
  finSupplyUnit: column(SUPPLY, 6, 'PrtMarkerSuppliesSupplyUnitTC', 'finSupplyTable'),
  finSupplyMaxCapacity: column(SUPPLY, 7, 'Integer32 (-2..2147483647)', 'finSupplyTable'),
  finSupplyCurrentLevel: column(SUPPLY, 8, 'Integer32 (-3..2147483647)', 'finSupplyTable'),
  finSupplyColorName: column(SUPPLY, 9, 'OCTET STRING (SIZE(0..63))', 'finSupplyTable'),
};

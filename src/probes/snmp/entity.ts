import type { MibObject } from '../../registry/objects.generated.js';

const ENTRY = '1.3.6.1.2.1.47.1.1.1.1';

function column(number: number, syntax: string): MibObject {
  return { oid: `${ENTRY}.${number}`, syntax, role: 'column', table: 'entPhysicalTable' };
}

/**
 * Columns of the ENTITY-MIB (RFC 6933 section 3): the only standard place where an agent names its firmware. Few printers
 * have it.
 */
export const ENTITY_OBJECTS: Readonly<Record<string, MibObject>> = {
  entPhysicalClass: column(5, 'IANAPhysicalClass'),
  entPhysicalFirmwareRev: column(9, 'SnmpAdminString'),
  entPhysicalSoftwareRev: column(10, 'SnmpAdminString'),
};

/** The objects of one made-up agent in the order SNMP walks them, set by the registry's names and words. */
import { ENUMS, HOST_RESOURCE_OIDS } from '../registry/enums.generated.js';
import { OBJECTS } from '../registry/objects.generated.js';

export type SnmpType =
  | 'Integer'
  | 'OctetString'
  | 'ObjectIdentifier'
  | 'IpAddress'
  | 'Counter32'
  | 'Gauge32'
  | 'TimeTicks'
  | 'Counter64';

/** A number given as a function is worked out anew for each request: up-times. */
export interface SnmpObject {
  readonly oid: string;
  readonly type: SnmpType;
  readonly value: number | string | Buffer | (() => number);
}

export type SnmpInput = SnmpObject['value'];

/** Names and OIDs to objects, with the walk order of RFC 3416 4.2.2 (arc by arc, numerically). */
export class ObjectTree {
  readonly #objects = new Map<string, SnmpObject>();
  #order: readonly SnmpObject[] | undefined;

  /** Sets an object by its registry name. A label of the object's enumeration may stand for its number. */
  set(name: string, instance: string | number, value: SnmpInput): void {
    const object = OBJECTS[name];
    if (!object) throw new Error(`no MIB object is called ${name}`);
    this.put(`${object.oid}.${instance}`, typeOf(object.syntax), plainValue(name, object.syntax, value));
  }

  /** Sets one row: the names without the row's instance. Undefined values are left out. */
  row(instance: string | number, values: Readonly<Record<string, SnmpInput | undefined>>): void {
    for (const [name, value] of Object.entries(values)) if (value !== undefined) this.set(name, instance, value);
  }

  put(oid: string, type: SnmpType, value: SnmpInput): void {
    this.#objects.set(oid, { oid, type, value });
    this.#order = undefined;
  }

  /** Takes away an object, or all that lie under an OID. */
  remove(oid: string): void {
    for (const key of this.#objects.keys()) if (key === oid || key.startsWith(`${oid}.`)) this.#objects.delete(key);
    this.#order = undefined;
  }

  get(oid: string): SnmpObject | undefined {
    return this.#objects.get(oid);
  }

  /** First object after an OID, whether or not that OID exists. */
  next(oid: string): SnmpObject | undefined {
    this.#order ??= [...this.#objects.values()].sort((a, b) => compareOids(a.oid, b.oid));
    let low = 0;
    let high = this.#order.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (compareOids(this.#order[middle]?.oid ?? '', oid) > 0) high = middle;
      else low = middle + 1;
    }
    return this.#order[low];
  }

  /** True when something lies under this OID: tells noSuchInstance from noSuchObject (RFC 3416 4.2.1). */
  holds(oid: string): boolean {
    return this.next(oid)?.oid.startsWith(`${oid}.`) ?? false;
  }

  get size(): number {
    return this.#objects.size;
  }
}

function compareOids(a: string, b: string): number {
  const left = a.split('.');
  const right = b.split('.');
  for (let i = 0; i < Math.min(left.length, right.length); i++) {
    const difference = Number(left[i]) - Number(right[i]);
    if (difference !== 0) return difference;
  }
  return left.length - right.length;
}

/** Dotted OID of `name.instance`, or the OID itself. Throws on an unknown name: a scenario's mistake. */
export function oidOf(nameOrOid: string): { oid: string; name?: string } {
  if (/^[\d.]+$/.test(nameOrOid)) return { oid: nameOrOid.replace(/^\./, '') };
  const [name = '', ...instance] = nameOrOid.split('.');
  const object = OBJECTS[name];
  if (!object) throw new Error(`no MIB object is called ${name}`);
  return { oid: [object.oid, ...instance].join('.'), name };
}

/** ASN.1 type on the wire for a SYNTAX clause. */
export function typeOf(syntax: string): SnmpType {
  if (/^(Counter32|Counter64|Gauge32|TimeTicks|IpAddress)/.test(syntax)) return syntax.replace(/\W.*/, '') as SnmpType;
  if (/^TimeStamp/.test(syntax)) return 'TimeTicks';
  if (/^(OBJECT IDENTIFIER|AutonomousType|ProductID)/.test(syntax)) return 'ObjectIdentifier';
  return /STRING|String|PhysAddress|DateAndTime/.test(syntax) ? 'OctetString' : 'Integer';
}

function plainValue(name: string, syntax: string, value: SnmpInput): SnmpInput {
  if (typeof value !== 'string') return value;
  const type = typeOf(syntax);
  if (type === 'Integer') return numberOf(ENUMS[syntax.replace(/[ (].*/, '')] ?? ENUMS[name], value, name);
  if (type === 'ObjectIdentifier' && /^[a-z]/.test(value)) return numberedOid(value);
  return value;
}

/** Number of a label in a registry table. Throws on an unknown label: a scenario's mistake. */
export function numberOf(table: Readonly<Record<number, string>> | undefined, label: string, where: string): number {
  const hit = Object.entries(table ?? {}).find(([, name]) => name === label);
  if (!hit) throw new Error(`${where} has no value called ${label}`);
  return Number(hit[0]);
}

function numberedOid(name: string): string {
  const hit = Object.entries(HOST_RESOURCE_OIDS).find(([, label]) => label === name);
  if (!hit) throw new Error(`no OID is called ${name}`);
  return hit[0];
}

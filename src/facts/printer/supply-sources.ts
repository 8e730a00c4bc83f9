/** Where SNMP and IPP tell different levels of one supply. SNMP's stay; what IPP says beside them is worth a remark. */
import type { Supply } from '../../model/printer.js';
import { plainName } from './ipp-trays.js';
import type { Note } from './levels.js';
import { RECEPTACLE } from './supply-state.js';

type Stateless = Omit<Supply, 'state'>;

/** Percent points that two readings may lie apart by rounding, steps of ten and the time between them. */
const NEAR = 15;

/** The same supply in the other list: by its name, else by its place where both lists are as long and the colours agree. */
function sameIn(other: readonly Stateless[], supply: Stateless, at: number, length: number): Stateless | undefined {
  const named = other.find(({ name }) => plainName(name) === plainName(supply.name));
  if (named !== undefined || other.length !== length) return named;
  const placed = other[at];
  return placed !== undefined && placed.colour !== null && placed.colour === supply.colour ? placed : undefined;
}

function sentence(snmp: Stateless, ipp: Stateless): string | undefined {
  if (ipp.percent === null) return undefined;
  if (snmp.percent === null) {
    const said = snmp.meaning === 'some-left' ? 'only that some is left' : 'no measured level';
    return `Of ${snmp.name} SNMP tells ${said}, IPP ${ipp.percent} percent; what SNMP tells is kept.`;
  }
  if (Math.abs(snmp.percent - ipp.percent) <= NEAR) return undefined;
  return `Of ${snmp.name} SNMP tells ${snmp.percent} percent, IPP ${ipp.percent}; what SNMP tells is kept.`;
}

/**
 * Says where the levels of the two sources differ. Receptacles are passed over: whether IPP counts their fill or their room
 * is another matter, said elsewhere.
 */
export function noteLevelsApart(snmp: readonly Stateless[], ipp: readonly Stateless[], note: Note): void {
  for (const [at, supply] of snmp.entries()) {
    const other = supply.class === RECEPTACLE ? undefined : sameIn(ipp, supply, at, snmp.length);
    const said = other === undefined ? undefined : sentence(supply, other);
    if (said !== undefined) note(said);
  }
}

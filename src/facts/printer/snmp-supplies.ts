/** prtMarkerSuppliesTable with prtMarkerColorantTable (RFC 3805 section 6). */
import type { Supply } from '../../model/printer.js';
import { ENUMS } from '../../registry/enums.generated.js';
import { colorantName, colourWord } from './colours.js';
import { type Note, readLevel } from './levels.js';
import { deviceRows, type IndexedRow, integer, label, type SnmpTables } from './snmp-tables.js';
import { RECEPTACLE } from './supply-state.js';
import type { TextReader } from './text.js';

type Stateless = Omit<Supply, 'state'>;

/** The class said; that of waste is told by its type where the class says nothing (PrtMarkerSuppliesClassTC other(1)). */
export function supplyClass(said: string | null | undefined, type: string): string {
  const byType = classOfType(type);
  return said == null || (said === 'other' && byType === RECEPTACLE) ? byType : said;
}

/** Class by type, for agents that leave prtMarkerSuppliesClass out: what is called waste is filled. */
export function classOfType(type: string): string {
  return type.startsWith('waste') ? RECEPTACLE : 'supplyThatIsConsumed';
}

function readSupply(
  { index, row }: IndexedRow,
  colorants: ReadonlyMap<number, string | null>,
  text: TextReader,
  note: Note,
): Stateless {
  const name = text(row.get('prtMarkerSuppliesDescription')) ?? `Supply ${index}`;
  const type = label(row, 'prtMarkerSuppliesType', ENUMS.PrtMarkerSuppliesTypeTC) ?? 'unknown';
  const unit = label(row, 'prtMarkerSuppliesSupplyUnit', ENUMS.PrtMarkerSuppliesSupplyUnitTC);
  const colorant = integer(row, 'prtMarkerSuppliesColorantIndex');
  return {
    index,
    name,
    type,
    class: supplyClass(label(row, 'prtMarkerSuppliesClass', ENUMS.PrtMarkerSuppliesClassTC), type),
    colour: (colorant === null ? null : (colorants.get(colorant) ?? null)) ?? colourWord(name),
    unit,
    ...readLevel(
      integer(row, 'prtMarkerSuppliesLevel'),
      integer(row, 'prtMarkerSuppliesMaxCapacity'),
      unit,
      `Supply ${index} (${name})`,
      note,
    ),
  };
}

function noteDoubles(supplies: readonly Stateless[], note: Note): void {
  const seen = new Map<string, number>();
  for (const { index, ...rest } of supplies) {
    const same = JSON.stringify(rest);
    const first = seen.get(same);
    if (first === undefined) seen.set(same, index);
    else note(`Supplies ${first} and ${index} are the same in every field (${rest.name}); both are listed.`);
  }
}

/** The supplies of one device in the order of prtMarkerSuppliesIndex, without their state. */
export function readSnmpSupplies(
  tables: SnmpTables,
  device: number,
  text: TextReader,
  note: Note,
): readonly Stateless[] {
  const colorants = new Map(
    deviceRows(tables, 'prtMarkerColorantTable', device).map(({ index, row }) => [
      index,
      colorantName(text(row.get('prtMarkerColorantValue'))),
    ]),
  );
  const supplies = deviceRows(tables, 'prtMarkerSuppliesTable', device)
    .filter(({ row }) => row.size > 0)
    .map((row) => readSupply(row, colorants, text, note));
  noteDoubles(supplies, note);
  return supplies;
}

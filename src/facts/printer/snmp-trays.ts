/** prtInputTable, prtOutputTable and prtCoverTable (RFC 3805 section 6). */
import type { Cover, Output, Tray } from '../../model/printer.js';
import { ENUMS } from '../../registry/enums.generated.js';
import { type Note, readLevel } from './levels.js';
import { mediaNameOfInput } from './media.js';
import { deviceRows, integer, label, type SnmpTables } from './snmp-tables.js';
import type { TextReader } from './text.js';

/** Input trays in the order of prtInputIndex. */
export function readSnmpTrays(tables: SnmpTables, device: number, text: TextReader, note: Note): readonly Tray[] {
  return deviceRows(tables, 'prtInputTable', device).map(({ index, row }) => {
    const name = text(row.get('prtInputName')) ?? text(row.get('prtInputDescription')) ?? `Tray ${index}`;
    const unit = label(row, 'prtInputCapacityUnit', ENUMS.PrtCapacityUnitTC);
    return {
      index,
      name,
      type: label(row, 'prtInputType', ENUMS.PrtInputTypeTC),
      unit,
      ...readLevel(
        integer(row, 'prtInputCurrentLevel'),
        integer(row, 'prtInputMaxCapacity'),
        unit,
        `Input ${index} (${name})`,
        note,
      ),
      media: text(row.get('prtInputMediaName')) ?? mediaNameOfInput(row),
      status: integer(row, 'prtInputStatus'),
    };
  });
}

/** Output bins in the order of prtOutputIndex; the level is the room that is left. */
export function readSnmpOutputs(tables: SnmpTables, device: number, text: TextReader, note: Note): readonly Output[] {
  return deviceRows(tables, 'prtOutputTable', device).map(({ index, row }) => {
    const name = text(row.get('prtOutputName')) ?? text(row.get('prtOutputDescription')) ?? `Output ${index}`;
    return {
      index,
      name,
      ...readLevel(
        integer(row, 'prtOutputRemainingCapacity'),
        integer(row, 'prtOutputMaxCapacity'),
        label(row, 'prtOutputCapacityUnit', ENUMS.PrtCapacityUnitTC),
        `Output ${index} (${name})`,
        note,
      ),
      status: integer(row, 'prtOutputStatus'),
    };
  });
}

/** Covers in the order of prtCoverIndex. */
export function readSnmpCovers(tables: SnmpTables, device: number, text: TextReader): readonly Cover[] {
  return deviceRows(tables, 'prtCoverTable', device).map(({ index, row }) => ({
    index,
    name: text(row.get('prtCoverDescription')) ?? `Cover ${index}`,
    state: label(row, 'prtCoverStatus', ENUMS.PrtCoverStatusTC) ?? 'unknown',
  }));
}

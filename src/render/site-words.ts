import type { Output, Supply, Tray } from '../model/printer.js';
import type { SnapshotPrinter } from '../model/snapshot.js';
import { shortened } from './escape.js';

/** Names come from printers: long enough to know one by, never a page full. */
export function named(text: string, max = 120): string {
  return shortened(text, max);
}

/** "2026-01-31 09:00 UTC" from an ISO 8601 time in UTC; anything else as it is. */
export function atWords(iso: string): string {
  const parts = /^(\d{4}-\d{2}-\d{2})T(\d{2}:\d{2}).*Z$/.exec(iso);
  return parts === null ? named(iso, 40) : `${parts[1]} ${parts[2]} UTC`;
}

const RANK = { silent: 0, unclear: 1, remark: 2, well: 3 } as const;
export type Rank = keyof typeof RANK;

/** How urgent a printer is: silent first, then the unclear, then those with a warning. */
export function rankOf({ why }: SnapshotPrinter): Rank {
  if (why.silent === true) return 'silent';
  if (why.silent === null) return 'unclear';
  return why.warnings.length > 0 || why.others.length > 0 ? 'remark' : 'well';
}

/** Worst first; among equals the order in which they came. */
export function worstFirst(printers: readonly SnapshotPrinter[]): readonly SnapshotPrinter[] {
  return [...printers].sort((a, b) => RANK[rankOf(a)] - RANK[rankOf(b)]);
}

export function count(number: number, one: string, many = `${one}s`): string {
  return `${number} ${number === 1 ? one : many}`;
}

type Level = Pick<Supply, 'level' | 'capacity' | 'percent' | 'meaning'>;

/** A level in words, for who reads and for who cannot see the bar. */
export function levelWords(level: Level, unit: string | null): string {
  if (level.meaning === 'some-left') return 'some left';
  if (level.meaning === 'no-limit') return 'no limit';
  if (level.meaning === 'unknown' || level.percent === null) return 'not told';
  const amount =
    level.level === null || unit === null || unit === 'percent'
      ? ''
      : `, ${level.level}${level.capacity === null ? '' : ` of ${level.capacity}`} ${named(unit, 30)}`;
  return `${level.percent} %${amount}`;
}

/** Whether the level of a supply counts what is used up, or the room that is left in a container that fills. */
export function fills(supply: Supply): boolean {
  return supply.class === 'receptacleThatIsFilled';
}

/** The same where only the type is known: the receptacles of PrtMarkerSuppliesTypeTC (RFC 3805) are those for waste. */
export function isForWaste(type: string): boolean {
  return type.startsWith('waste');
}

/** A tray or output bin at nought is empty, or full, and is drawn as such. */
export function placeState(place: Tray | Output): 'empty' | 'ok' {
  return place.percent === 0 ? 'empty' : 'ok';
}

/**
 * State of one supply for itself: whether that stops output is judged elsewhere.
 * Rules, first that fits: an alert that points to the supply says empty, full or worn out, or the level is 0; an alert
 * says almost so, or at most 10 percent are left (common practice, no published source); any level that is not unknown
 * is ok.
 */
import type { Alert, Supply } from '../../model/printer.js';

const LOW_PERCENT = 10;

/** PrtAlertCodeTC numbers, generic and of group markerSupplies (IANA-PRINTER-MIB). */
const EMPTY_CODES: ReadonlySet<number> = new Set([11, 13, 1101, 1102, 1103, 1112, 1114, 1123]);
const ALMOST_EMPTY_CODES: ReadonlySet<number> = new Set([10, 12, 1104, 1105, 1106, 1111, 1113, 1122]);
const FULL_CODES: ReadonlySet<number> = new Set([15, 1109, 1110, 1126]);
const ALMOST_FULL_CODES: ReadonlySet<number> = new Set([14, 1107, 1108, 1125]);

export type SupplyState = Supply['state'];
type Stateless = Omit<Supply, 'state'>;

export const RECEPTACLE = 'receptacleThatIsFilled';

const any = (codes: readonly number[], set: ReadonlySet<number>): boolean => codes.some((code) => set.has(code));

function stateOf(supply: Stateless, codes: readonly number[]): SupplyState {
  const receptacle = supply.class === RECEPTACLE;
  const gone = supply.meaning === 'measured' && supply.level === 0;
  if (any(codes, FULL_CODES)) return 'full';
  if (any(codes, EMPTY_CODES) || gone) return receptacle ? 'full' : 'empty';
  if (any(codes, ALMOST_FULL_CODES) || any(codes, ALMOST_EMPTY_CODES)) return 'low';
  if (supply.meaning === 'unknown') return 'unknown';
  return supply.percent !== null && supply.percent <= LOW_PERCENT ? 'low' : 'ok';
}

/** prtMarkerSuppliesIndex → codes of the alerts that point to it. */
function codesBySupply(alerts: readonly Alert[]): ReadonlyMap<number, readonly number[]> {
  const codes = new Map<number, number[]>();
  for (const { group, groupIndex, codeNumber } of alerts) {
    if (group !== 'markerSupplies' || groupIndex === null || codeNumber === null) continue;
    const known = codes.get(groupIndex);
    if (known === undefined) codes.set(groupIndex, [codeNumber]);
    else known.push(codeNumber);
  }
  return codes;
}

/** Adds the states. `alerts` are those of the same device; only those that point to a supply's own row count for it. */
export function withStates(supplies: readonly Stateless[], alerts: readonly Alert[]): readonly Supply[] {
  const codes = codesBySupply(alerts);
  return supplies.map((supply) => ({ ...supply, state: stateOf(supply, codes.get(supply.index) ?? []) }));
}

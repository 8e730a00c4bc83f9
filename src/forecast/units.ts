/**
 * PrtMarkerSuppliesSupplyUnitTC (RFC 3805): each unit in one base unit of its kind, so that a level in one can be set
 * against a capacity in another. `other`, `unknown` and `percent` have no kind.
 */

export interface BaseUnit {
  readonly base: 'mm' | 'm' | 'impression' | 'sheet' | 'h' | 'g' | 'ml' | 'item';
  /** Base units in one of this unit. */
  readonly factor: number;
}

/**
 * Inch 25.4 mm, foot 0.3048 m, avoirdupois ounce 28.349523125 g: exact by the international yard and pound agreement of
 * 1959. US fluid ounce 29.5735295625 ml: 1/128 of a gallon of 231 cubic inches.
 */
export const SUPPLY_UNITS: Readonly<Record<string, BaseUnit>> = {
  tenThousandthsOfInches: { base: 'mm', factor: 0.00254 },
  micrometers: { base: 'mm', factor: 0.001 },
  impressions: { base: 'impression', factor: 1 },
  sheets: { base: 'sheet', factor: 1 },
  hours: { base: 'h', factor: 1 },
  thousandthsOfOunces: { base: 'g', factor: 0.028349523125 },
  tenthsOfGrams: { base: 'g', factor: 0.1 },
  hundrethsOfFluidOunces: { base: 'ml', factor: 0.295735295625 },
  tenthsOfMilliliters: { base: 'ml', factor: 0.1 },
  feet: { base: 'm', factor: 0.3048 },
  meters: { base: 'm', factor: 1 },
  items: { base: 'item', factor: 1 },
};

/** An amount in its base unit; null for a unit without one. */
export function inBaseUnit(
  amount: number,
  unit: string | null,
): { readonly amount: number; readonly base: BaseUnit['base'] } | null {
  const known = unit !== null && Object.hasOwn(SUPPLY_UNITS, unit) ? SUPPLY_UNITS[unit] : undefined;
  return known === undefined ? null : { amount: amount * known.factor, base: known.base };
}

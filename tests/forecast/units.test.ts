import { expect, test } from 'vitest';
import { inBaseUnit, SUPPLY_UNITS } from '../../src/forecast/units.js';
import { ENUMS } from '../../src/registry/enums.generated.js';

/** PrtMarkerSuppliesSupplyUnitTC (RFC 3805 section 6): what a thousandth, a tenth or a hundredth of each unit is. */
test.each([
  // 1 oz = 28.349523125 g, NIST Handbook 44 appendix C.
  ['thousandthsOfOunces', 1000, 28.349523125, 'g'],
  ['tenthsOfGrams', 1234, 123.4, 'g'],
  // 1 US fl oz = 29.5735295625 ml, NIST Handbook 44 appendix C.
  ['hundrethsOfFluidOunces', 100, 29.5735295625, 'ml'],
  ['tenthsOfMilliliters', 455, 45.5, 'ml'],
  // 1 in = 25.4 mm.
  ['tenThousandthsOfInches', 10_000, 25.4, 'mm'],
  ['micrometers', 2500, 2.5, 'mm'],
  ['feet', 10, 3.048, 'm'],
  ['meters', 7, 7, 'm'],
  ['impressions', 6000, 6000, 'impression'],
  ['sheets', 250, 250, 'sheet'],
  ['hours', 12, 12, 'h'],
  ['items', 5000, 5000, 'item'],
])('%s', (unit, amount, wanted, base) => {
  const made = inBaseUnit(amount, unit);
  expect(made?.base).toBe(base);
  expect(made?.amount).toBeCloseTo(wanted, 9);
});

test('units without a kind of their own have no base unit', () => {
  for (const unit of ['other', 'unknown', 'percent', 'pints', '__proto__', null])
    expect(inBaseUnit(5, unit)).toBeNull();
});

test('every unit of the registry is known, but for those three', () => {
  const names = Object.values(ENUMS.PrtMarkerSuppliesSupplyUnitTC ?? {});
  expect(names.filter((name) => !(name in SUPPLY_UNITS)).sort()).toEqual(['other', 'percent', 'unknown']);
  expect(Object.keys(SUPPLY_UNITS).filter((name) => !names.includes(name))).toEqual([]);
});

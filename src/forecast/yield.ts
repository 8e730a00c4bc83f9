/** Pages for a percent of a cartridge, here and as rated. */
import type { Cartridge } from '../model/cartridge.js';
import type { Yield } from '../model/supplies.js';
import type { Estimated } from './estimate.js';

/** Share of the page that the standard test pages cover, percent (ISO/IEC 19752 and 19798 for toner, 24711 for ink). */
export const RATED_COVERAGE = 5;

/**
 * PrtMarkerSuppliesTypeTC labels (IANA-PRINTER-MIB) of what lands on the page, or may. Drums, fusers and waste boxes are rated in pages
 * too, but wear by turns and jobs, not by coverage.
 */
const COLOURANTS: ReadonlySet<string> = new Set([
  'other',
  'unknown',
  'toner',
  'tonerCartridge',
  'matteToner',
  'ink',
  'inkCartridge',
  'matteInk',
  'inkRibbon',
  'ribbonWax',
  'solidWax',
]);

/** True for a type of supply that is used up by what is printed. */
export function isColourant(type: string): boolean {
  return COLOURANTS.has(type);
}

/**
 * Arithmetic of coverage: a cartridge rated R pages at 5 % that gives P pages here covers 5 R / P percent of a page on the
 * mean, and a page costs price / P. Null without a page counter.
 */
export function yieldOf(made: Estimated, type: string, cartridge?: Cartridge, currency?: string): Yield | null {
  if (made.pace === undefined) return null;
  const pages = 100 / made.fit.fall.mean;
  const { ratedPages, price } = cartridge ?? {};
  return {
    pagesPerPercent: significant(pages / 100),
    ratedPagesPerPercent: ratedPages === undefined ? null : ratedPages / 100,
    coverage:
      ratedPages === undefined || !isColourant(type) ? null : significant((RATED_COVERAGE * ratedPages) / pages),
    costPerPage: price === undefined ? null : significant(price / pages),
    currency: price === undefined ? null : (currency ?? null),
  };
}

/** Three digits are more than a mean is worth. */
function significant(value: number): number {
  return Number(value.toPrecision(3));
}

/** The cartridge of a model file that a supply is: by the printer's name for it, else by type and colour. */
export function cartridgeOf(
  supply: { readonly name: string; readonly type: string; readonly colour: string | null },
  cartridges: readonly Cartridge[],
): Cartridge | undefined {
  const same = (a: string | undefined, b: string | null): boolean => a?.toLowerCase() === b?.toLowerCase();
  return (
    cartridges.find((entry) => entry.supply !== undefined && same(entry.supply, supply.name)) ??
    cartridges.find(
      (entry) =>
        entry.supply === undefined &&
        same(entry.type, kindOf(supply.type)) &&
        (entry.colour === undefined || same(entry.colour, supply.colour)),
    )
  );
}

/** Words that printers use for the same thing. */
function kindOf(type: string): string {
  if (type === 'tonerCartridge') return 'toner';
  return type === 'inkCartridge' ? 'ink' : type;
}

import type { PrinterDocument, Supply } from '../model/printer.js';
import type { FoundSign } from './evidence.js';

/** What is left, in percent, from which a supply or part counts as near its end, and from which as fresh. Common practice, no published source. */
const NEAR_END = 10;
const FRESH = 50;
const AMPLE = 30;

const percent = (supply: Supply): string =>
  supply.percent === null ? `"${supply.state}"` : `${Math.round(supply.percent)} %`;

function isLow(supply: Supply): boolean {
  if (supply.state === 'low' || supply.state === 'empty') return true;
  return supply.percent !== null && supply.percent <= NEAR_END;
}

/** Parts that wear: near the end of their life, or with half of it or more to go. */
const WEARING = [
  { types: ['opc'], name: 'drum' },
  { types: ['developer'], name: 'developer', neverFresh: true },
  { types: ['fuser'], name: 'fuser' },
  { types: ['transferUnit'], name: 'transfer' },
  { types: ['cleanerUnit', 'fuserCleaningPad'], name: 'cleaner', neverFresh: true },
] as const;

function wear(supplies: readonly Supply[]): readonly FoundSign[] {
  return WEARING.flatMap(({ types, name, ...rest }) => {
    const parts = supplies.filter(({ type }) => (types as readonly string[]).includes(type));
    const worn = parts.find(isLow);
    if (worn !== undefined) return [{ when: `${name}-near-end`, part: worn.name, value: percent(worn) }];
    const least = [...parts].sort((a, b) => (a.percent ?? 0) - (b.percent ?? 0))[0];
    const fresh = !('neverFresh' in rest) && least !== undefined && (least.percent ?? 0) >= FRESH;
    return fresh ? [{ when: `${name}-fresh`, part: least.name, value: percent(least) }] : [];
  });
}

function colourants(supplies: readonly Supply[], types: readonly string[], name: string): readonly FoundSign[] {
  const all = supplies.filter(({ type }) => types.includes(type));
  const low = all.find(isLow);
  if (low !== undefined) return [{ when: `${name}-low`, part: low.name, value: percent(low) }];
  const least = Math.min(...all.map((supply) => supply.percent ?? 0));
  return all.length > 0 && least >= AMPLE ? [{ when: `${name}-ample`, value: `${Math.round(least)} % or more` }] : [];
}

/** What levels and lives say: the printer's own count, which is an estimate too. */
export function supplySigns({ supplies }: Pick<PrinterDocument, 'supplies'>): readonly FoundSign[] {
  const waste = supplies.find((s) => s.type === 'wasteToner' && (s.state === 'full' || isLow(s)));
  const ribbon = supplies.find((s) => /ribbon/i.test(s.type) && isLow(s));
  return [
    ...colourants(supplies, ['toner', 'tonerCartridge', 'matteToner'], 'toner'),
    ...colourants(supplies, ['ink', 'inkCartridge', 'matteInk'], 'ink'),
    ...wear(supplies),
    ...(waste === undefined ? [] : [{ when: 'waste-full', part: waste.name }]),
    ...(ribbon === undefined ? [] : [{ when: 'ribbon-low', part: ribbon.name }]),
  ];
}

import type { Replaced } from '../model/compare.js';
import type { Supply } from '../model/printer.js';
import type { SnapshotPrinter } from '../model/snapshot.js';

/** A level that rose by less may be a reading that wavers. Percent points. */
const REFILLED = 10;
/** How makers write a cartridge's number into its description: common practice, no published source. */
const CARTRIDGE_NUMBER = /\b(?:s\/?n|serial(?: ?(?:no\.?|number))?)\s{0,3}[:=#]?\s{0,3}([0-9a-z][0-9a-z-]{3,39})\b/i;

/** What was exchanged at one printer between two looks: the device, else its cartridges and its firmware. */
export function exchanged(printer: string, old: SnapshotPrinter, now: SnapshotPrinter): readonly Replaced[] {
  const [before, after] = [old.printer, now.printer];
  if (before === null || after === null) return [];
  const [a, b] = [before.identity, after.identity];
  if (a.serial !== null && b.serial !== null && a.serial !== b.serial) {
    const words = [`${a.model ?? 'a printer'} ${a.serial}`, `${b.model ?? 'a printer'} ${b.serial}`] as const;
    return [
      {
        printer,
        what: `the device itself: ${words[0]} before, ${words[1]} now`,
        kind: 'device',
        before: words[0],
        after: words[1],
      },
    ];
  }
  const supplies = after.supplies.flatMap((supply) => {
    const was = before.supplies.find(({ index, type }) => index === supply.index && type === supply.type);
    return was === undefined ? [] : supplyChange(printer, was, supply);
  });
  const renewed: readonly Replaced[] =
    a.firmware !== null && b.firmware !== null && a.firmware !== b.firmware
      ? [
          {
            printer,
            what: `firmware: ${a.firmware} before, ${b.firmware} now`,
            kind: 'firmware',
            before: a.firmware,
            after: b.firmware,
          },
        ]
      : [];
  return [...supplies, ...renewed];
}

function supplyChange(printer: string, was: Supply, supply: Supply): readonly Replaced[] {
  const levels = { before: standing(was), after: standing(supply) };
  const numbers = [numberOf(was), numberOf(supply)] as const;
  const levelWords = `${levels.before} before, ${levels.after} now`;
  if (numbers[0] !== null && numbers[1] !== null && numbers[0] !== numbers[1]) {
    const what = `${plainName(supply)}: cartridge ${numbers[0]} before, ${numbers[1]} now; level ${levelWords}`;
    return [{ printer, what, kind: 'cartridge', before: numbers[0], after: numbers[1] }];
  }
  if (numbers[0] === null && numbers[1] === null && was.name !== supply.name) {
    return [
      {
        printer,
        what: `${was.name} before, ${supply.name} now; level ${levelWords}`,
        kind: 'cartridge',
        before: was.name,
        after: supply.name,
      },
    ];
  }
  if (!isFuller(was, supply)) return [];
  const same = numbers[0] !== null && numbers[0] === numbers[1] ? ` (the same cartridge, ${numbers[0]})` : '';
  return [{ printer, what: `${plainName(supply)}${same}: ${levelWords}`, kind: 'refill', ...levels }];
}

/** A receptacle's level is the space left, so one that was emptied rises as well (RFC 3805, prtMarkerSuppliesLevel). */
function isFuller(was: Supply, supply: Supply): boolean {
  const rose = was.percent !== null && supply.percent !== null && supply.percent - was.percent >= REFILLED;
  return rose || ((was.state === 'empty' || was.state === 'full') && supply.state === 'ok');
}

function numberOf({ name }: Supply): string | null {
  return CARTRIDGE_NUMBER.exec(name)?.[1] ?? null;
}

/** Its name without the number that only this cartridge has. */
function plainName({ name }: Supply): string {
  return name.replace(CARTRIDGE_NUMBER, '').replace(/(?<![\s,;:()])[\s,;:()]+$/, '') || name;
}

function standing({ percent, state }: Supply): string {
  return percent === null ? state : `${percent} %`;
}

import * as known from '../ladder/cautions.js';
import type { Technology } from '../registry/trade.js';

// Cautions that only bad pages need; the others are those of the ladder. Common practice, no published source; recalled.
const HOT_HEAD = 'The print head is hot enough to burn: switch off and let it cool before touching it.';
const CLEANING_ALCOHOL =
  'Cleaning alcohol burns easily: use little of it, only on a cold machine with the plug out, in a room with air.';
const DRUM_SURFACE =
  'Carry the drum unit by its handles and do not wipe or scratch the drum: a touched place prints for good.';

/** Names used in `shared/trade` → what a person must beware of, in the order in which it is said. */
const BY_NAME: Readonly<Record<string, readonly string[]>> = {
  FUSER: [known.HOT_FUSER],
  UNPLUG: [known.UNPLUG_FIRST],
  JAM: [known.PULL_JAM, known.NO_FORCE],
  TONER: [known.TONER_DUST, known.NO_HOUSEHOLD_VACUUM, known.WASH_COLD],
  LASER: [known.LASER_HOUSING],
  ROLLERS: [known.MOVING_ROLLERS],
  VOLTAGE: [known.HIGH_VOLTAGE],
  HEAVY: [known.HEAVY],
  INK: [known.INK],
  DRUM: [known.COVER_DRUM, DRUM_SURFACE],
  USED: [known.USED_PARTS],
  PERSON: [known.USER_DOORS, known.SERVICE_MANUAL],
  HEAD: [HOT_HEAD],
  ALCOHOL: [CLEANING_ALCOHOL],
};

/** Every name that a table may use. */
export const CAUTION_NAMES: readonly string[] = Object.keys(BY_NAME);

/** Dangers that only a laser printer has. Steps that several technologies share name them all. */
const OF_LASER: readonly string[] = ['FUSER', 'TONER', 'LASER', 'DRUM'];

/** The sentences behind some names, each once: those of dangers that such a printer has. */
export function cautionsOf(names: readonly string[], technology: Technology): readonly string[] {
  const here = names.filter((name) => technology === 'laser' || !OF_LASER.includes(name));
  return [...new Set(here.flatMap((name) => BY_NAME[name] ?? []))];
}

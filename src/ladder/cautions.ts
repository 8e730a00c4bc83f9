/**
 * What a person must beware of, said before the step that it belongs to.
 * Nothing here replaces the maker's service manual, local rules or a qualified person; SERVICE_MANUAL says so.
 * Beside each constant: where the fact comes from, and "recalled" where the source was not opened again.
 */

/** Temperature and waiting time: common practice, no published source; recalled. Burn thresholds behind it: ISO 13732-1 (2006), burn thresholds; recalled. */
export const HOT_FUSER =
  'The fuser works at roughly 150 to 220 °C: switch off and wait 30 minutes or more before reaching near it.';

/**
 * US OSHA-based office safety course (NOAA), electrical equipment; US OSHA lockout/tagout eTool, cord- and plug-connected
 * equipment, 29 CFR 1910.147(a)(2)(iii)(A). Hot parts: Texas State University safety manual, office chapter (2014).
 */
export const UNPLUG_FIRST =
  'Before reaching inside: switch off, pull the plug, keep the plug in sight, and let the machine cool.';

/** Common practice, no published source; recalled. */
export const PULL_JAM =
  'Pull jammed paper with both hands, straight and slowly along the paper path; fit torn sheets together and look for missing pieces.';

/** BAuA (German federal institute for occupational safety), Handling toner safely, list of measures. */
export const NO_FORCE =
  'Do not tear paper out by force, it sets loose toner free: if it will not come, leave it to someone who knows the machine.';

/** Canadian Centre for Occupational Health and Safety, note on toner spills (2019); BAuA, Handling toner safely, list of measures. */
export const TONER_DUST =
  'Toner is very fine dust: do not shake it out, blow or brush it; wipe spills with a damp cloth.';

/** Canadian Centre for Occupational Health and Safety, note on toner spills (2019). */
export const NO_HOUSEHOLD_VACUUM =
  'Never take up toner with a household vacuum cleaner: the dust passes its filter and may, rarely, catch fire.';

/** BAuA, Handling toner safely, list of measures. */
export const WASH_COLD =
  'Wash toner off with cold water and soap; toner in the eye: rinse for ten minutes or more, and see a doctor if necessary.';

/**
 * IEC 60825-1 (2014), class 1 and protective housing; recalled. University of Texas at Austin EHS, class 1 products with
 * embedded lasers. AUVA, laser classes, class 3B: interlocks are never bridged.
 */
export const LASER_HOUSING =
  'The closed housing keeps the laser beam in: never bridge, tape or hold down a cover switch, and never look inside while the machine runs.';

/** Texas State University safety manual, office chapter, preventing machine accidents (2014). */
export const MOVING_ROLLERS =
  'Rollers may start by themselves: keep fingers, loose sleeves, ties, jewellery and long hair away, and leave guards in place.';

/** US OSHA-based office safety course (NOAA), electrical equipment. */
export const MAINS = 'Mains voltage: do not use a damaged cord, plug or socket, and do not touch them with wet hands.';

/** Common practice, no published source; recalled. */
export const HIGH_VOLTAGE =
  'Parts inside carry high voltage and keep charge after the plug is out: covers that need a tool stay shut for users.';

/** Texas State University safety manual, office chapter, preventing machine accidents (2014). */
export const SMOKE_STOP =
  'Smoke, a burning smell, sparks or liquid inside: pull the plug at once and send no more test pages.';

/** NIOSH revised lifting equation, applications manual, load constant (1994). Two people or a trolley: common practice, no published source; recalled. */
export const HEAVY =
  'Printers and boxes of paper are heavy: above 23 kg, or when bending or twisting, lift with two people or use a trolley.';

/** Common practice, no published source; recalled. */
export const INK =
  'Ink is a liquid: wear gloves, keep it out of the eyes, wipe it up before it dries, and follow its safety data sheet.';

/** Common practice, no published source; recalled. */
export const COVER_DRUM =
  'Do not touch the drum surface, and cover it from light at once: room light leaves marks on it.';

/** Common practice, no published source; recalled. */
export const USED_PARTS =
  'Put used cartridges and dirty wipes in a closed bag; never crush, open or burn them, and return them as local rules say.';

/** Common practice, no published source. */
export const KEEP_JOBS = 'Delete nothing: the waiting job files hold the documents of people who count on them.';

/** Common practice, no published source; recalled. Kinds of persons: IEC 62368-1 (2018), 0.2 and definitions; read in a text that quotes it. */
export const USER_DOORS =
  'Users load paper, exchange user supplies and open user doors; whatever needs a tool belongs to a qualified person.';

/** Common practice, no published source; recalled. */
export const SERVICE_MANUAL =
  'The maker’s service manual, local rules and a qualified person decide: where they say otherwise, follow them.';

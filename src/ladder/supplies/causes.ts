import {
  COVER_DRUM,
  HOT_FUSER,
  INK,
  LASER_HOUSING,
  NO_HOUSEHOLD_VACUUM,
  SERVICE_MANUAL,
  TONER_DUST,
  UNPLUG_FIRST,
  USED_PARTS,
  USER_DOORS,
  WASH_COLD,
} from '../cautions.js';
import type { Cause } from '../layer.js';

// Relative frequencies (`prior`): common practice, no published source.

/** Before a user exchanges a cartridge, whatever it holds. */
const EXCHANGE = [TONER_DUST, NO_HOUSEHOLD_VACUUM, WASH_COLD, INK, HOT_FUSER, USED_PARTS] as const;
/** Before a user takes a cartridge out to wipe its contacts. */
const RESEAT = [UNPLUG_FIRST, HOT_FUSER, TONER_DUST, WASH_COLD, INK] as const;

export const causes = {
  'supply-empty': {
    severity: 'fault',
    summary:
      'The printer has stopped because nothing is left in {component|a toner or ink cartridge}, which must be exchanged.',
    asWarning: 'The printer counts {component|a cartridge} as empty and still prints: have a new one ready.',
    technical:
      'A supply-empty alert or reason together with a stopped state; a level of 0 alone proves nothing, many printers go on printing at 0.',
    next: [
      {
        step: 'Say to the person at the printer: "Which colour or part does the display name? Is a new one in the cupboard?"',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Exchange that cartridge: open the door that the display shows, pull the old one out, take seal and tape off the new one, push it in until it clicks.',
        minutes: 5,
        cautions: EXCHANGE,
      },
      {
        step: 'If none is there: see whether the display offers to go on, or to print in black only, and order a cartridge.',
        minutes: 3,
        cautions: [],
      },
    ],
    prior: 0.04,
    confirms: 'The printer is stopped and names the supply as empty.',
    rulesOut: 'Pages come out, or the supply is only low.',
    looksAlike: ['supply-low', 'supply-missing', 'supply-not-accepted', 'part-worn-out'],
  },
  'supply-missing': {
    severity: 'fault',
    summary: 'The printer does not see {component|one of its cartridges}: missing, or not pushed in all the way.',
    asWarning: 'The printer reports {component|a cartridge} as missing and still prints.',
    technical:
      'A supply-missing alert or marker-supply-missing; dirty contacts or a chip that cannot be read look alike, and some devices report an open door or offline instead.',
    next: [
      {
        step: 'Say to the person at the printer: "Open the door, pull that cartridge out, look for tape or packing left on it, push it in until it clicks, and close."',
        minutes: 3,
        cautions: [HOT_FUSER, TONER_DUST, WASH_COLD, INK],
      },
      {
        step: 'Wipe the contacts of the cartridge with a dry lint-free cloth and put it back.',
        minutes: 3,
        cautions: RESEAT,
      },
      { step: 'Try another cartridge of the right type.', minutes: 4, cautions: EXCHANGE },
    ],
    prior: 0.007,
    confirms: 'The printer names a supply as missing.',
    rulesOut: 'Every supply is listed as present.',
    looksAlike: ['supply-not-accepted', 'cover-open', 'supply-empty'],
  },
  'supply-not-accepted': {
    severity: 'fault',
    summary:
      'The printer refuses {component|a cartridge}: wrong type, meant for another region, or a chip that cannot be read.',
    asWarning: 'The printer complains of {component|a cartridge} and still prints: keep one of the right number ready.',
    technical:
      'An alert about an incompatible, unknown or invalid supply; firmware newer than the cartridge, a contract cartridge in the wrong printer and dirty contacts look alike.',
    next: [
      {
        step: 'Say to the person at the printer: "Read me the number on the cartridge and the message." Compare it with the number meant for this model.',
        minutes: 3,
        cautions: [],
      },
      {
        step: 'Take the cartridge out, wipe its contacts with a dry lint-free cloth, and put it back.',
        minutes: 3,
        cautions: RESEAT,
      },
      {
        step: 'Put the previous cartridge or another one of the right number in, and return the refused one to its seller.',
        minutes: 5,
        cautions: EXCHANGE,
      },
    ],
    prior: 0.008,
    confirms: 'The printer names the supply as wrong or unreadable, and takes another.',
    rulesOut: 'The supply is reported with its level and no alert stands.',
    looksAlike: ['supply-missing', 'supply-empty'],
  },
  'waste-full': {
    severity: 'fault',
    summary:
      'The printer has stopped because the box for waste toner or ink ({component|the waste container}) is full and must be exchanged.',
    asWarning:
      'The printer counts its box for waste toner or ink ({component|the waste container}) as full and still prints: have a new one ready.',
    technical:
      'A waste-full alert, marker-waste-full, or a receptacle with no space left in a stopped printer; RFC 3805 levels give the space left, and the pads of ink printers count strokes and need service.',
    next: [
      {
        step: 'Say to the person at the printer: "Is there a new waste box in the cupboard?" If not, order one.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Exchange the box: pull it out level, close its cap, put the new one in until it clicks. Do not empty it and put it back.',
        minutes: 5,
        cautions: [TONER_DUST, NO_HOUSEHOLD_VACUUM, WASH_COLD, INK, HOT_FUSER, USED_PARTS],
      },
      {
        step: 'If this printer has no box that a user can take out: call a qualified service technician.',
        minutes: 5,
        cautions: [USER_DOORS, SERVICE_MANUAL],
      },
    ],
    prior: 0.008,
    confirms: 'The printer is stopped and names the waste container as full.',
    rulesOut: 'It prints, or the container is only almost full.',
    looksAlike: ['part-worn-out', 'output-full', 'supply-empty'],
  },
  'part-worn-out': {
    severity: 'fault',
    summary:
      'The printer has stopped for a part at the end of its life, which must be exchanged: {component|its display says which}.',
    asWarning:
      'A part of the printer has reached the end of its life and it still prints: {component|its display says which}.',
    technical:
      'An end-of-life alert for drum, fuser, transfer or cleaner with a stopped printer; most parts warn long before, and a counter that was not reset after an exchange looks alike.',
    next: [
      {
        step: 'Say to the person at the printer: "Read me the message: which part, and may you press go on?" Many printers go on for a while.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'If it is a drum that users exchange: put the new one in as its leaflet shows, and reset its counter if the leaflet says so.',
        minutes: 8,
        cautions: [COVER_DRUM, ...EXCHANGE],
      },
      {
        step: 'Fuser, transfer and cleaning parts: have a qualified person exchange them with the machine off, unplugged and cold.',
        minutes: 45,
        cautions: [HOT_FUSER, UNPLUG_FIRST, LASER_HOUSING, TONER_DUST, NO_HOUSEHOLD_VACUUM, USER_DOORS, SERVICE_MANUAL],
      },
    ],
    prior: 0.007,
    confirms: 'The printer is stopped and names the part’s end of life.',
    rulesOut: 'It prints, or the part is only near its end.',
    looksAlike: ['service-needed', 'fuser-fault', 'waste-full', 'supply-empty'],
  },
  'supply-low': {
    severity: 'warning',
    summary: 'The printer still prints, but little is left in {component|a cartridge}: have a new one ready.',
    technical:
      'A low alert or a small level while the state is idle or printing; low is never empty, and levels of some printers move in coarse steps.',
    next: [
      { step: 'Check that a new cartridge is in the cupboard, or order one.', minutes: 2, cautions: [] },
      {
        step: 'Leave the old one in until the printer stops or the print gets pale.',
        minutes: 1,
        cautions: [],
      },
    ],
    prior: 0,
    confirms: 'A low level or low alert with the printer able to print.',
    rulesOut: 'The printer is stopped and names the supply as empty.',
    looksAlike: ['supply-empty', 'part-worn-out'],
  },
  'waste-nearly-full': {
    severity: 'warning',
    summary:
      'The box for waste toner or ink ({component|the waste container}) is nearly full: have a new one ready, printing goes on.',
    technical:
      'An almost-full alert for a receptacle with the printer able to print; RFC 3805 levels give the space left, some IPP levels the filling.',
    next: [
      { step: 'Check that a new waste box is in the cupboard, or order one.', minutes: 2, cautions: [] },
      { step: 'Leave the old one in until the printer asks for the exchange.', minutes: 1, cautions: [] },
    ],
    prior: 0,
    confirms: 'The printer names the waste container as almost full and prints.',
    rulesOut: 'The printer is stopped and names the container as full.',
    looksAlike: ['waste-full', 'part-near-end'],
  },
  'part-near-end': {
    severity: 'warning',
    summary:
      'A part of the printer nears the end of its life and should be ordered: {component|its display says which}.',
    technical:
      'A near-end-of-life alert for drum, fuser, transfer or cleaner with the printer able to print; the counter, not the state of the part, sets it off.',
    next: [
      { step: 'Note the part and its number, and order it; ask who may exchange it.', minutes: 3, cautions: [] },
      { step: 'Leave the part in while the pages look good and the printer goes on.', minutes: 1, cautions: [] },
    ],
    prior: 0,
    confirms: 'The printer names a part as near its end and prints.',
    rulesOut: 'The printer is stopped for that part.',
    looksAlike: ['part-worn-out', 'service-needed'],
  },
} as const satisfies Readonly<Record<string, Cause>>;

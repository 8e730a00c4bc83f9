import {
  HIGH_VOLTAGE,
  HOT_FUSER,
  LASER_HOUSING,
  MOVING_ROLLERS,
  NO_FORCE,
  PULL_JAM,
  SERVICE_MANUAL,
  SMOKE_STOP,
  UNPLUG_FIRST,
  USER_DOORS,
} from '../cautions.js';
import type { Cause } from '../layer.js';

// Relative frequencies (`prior`): common practice, no published source.

export const causes = {
  'cover-open': {
    severity: 'fault',
    summary:
      'The printer stands still because something is open: {component|a cover or door}; it goes on once that is shut.',
    asWarning: 'The printer prints although it reports something open: {component|a cover or door}.',
    technical:
      'A cover row or alert says open (coverOpen, cover-open) and nothing else stops it; a cartridge that is not fully home keeps a cover from closing and looks alike.',
    next: [
      {
        step: 'Say to the person at the printer: "Press every cover and door shut, also the one at the back, until it clicks."',
        minutes: 1,
        cautions: [LASER_HOUSING],
      },
      {
        step: 'If one will not shut, say: "Open it again, look for paper or a cartridge standing out, push the cartridge home and close."',
        minutes: 3,
        cautions: [UNPLUG_FIRST, HOT_FUSER, MOVING_ROLLERS],
      },
      {
        step: 'If all are shut and the message stays: the latch or the switch behind it is broken; call a qualified service technician.',
        minutes: 5,
        cautions: [LASER_HOUSING, SERVICE_MANUAL],
      },
    ],
    prior: 0.025,
    confirms: 'The printer names an open cover, in a table, a state reason or its display.',
    rulesOut: 'All cover rows say closed and no reason or alert speaks of a cover.',
    looksAlike: ['interlock-open', 'supply-missing', 'media-jam', 'part-worn-out'],
  },
  'interlock-open': {
    severity: 'fault',
    summary:
      'A safety switch in the printer ({component|behind a door or unit}) is open, so it stays still until that door or unit is properly in place.',
    asWarning: 'The printer prints although it reports a safety switch as open ({component|not named}).',
    technical:
      'An alert or reason says interlock-open with no open cover beside it; an optional tray, finisher or duplex unit pulled away from the machine opens one too.',
    next: [
      {
        step: 'Say to the person at the printer: "Push in every drawer, the unit at the back and anything docked at the side, and close all doors until they click."',
        minutes: 2,
        cautions: [LASER_HOUSING],
      },
      {
        step: 'Switch off, take out and put back the unit that the display names, close everything and switch on.',
        minutes: 5,
        cautions: [UNPLUG_FIRST, HOT_FUSER, MOVING_ROLLERS],
      },
      {
        step: 'If it stays: the switch or its lever is broken; call a qualified service technician, and never bridge it.',
        minutes: 5,
        cautions: [LASER_HOUSING, SERVICE_MANUAL],
      },
    ],
    prior: 0.004,
    confirms: 'An alert or state reason names an interlock.',
    rulesOut: 'No alert or reason about an interlock, and the engine moves.',
    looksAlike: ['cover-open', 'tray-missing'],
  },
  'media-jam': {
    severity: 'fault',
    summary: 'Paper is jammed in {component|the printer}, and it waits until every piece of it is out.',
    asWarning:
      'The printer prints although it still reports a jam in {component|its paper path}: the message may be an old one, or a scrap may be left inside.',
    technical:
      'A jam alert, state reason or the jammed bit; a scrap, dust or a stuck flag at a sensor reports a jam with no sheet inside.',
    next: [
      {
        step: 'Say to the person at the printer: "See where the display says the paper is. Then switch off and pull the plug, open only that place, and take the sheet out whole."',
        minutes: 5,
        cautions: [PULL_JAM, NO_FORCE, UNPLUG_FIRST, HOT_FUSER, MOVING_ROLLERS],
      },
      {
        step: 'Say: "Pull the tray right out and look behind it, then at the back door and the two-sided unit, for torn pieces." Then close everything.',
        minutes: 4,
        cautions: [PULL_JAM, UNPLUG_FIRST, HOT_FUSER],
      },
      {
        step: 'Take the paper out of the tray, fan it, put back less than the mark allows, and set the guides so that they touch it lightly.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'If it jams again at the same place within ten sheets, or shows a jam with no paper inside: call a qualified service technician.',
        minutes: 5,
        cautions: [USER_DOORS, SERVICE_MANUAL],
      },
    ],
    prior: 0.04,
    confirms: 'The printer names a jam and does not print.',
    rulesOut: 'Pages come out, or the engine is idle with no jam reported by any source.',
    looksAlike: ['cover-open', 'output-full', 'media-empty', 'service-needed'],
  },
  paused: {
    severity: 'fault',
    summary: 'Someone has paused the printer, and it waits until somebody lets it go on.',
    asWarning: 'The printer reports a pause, but it goes on printing.',
    technical:
      'State reason paused or moving-to-paused from the printer itself; a paused print queue says the same word and must be asked apart.',
    next: [
      {
        step: 'Say to the person at the printer: "Press the button for resume, go on or ready. Does a page come?"',
        minutes: 1,
        cautions: [],
      },
      {
        step: 'If it pauses again: ask who paused it and why, then look for a job that waits for paper or for a person.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.015,
    confirms: 'The printer itself reports paused, or the display says so.',
    rulesOut: 'The printer reports idle or processing without that reason.',
    looksAlike: ['queue-paused', 'offline', 'stopped'],
  },
  offline: {
    severity: 'fault',
    summary: 'The printer has been set offline at its panel, so it takes no pages from the network.',
    asWarning: 'The printer reports that it is offline, but it goes on printing.',
    technical:
      'The offline bit or hrPrinterStatus with a moving-off-line alert while it still answers; many devices set the same bit for a jam or an open cover, so look for another alert first.',
    next: [
      {
        step: 'Say to the person at the printer: "Press the button for online or ready until the display says ready."',
        minutes: 1,
        cautions: [],
      },
      {
        step: 'Say: "Is a menu open on the display? Leave it, some printers stay offline while a menu is open."',
        minutes: 1,
        cautions: [],
      },
      { step: 'If it does not stay online: switch it off, wait 30 seconds, switch it on.', minutes: 4, cautions: [] },
    ],
    prior: 0.015,
    confirms: 'The printer says offline and names no other condition that would explain it.',
    rulesOut: 'The display or the status says ready, or a jam, cover or supply alert accounts for the bit.',
    looksAlike: ['paused', 'stopped', 'queue-paused', 'cover-open'],
  },
  'service-needed': {
    severity: 'fault',
    summary:
      'The printer reports a fault of its own ({said|its display may show a code}) and asks for service; it will not print until that is mended.',
    asWarning: 'The printer asks for service ({said|no more is said}) and goes on printing for now.',
    technical:
      'The service-requested bit, a critical alert for trained staff or a subunit failure; some devices set the same bit for a jam or an empty supply, so other alerts count more.',
    next: [
      {
        step: 'Say to the person at the printer: "Read me the whole message and every number in it." Write it down.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Say: "Switch it off, wait 30 seconds, switch it on." Once only: a code that comes back is a real fault.',
        minutes: 4,
        cautions: [SMOKE_STOP],
      },
      {
        step: 'Call a qualified service technician with model, serial number and code, and send jobs to another printer until then.',
        minutes: 5,
        cautions: [USER_DOORS, HIGH_VOLTAGE, SERVICE_MANUAL],
      },
    ],
    prior: 0.01,
    confirms: 'A service code on the display or a critical alert, still there after one restart.',
    rulesOut: 'A restart clears it and pages come.',
    looksAlike: ['fuser-fault', 'part-worn-out', 'media-jam', 'overheated'],
  },
  'fuser-fault': {
    severity: 'fault',
    summary:
      'The part that bakes the toner onto the paper (the fuser) reports a fault ({said|its display may show a code}), so the printer refuses to print; this needs a technician.',
    asWarning:
      'The printer reports trouble with its fuser, the hot part ({said|no more is said}), and goes on printing for now.',
    technical:
      'A fuser alert of over- or under-temperature, a thermistor failure or a timer fault; low mains voltage, a shared power strip and a cold start in a cold room look alike.',
    next: [
      {
        step: 'Say to the person at the printer: "Switch it off and leave it off for half an hour. Do not open it." Then switch it on once.',
        minutes: 32,
        cautions: [HOT_FUSER, SMOKE_STOP],
      },
      {
        step: 'Plug it straight into an earthed wall socket, not into a power strip shared with a heater or a kettle.',
        minutes: 3,
        cautions: [SMOKE_STOP],
      },
      {
        step: 'If the message comes back: leave it off and unplugged, and have a qualified service technician see to the fuser.',
        minutes: 5,
        cautions: [HOT_FUSER, HIGH_VOLTAGE, UNPLUG_FIRST, SERVICE_MANUAL],
      },
    ],
    prior: 0.005,
    confirms: 'An alert, state reason or code that names the fuser, back after cooling down.',
    rulesOut: 'The fuser is reported ready, or a page comes out warm and fixed.',
    looksAlike: ['service-needed', 'overheated', 'part-worn-out', 'starting-up'],
  },
  overheated: {
    severity: 'fault',
    summary: 'The printer is too hot and waits to cool down; it goes on by itself if its air vents are free.',
    asWarning: 'The printer reports that it runs hot, and goes on printing, slower perhaps.',
    technical:
      'An over-temperature alert outside the fuser, or a cooling message; a failed fan brings it back soon, and long runs of narrow or heavy paper bring it rightly.',
    next: [
      {
        step: 'Say to the person at the printer: "Leave it switched on for fifteen minutes so that its fans run. If you smell burning or see smoke, pull the plug."',
        minutes: 15,
        cautions: [SMOKE_STOP, HOT_FUSER],
      },
      {
        step: 'Clear the vents: move walls, boxes and curtains a hand’s breadth away from every grille, and look for direct sun.',
        minutes: 3,
        cautions: [],
      },
      {
        step: 'If it comes back within a day: a fan or a sensor is failing; call a qualified service technician.',
        minutes: 5,
        cautions: [USER_DOORS, SERVICE_MANUAL],
      },
    ],
    prior: 0.002,
    confirms: 'The printer names heat or cooling, and recovers after a rest.',
    rulesOut: 'It was idle for hours, or another critical alert stands.',
    looksAlike: ['fuser-fault', 'service-needed', 'starting-up'],
  },
  'starting-up': {
    severity: 'warning',
    summary: 'The printer is starting or warming up; give it a few minutes before anything else.',
    technical:
      'The status says warmup (hrPrinterStatus), an alert says warming up, or the up-time is very young; if it lasts beyond ten minutes, or up-time keeps falling, it is another cause.',
    next: [
      { step: 'Wait three minutes, then ask again.', minutes: 3, cautions: [] },
      {
        step: 'If it still warms up after ten minutes: ask for the message on the display and treat it as a fuser or service fault.',
        minutes: 2,
        cautions: [HOT_FUSER],
      },
    ],
    prior: 0,
    confirms: 'The status says warming up and soon afterwards ready.',
    rulesOut: 'Ready, printing, or a critical alert.',
    looksAlike: ['asleep', 'keeps-restarting', 'fuser-fault', 'print-ports-closed'],
  },
  'memory-short': {
    severity: 'fault',
    summary: 'The printer has run out of memory for this job, so it stops or drops the page.',
    asWarning: 'The printer reports that its memory was full, and goes on printing.',
    technical:
      'A memory alert from the interpreter or the marker while other jobs pass; one page too heavy for it, or many fonts and held jobs in memory, look alike.',
    next: [
      {
        step: 'Say to the person at the printer: "Cancel the job, switch the printer off, wait 30 seconds, switch it on." Then print a page of plain text.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Print the document again in parts, one-sided and at a lower resolution.',
        minutes: 5,
        cautions: [],
      },
      { step: 'Delete jobs and fonts kept in the printer.', minutes: 5, cautions: [] },
      {
        step: 'If it happens often: have memory added, or use a driver that prepares the page on the computer.',
        minutes: 15,
        cautions: [UNPLUG_FIRST, SERVICE_MANUAL],
      },
    ],
    prior: 0.002,
    confirms: 'A memory alert with the job, and plain pages that print.',
    rulesOut: 'Plain pages fail as well, or no memory alert is there.',
    looksAlike: ['page-too-complex', 'storage-full', 'language-mismatch'],
  },
  'storage-full': {
    severity: 'fault',
    summary: 'The disk or job memory inside the printer is full, so it can store no new job.',
    asWarning: 'The disk or job memory inside the printer is full or nearly so, and it goes on printing.',
    technical:
      'State reason storage-full, or spool-area-full together with refused jobs; spool-area-full alone appears during normal printing of large jobs.',
    next: [
      {
        step: 'At the panel or in the printer’s settings page, open the list of stored jobs and ask their owners which may go; delete those.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'If only one large job fills it: print it in parts.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Set stored jobs to be deleted after some days, so that it does not fill up again.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.002,
    confirms: 'A storage alert or state reason, and jobs are taken again after deleting.',
    rulesOut: 'New jobs are taken.',
    looksAlike: ['memory-short', 'not-accepting-jobs'],
  },
  stopped: {
    severity: 'fault',
    summary: 'The printer has stopped and gives no clear reason ({said|its display may tell more}).',
    asWarning: 'The printer reports that it was stopped, but it goes on printing.',
    technical:
      'Status down or state stopped with neither alert nor reason beside it; a stale status after a cleared fault, or an alert table that could not be read, looks alike.',
    next: [
      {
        step: 'Say to the person at the printer: "Read me everything that the display says, and which lamps are red or blinking."',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Say: "Check for open covers, an empty tray and a full output, then press resume."',
        minutes: 3,
        cautions: [],
      },
      { step: 'Switch it off, wait 30 seconds, switch it on, and ask again.', minutes: 4, cautions: [] },
    ],
    prior: 0.005,
    confirms: 'Stopped in two readings, with the alert and reason lists read whole and empty.',
    rulesOut: 'Any named reason, or a printer that prints.',
    looksAlike: ['paused', 'offline', 'service-needed', 'queue-paused', 'raw-port-busy'],
  },
  'not-accepting-jobs': {
    severity: 'fault',
    summary: 'The printer is on and shows no error, but it takes no new jobs at the moment.',
    technical:
      'At the printer printer-is-accepting-jobs is false or the status is server-error-not-accepting-jobs; devices that take one job at a time say so while they print.',
    next: [
      {
        step: 'Wait until the job in progress is done, at most five minutes, and ask again.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'In the printer’s settings look for a switch such as "accept jobs", a schedule or a firmware update in progress.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Unless an update is running: switch the printer off, wait 30 seconds, switch it on.',
        minutes: 4,
        cautions: [],
      },
    ],
    prior: 0.005,
    confirms: 'Not accepting while idle, in two readings.',
    rulesOut: 'Accepting is true, or a job is being printed.',
    looksAlike: ['queue-rejecting', 'storage-full', 'paused', 'starting-up'],
  },
} as const satisfies Readonly<Record<string, Cause>>;

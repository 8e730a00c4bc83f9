import { HEAVY, HOT_FUSER, MOVING_ROLLERS, PULL_JAM, UNPLUG_FIRST } from '../cautions.js';
import type { Cause } from '../layer.js';

// Relative frequencies (`prior`): common practice, no published source.

export const causes = {
  'media-empty': {
    severity: 'fault',
    summary: 'The printer is waiting for paper: {component|a paper tray} is empty.',
    technical:
      'An empty-tray alert or media-empty with the printer stopped, and no other tray that could serve; a stuck paper flag or a stack not lifted reports a full tray as empty.',
    next: [
      {
        step: 'Say to the person at the printer: "Pull the tray out, put in paper of the same size, not above the mark, set the guides against it, and push the tray in until it stops."',
        minutes: 2,
        cautions: [HEAVY],
      },
      {
        step: 'If the display then asks for the size or type: confirm what is in the tray, and press go on.',
        minutes: 1,
        cautions: [],
      },
      {
        step: 'If it still says empty with paper in: take half of the stack out, put it back flat, and try another tray.',
        minutes: 3,
        cautions: [MOVING_ROLLERS],
      },
    ],
    prior: 0.06,
    confirms: 'The printer names the empty tray and stands still.',
    rulesOut: 'It prints from another tray, or every tray holds paper.',
    looksAlike: ['media-needed', 'tray-missing', 'job-waits-for-media', 'media-jam'],
  },
  'media-needed': {
    severity: 'fault',
    summary:
      'The printer is waiting for another paper than it has: it wants {expected|a different size or type} in {component|a tray}.',
    technical:
      'State reason media-needed, a media-change request or a manual-feed prompt while trays are not empty; a tray set to the wrong size in the printer asks for the very paper that lies in it.',
    next: [
      {
        step: 'Say to the person at the printer: "Which size and type does the display ask for? Put that in, or press go on to use what is there."',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Compare the tray’s setting, in its menu or on its dial, with the paper that is in it, and set it right.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'On the computer, set the document and the driver to the paper that you have (often Letter was set where A4 is used), and print again.',
        minutes: 3,
        cautions: [],
      },
    ],
    prior: 0.025,
    confirms: 'The printer asks for a size or type that no tray is set to.',
    rulesOut: 'Other jobs print from the same tray without a question, or every tray is empty.',
    looksAlike: ['job-waits-for-media', 'media-empty', 'tray-missing'],
  },
  'tray-missing': {
    severity: 'fault',
    summary: 'The printer misses a paper tray: {component|one of them} is out or not pushed in all the way.',
    technical:
      'State reason input-tray-missing, or a subunit-missing alert for an input; a broken tray tab or an optional feeder that lost its plug looks alike, and some devices report only "no paper".',
    next: [
      {
        step: 'Say to the person at the printer: "Push every tray in until it stops. Is one missing, or standing out a little?"',
        minutes: 1,
        cautions: [],
      },
      {
        step: 'Say: "Pull that tray out, look for paper behind it, and push it in straight."',
        minutes: 3,
        cautions: [PULL_JAM, MOVING_ROLLERS, UNPLUG_FIRST],
      },
      {
        step: 'If it stays: switch off, check that the feeder below sits square, switch on; until then print from another tray.',
        minutes: 5,
        cautions: [HEAVY],
      },
    ],
    prior: 0.008,
    confirms: 'An alert names an input as missing and the printer stands still.',
    rulesOut: 'All trays are reported present, or it prints from another.',
    looksAlike: ['media-empty', 'interlock-open', 'media-needed'],
  },
  'output-full': {
    severity: 'fault',
    summary: 'The printer stands still because {component|the output tray} is full; take the printed sheets away.',
    technical:
      'An output-full alert or output-area-full; a paper scrap or a bent flag at the output sensor says full on an empty tray.',
    next: [
      {
        step: 'Say to the person at the printer: "Take all sheets out of every output tray, also the upper and the side ones."',
        minutes: 1,
        cautions: [],
      },
      {
        step: 'If it still says full: look at the exit for a scrap of paper or a small lever that is stuck; do not reach in behind it.',
        minutes: 2,
        cautions: [HOT_FUSER, MOVING_ROLLERS],
      },
    ],
    prior: 0.007,
    confirms: 'The printer names a full output and goes on when it is emptied.',
    rulesOut: 'Every output has room and no alert names one.',
    looksAlike: ['media-jam', 'stopped', 'waste-full'],
  },
} as const satisfies Readonly<Record<string, Cause>>;

import { HEAVY, HOT_FUSER, MOVING_ROLLERS, PULL_JAM, UNPLUG_FIRST } from '../cautions.js';
import type { Cause } from '../layer.js';

// Relative frequencies (`prior`): common practice, no published source.

export const causes = {
  'media-empty': {
    severity: 'fault',
    summary: 'The printer is waiting for paper: there is none in {component|the paper tray}.',
    asWarning: 'There is no paper in {component|one of the trays}; the printer goes on from another one.',
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
    asWarning: 'The printer asks for another paper ({component|no tray named}), but it goes on printing.',
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
    summary: 'A tray of the printer is missing or not pushed in all the way: {component|its display says which}.',
    asWarning:
      'A tray of the printer is missing or not pushed in ({component|it does not say which}); printing goes on without it.',
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
    summary:
      'The printer stands still because there is no room left in {component|the output tray}: take the printed sheets away.',
    asWarning: 'There is no room left in {component|one output tray}; the printer goes on for now.',
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
  'media-low': {
    severity: 'warning',
    summary: 'Little paper is left in {component|a tray}: fill it up before it runs out.',
    technical:
      'A low or almost-empty alert for an input with the printer able to print; a sensor that lags behind reports low after a refill.',
    next: [
      {
        step: 'Put in paper of the same size, not above the mark, and push the tray in until it stops.',
        minutes: 2,
        cautions: [HEAVY],
      },
    ],
    prior: 0,
    confirms: 'The printer names an input as low and prints.',
    rulesOut: 'The tray is reported as empty, or as well filled.',
    looksAlike: ['media-empty'],
  },
  'output-nearly-full': {
    severity: 'warning',
    summary:
      'The printed sheets nearly fill {component|the output tray}: take them away before the printer has to stop.',
    technical: 'An almost-full alert for an output with the printer able to print; curled sheets report it early.',
    next: [{ step: 'Take the printed sheets out of the output tray.', minutes: 1, cautions: [] }],
    prior: 0,
    confirms: 'The printer names an output as almost full and prints.',
    rulesOut: 'The output is reported as full, or as empty.',
    looksAlike: ['output-full'],
  },
} as const satisfies Readonly<Record<string, Cause>>;

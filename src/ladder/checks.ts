import type { LayerId } from '../model/layers.js';

/**
 * How likely each outcome of a check is when a given cause is at work, in the order of `outcomes`.
 * The row of the cause counts; without one the row of its layer; without that the default.
 * Each row sums to 1 and every value lies between 0.01 and 0.99, so that no answer ever excludes a cause entirely:
 * people misread lamps.
 */
export interface OutcomeChances {
  readonly default: readonly number[];
  readonly layers?: Readonly<Partial<Record<LayerId, readonly number[]>>>;
  readonly causes?: Readonly<Record<string, readonly number[]>>;
}

/** One thing that a person can look at or try, to split what is still suspected. */
export interface OperatorCheck {
  /** Stable: `--answer ID=OUTCOME`. */
  readonly id: string;
  /** One plain question, fit for the telephone. */
  readonly ask: string;
  readonly minutes: number;
  /** Sheets of paper that it costs. */
  readonly sheets: number;
  readonly outcomes: readonly string[];
  readonly likelihood: OutcomeChances;
}

/**
 * The checks, from the printer outward. All chances: common practice, no published source.
 * Warnings stop nothing and are never suspects, so they have no rows of their own.
 */
export const CHECKS = [
  {
    id: 'panel-lit',
    ask: 'Is anything lit on the printer: its display, or any lamp?',
    minutes: 1,
    sheets: 0,
    outcomes: ['lit', 'dark'],
    likelihood: {
      default: [0.98, 0.02],
      causes: {
        'no-sign-of-life': [0.4, 0.6],
        'powered-off': [0.03, 0.97],
        'keeps-restarting': [0.8, 0.2],
      },
    },
  },
  {
    id: 'display-text',
    ask: 'What does the display say: ready, a message, paused or offline, or is it blank?',
    minutes: 1,
    sheets: 0,
    outcomes: ['ready', 'message', 'paused', 'blank'],
    likelihood: {
      default: [0.88, 0.05, 0.03, 0.04],
      layers: {
        device: [0.05, 0.86, 0.05, 0.04],
        media: [0.05, 0.9, 0.02, 0.03],
        supplies: [0.05, 0.9, 0.02, 0.03],
        language: [0.8, 0.13, 0.03, 0.04],
      },
      causes: {
        'no-sign-of-life': [0.36, 0.03, 0.03, 0.58],
        'powered-off': [0.02, 0.02, 0.02, 0.94],
        'keeps-restarting': [0.35, 0.35, 0.05, 0.25],
        'no-carrier': [0.7, 0.23, 0.03, 0.04],
        'address-conflict': [0.7, 0.23, 0.03, 0.04],
        'self-assigned': [0.75, 0.18, 0.03, 0.04],
        paused: [0.06, 0.08, 0.84, 0.02],
        offline: [0.06, 0.1, 0.82, 0.02],
        stopped: [0.15, 0.79, 0.02, 0.04],
        'not-accepting-jobs': [0.6, 0.22, 0.14, 0.04],
        'memory-short': [0.3, 0.63, 0.03, 0.04],
        'storage-full': [0.4, 0.53, 0.03, 0.04],
        'page-too-complex': [0.45, 0.48, 0.03, 0.04],
        'sign-in-needed': [0.65, 0.28, 0.03, 0.04],
        'job-held': [0.7, 0.23, 0.03, 0.04],
        'job-waits-for-media': [0.08, 0.87, 0.02, 0.03],
      },
    },
  },
  {
    id: 'message-about',
    ask: 'Is there a message about paper or a tray, about a jam or a cover, about toner, ink or a wearing part, or none of these?',
    minutes: 1,
    sheets: 0,
    outcomes: ['paper', 'jam-or-cover', 'cartridge', 'none-of-these'],
    likelihood: {
      default: [0.03, 0.03, 0.03, 0.91],
      layers: {
        media: [0.9, 0.04, 0.02, 0.04],
        supplies: [0.02, 0.04, 0.88, 0.06],
      },
      causes: {
        'cover-open': [0.02, 0.92, 0.03, 0.03],
        'interlock-open': [0.04, 0.82, 0.04, 0.1],
        'media-jam': [0.06, 0.9, 0.02, 0.02],
        'fuser-fault': [0.02, 0.03, 0.12, 0.83],
        'output-full': [0.75, 0.15, 0.02, 0.08],
        'tray-missing': [0.82, 0.1, 0.02, 0.06],
        'part-worn-out': [0.02, 0.03, 0.8, 0.15],
        'job-waits-for-media': [0.9, 0.03, 0.02, 0.05],
      },
    },
  },
  {
    // Asked when a cartridge or part is suspected; for every other cause the answer is a guess and says nothing.
    id: 'cartridge-message',
    ask: 'What does the message say of the cartridge or part: empty, missing or not accepted, waste box full, or end of life?',
    minutes: 1,
    sheets: 0,
    outcomes: ['empty', 'not-accepted', 'waste-full', 'end-of-life'],
    likelihood: {
      default: [0.25, 0.25, 0.25, 0.25],
      causes: {
        'supply-empty': [0.89, 0.04, 0.03, 0.04],
        'supply-missing': [0.05, 0.87, 0.03, 0.05],
        'supply-not-accepted': [0.04, 0.89, 0.03, 0.04],
        'waste-full': [0.04, 0.03, 0.88, 0.05],
        'part-worn-out': [0.06, 0.04, 0.05, 0.85],
      },
    },
  },
  {
    id: 'covers-and-jam',
    ask: 'Is every cover, door and tray shut, and is no paper caught anywhere that you can see?',
    minutes: 2,
    sheets: 0,
    outcomes: ['all-shut', 'something-open', 'paper-caught'],
    likelihood: {
      default: [0.95, 0.025, 0.025],
      causes: {
        'cover-open': [0.08, 0.89, 0.03],
        'interlock-open': [0.5, 0.46, 0.04],
        'media-jam': [0.2, 0.05, 0.75],
        'tray-missing': [0.3, 0.67, 0.03],
        'supply-missing': [0.8, 0.17, 0.03],
      },
    },
  },
  {
    id: 'open-tray',
    ask: 'Pull out each paper tray: does each hold paper, of the size that the tray is set to?',
    minutes: 2,
    sheets: 0,
    outcomes: ['filled', 'one-empty', 'wrong-size', 'tray-missing'],
    likelihood: {
      default: [0.88, 0.07, 0.03, 0.02],
      causes: {
        'media-empty': [0.06, 0.88, 0.03, 0.03],
        'media-needed': [0.3, 0.13, 0.55, 0.02],
        'tray-missing': [0.25, 0.1, 0.03, 0.62],
        'interlock-open': [0.75, 0.06, 0.03, 0.16],
        'job-waits-for-media': [0.3, 0.28, 0.39, 0.03],
      },
    },
  },
  {
    id: 'panel-own-page',
    ask: 'Can you start a test or status page from the printer’s own panel, and does it come out?',
    minutes: 3,
    sheets: 1,
    outcomes: ['yes', 'no'],
    likelihood: {
      default: [0.95, 0.05],
      layers: {
        device: [0.06, 0.94],
        media: [0.08, 0.92],
        supplies: [0.08, 0.92],
      },
      causes: {
        'no-sign-of-life': [0.4, 0.6],
        'powered-off': [0.03, 0.97],
        'keeps-restarting': [0.55, 0.45],
        // Many printers make their own pages while paused, offline or closed to new jobs.
        paused: [0.5, 0.5],
        offline: [0.6, 0.4],
        'not-accepting-jobs': [0.88, 0.12],
        'memory-short': [0.85, 0.15],
        'storage-full': [0.85, 0.15],
        stopped: [0.15, 0.85],
        // The own page takes whatever paper is loaded.
        'media-needed': [0.45, 0.55],
        'tray-missing': [0.25, 0.75],
        'part-worn-out': [0.15, 0.85],
        // A job that holds the engine keeps the own page waiting behind it.
        'job-waits-for-media': [0.5, 0.5],
        'poison-job': [0.85, 0.15],
      },
    },
  },
  {
    id: 'usb-print',
    ask: 'With a computer on a USB cable straight at the printer, does a page come out?',
    minutes: 10,
    sheets: 1,
    outcomes: ['yes', 'no'],
    likelihood: {
      default: [0.93, 0.07],
      layers: {
        access: [0.75, 0.25],
        device: [0.06, 0.94],
        media: [0.08, 0.92],
        supplies: [0.06, 0.94],
        language: [0.85, 0.15],
      },
      causes: {
        'no-sign-of-life': [0.4, 0.6],
        'powered-off': [0.03, 0.97],
        'keeps-restarting': [0.6, 0.4],
        paused: [0.1, 0.9],
        offline: [0.3, 0.7],
        'not-accepting-jobs': [0.4, 0.6],
        'memory-short': [0.8, 0.2],
        'storage-full': [0.5, 0.5],
        'media-needed': [0.5, 0.5],
        'job-waits-for-media': [0.4, 0.6],
        'poison-job': [0.85, 0.15],
      },
    },
  },
  {
    id: 'link-light',
    ask: 'Is the small lamp beside the printer’s network socket lit or blinking?',
    minutes: 1,
    sheets: 0,
    outcomes: ['lit', 'dark', 'cannot-see'],
    likelihood: {
      default: [0.77, 0.03, 0.2],
      causes: {
        'no-sign-of-life': [0.2, 0.6, 0.2],
        'powered-off': [0.06, 0.74, 0.2],
        'keeps-restarting': [0.67, 0.13, 0.2],
        'no-carrier': [0.03, 0.77, 0.2],
        'link-errors': [0.72, 0.08, 0.2],
        'whole-subnet-silent': [0.6, 0.2, 0.2],
        'self-assigned': [0.7, 0.1, 0.2],
      },
    },
  },
  {
    id: 'other-cable-or-port',
    ask: 'Does another network cable, or another wall socket, make the printer answer?',
    minutes: 5,
    sheets: 0,
    outcomes: ['yes', 'no'],
    likelihood: {
      default: [0.04, 0.96],
      causes: {
        'no-sign-of-life': [0.35, 0.65],
        'no-carrier': [0.85, 0.15],
        'link-errors': [0.7, 0.3],
        'self-assigned': [0.25, 0.75],
        'whole-subnet-silent': [0.08, 0.92],
      },
    },
  },
  {
    id: 'ask-switch',
    ask: 'What does the network switch say of the printer’s port: up, down, or up with errors?',
    minutes: 5,
    sheets: 0,
    outcomes: ['up', 'down', 'errors'],
    likelihood: {
      default: [0.95, 0.03, 0.02],
      causes: {
        'no-sign-of-life': [0.2, 0.78, 0.02],
        'powered-off': [0.08, 0.9, 0.02],
        'keeps-restarting': [0.62, 0.33, 0.05],
        'no-carrier': [0.03, 0.95, 0.02],
        'link-errors': [0.15, 0.07, 0.78],
        'whole-subnet-silent': [0.5, 0.46, 0.04],
      },
    },
  },
  {
    id: 'others-on-network',
    ask: 'In the printer’s room, do other computers or printers reach the network?',
    minutes: 2,
    sheets: 0,
    outcomes: ['yes', 'no'],
    likelihood: {
      default: [0.97, 0.03],
      causes: {
        'no-sign-of-life': [0.93, 0.07],
        'whole-subnet-silent': [0.08, 0.92],
        'own-network-down': [0.75, 0.25],
        'self-assigned': [0.75, 0.25],
      },
    },
  },
  {
    id: 'network-page-address',
    ask: 'Which address does the printer’s own network menu show: the one we use, another, one that begins with 169.254, or none?',
    minutes: 3,
    sheets: 0,
    outcomes: ['same', 'another', 'self-assigned', 'none'],
    likelihood: {
      default: [0.92, 0.04, 0.02, 0.02],
      causes: {
        'no-sign-of-life': [0.35, 0.05, 0.05, 0.55],
        'powered-off': [0.02, 0.02, 0.02, 0.94],
        'no-carrier': [0.35, 0.03, 0.22, 0.4],
        moved: [0.04, 0.92, 0.02, 0.02],
        'another-device-here': [0.06, 0.86, 0.05, 0.03],
        'address-conflict': [0.85, 0.06, 0.05, 0.04],
        'self-assigned': [0.03, 0.03, 0.9, 0.04],
        'name-points-elsewhere': [0.12, 0.84, 0.02, 0.02],
        'queue-points-elsewhere': [0.2, 0.76, 0.02, 0.02],
      },
    },
  },
  {
    // Sent by this program to the address under suspicion, in the language that the queue uses.
    id: 'page-straight-to-address',
    ask: 'One test page is now sent straight to the printer’s address, past the print queue: does it come out?',
    minutes: 3,
    sheets: 1,
    outcomes: ['yes', 'no'],
    likelihood: {
      default: [0.05, 0.95],
      layers: {
        protocol: [0.35, 0.65],
        language: [0.15, 0.85],
        queue: [0.94, 0.06],
        job: [0.94, 0.06],
        application: [0.95, 0.05],
      },
      causes: {
        'keeps-restarting': [0.4, 0.6],
        'link-errors': [0.4, 0.6],
        'address-conflict': [0.4, 0.6],
        'name-unresolved': [0.85, 0.15],
        'name-points-elsewhere': [0.85, 0.15],
        'raw-port-busy': [0.2, 0.8],
        'sign-in-needed': [0.25, 0.75],
        'user-refused': [0.5, 0.5],
        'account-limit-reached': [0.4, 0.6],
        'memory-short': [0.8, 0.2],
        'storage-full': [0.3, 0.7],
        'media-needed': [0.3, 0.7],
        'page-too-complex': [0.88, 0.12],
        // These jobs have reached the printer and may still hold it.
        'head-job-stuck': [0.6, 0.4],
        'poison-job': [0.75, 0.25],
        'job-waits-for-media': [0.25, 0.75],
      },
    },
  },
  {
    id: 'job-list-empty',
    ask: 'Open the print queue on the computer: is it empty, do jobs wait, does it say paused or offline, or does it show an error?',
    minutes: 1,
    sheets: 0,
    outcomes: ['empty', 'waiting', 'paused', 'error'],
    likelihood: {
      // A queue before a printer that cannot be reached or stands still: jobs wait, or the system calls it offline.
      default: [0.1, 0.42, 0.14, 0.34],
      layers: {
        access: [0.42, 0.22, 0.04, 0.32],
        language: [0.64, 0.13, 0.03, 0.2],
        application: [0.86, 0.08, 0.03, 0.03],
      },
      causes: {
        'not-accepting-jobs': [0.25, 0.4, 0.08, 0.27],
        'spooler-down': [0.3, 0.06, 0.04, 0.6],
        'queue-absent': [0.42, 0.05, 0.05, 0.48],
        'queue-paused': [0.03, 0.1, 0.82, 0.05],
        'queue-rejecting': [0.58, 0.08, 0.12, 0.22],
        'queue-points-elsewhere': [0.6, 0.2, 0.06, 0.14],
        'head-job-stuck': [0.03, 0.78, 0.04, 0.15],
        'spooler-crash-loop': [0.2, 0.35, 0.05, 0.4],
        'driver-wrong-architecture': [0.7, 0.06, 0.03, 0.21],
        'driver-missing': [0.42, 0.13, 0.04, 0.41],
        'driver-rights': [0.72, 0.06, 0.03, 0.19],
        'job-held': [0.04, 0.74, 0.18, 0.04],
        'job-needs-sign-in': [0.04, 0.6, 0.1, 0.26],
        'job-aborted': [0.8, 0.05, 0.03, 0.12],
        'poison-job': [0.06, 0.5, 0.06, 0.38],
        'job-waits-for-media': [0.06, 0.66, 0.06, 0.22],
        'filter-failed': [0.25, 0.15, 0.05, 0.55],
      },
    },
  },
  {
    id: 'sign-in-asked',
    ask: 'When you print, are you asked for a name, a code or a card, or told that you may not print?',
    minutes: 1,
    sheets: 0,
    outcomes: ['no', 'asked', 'refused'],
    likelihood: {
      default: [0.94, 0.03, 0.03],
      causes: {
        'sign-in-needed': [0.2, 0.7, 0.1],
        'user-refused': [0.3, 0.1, 0.6],
        'account-limit-reached': [0.3, 0.06, 0.64],
        'queue-rejecting': [0.6, 0.03, 0.37],
        'queue-absent': [0.8, 0.03, 0.17],
        'driver-rights': [0.25, 0.5, 0.25],
        'job-needs-sign-in': [0.25, 0.7, 0.05],
        'job-held': [0.62, 0.34, 0.04],
      },
    },
  },
  {
    id: 'queue-test-page',
    ask: 'Does the computer’s own printer test page come out, printed through the same queue?',
    minutes: 2,
    sheets: 1,
    outcomes: ['yes', 'no'],
    likelihood: {
      default: [0.05, 0.95],
      layers: {
        job: [0.4, 0.6],
        application: [0.8, 0.2],
      },
      causes: {
        'keeps-restarting': [0.4, 0.6],
        'link-errors': [0.35, 0.65],
        'address-conflict': [0.35, 0.65],
        'raw-port-busy': [0.15, 0.85],
        'media-needed': [0.3, 0.7],
        'memory-short': [0.85, 0.15],
        'format-unsupported': [0.75, 0.25],
        'language-mismatch': [0.15, 0.85],
        'page-too-complex': [0.92, 0.08],
        'job-held': [0.85, 0.15],
        'job-needs-sign-in': [0.15, 0.85],
        'job-aborted': [0.7, 0.3],
        'job-waits-for-media': [0.25, 0.75],
        'nothing-wrong-found': [0.97, 0.03],
      },
    },
  },
  {
    id: 'other-application',
    ask: 'Does one line typed in another program, such as a plain text editor, come out?',
    minutes: 2,
    sheets: 1,
    outcomes: ['yes', 'no'],
    likelihood: {
      default: [0.04, 0.96],
      layers: {
        job: [0.4, 0.6],
        application: [0.8, 0.2],
      },
      causes: {
        'keeps-restarting': [0.4, 0.6],
        'link-errors': [0.35, 0.65],
        'address-conflict': [0.35, 0.65],
        'raw-port-busy': [0.15, 0.85],
        'media-needed': [0.4, 0.6],
        'memory-short': [0.88, 0.12],
        'format-unsupported': [0.85, 0.15],
        'language-mismatch': [0.15, 0.85],
        'page-too-complex': [0.93, 0.07],
        'job-held': [0.75, 0.25],
        'job-needs-sign-in': [0.12, 0.88],
        'job-aborted': [0.7, 0.3],
        'job-waits-for-media': [0.25, 0.75],
        'nothing-wrong-found': [0.97, 0.03],
      },
    },
  },
  {
    id: 'other-user-same-queue',
    ask: 'Can a colleague at another computer print to the same printer?',
    minutes: 3,
    sheets: 1,
    outcomes: ['yes', 'no'],
    likelihood: {
      default: [0.05, 0.95],
      layers: {
        protocol: [0.35, 0.65],
        language: [0.8, 0.2],
        queue: [0.5, 0.5],
        job: [0.8, 0.2],
        application: [0.94, 0.06],
      },
      causes: {
        'own-network-down': [0.9, 0.1],
        'keeps-restarting': [0.4, 0.6],
        'link-errors': [0.4, 0.6],
        moved: [0.12, 0.88],
        'address-conflict': [0.35, 0.65],
        'name-unresolved': [0.4, 0.6],
        'name-points-elsewhere': [0.3, 0.7],
        'print-ports-filtered': [0.5, 0.5],
        'raw-port-busy': [0.3, 0.7],
        'sign-in-needed': [0.5, 0.5],
        'user-refused': [0.93, 0.07],
        'account-limit-reached': [0.92, 0.08],
        'memory-short': [0.75, 0.25],
        'media-needed': [0.3, 0.7],
        'queue-rejecting': [0.35, 0.65],
        'head-job-stuck': [0.3, 0.7],
        'driver-wrong-architecture': [0.9, 0.1],
        'driver-missing': [0.75, 0.25],
        'driver-rights': [0.92, 0.08],
        'poison-job': [0.3, 0.7],
        'job-waits-for-media': [0.2, 0.8],
        'nothing-wrong-found': [0.97, 0.03],
      },
    },
  },
] as const satisfies readonly OperatorCheck[];

import { UNPLUG_FIRST } from '../cautions.js';
import type { Cause } from '../layer.js';

// Relative frequencies (`prior`): common practice, no published source.

export const causes = {
  'format-unsupported': {
    severity: 'fault',
    summary:
      'The printer does not understand {other|files of the kind that was sent}, so it turns the job away or throws it away.',
    asWarning: 'The printer lacked something that a job asked for, and goes on printing.',
    technical:
      'The reply is client-error-document-format-not-supported, or the format of the job is missing from what printer and queue accept; a queue that passes files on unconverted makes it show.',
    next: [
      {
        step: 'Open the file in its program and print from there, instead of sending the file itself.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Save the document as PDF and print that, if PDF is on the printer’s list.',
        minutes: 3,
        cautions: [],
      },
      {
        step: 'Give the queue a driver made for this model, or a driverless one, instead of passing files on as they are.',
        minutes: 10,
        cautions: [],
      },
    ],
    prior: 0.012,
    confirms: 'The printer refuses this format by name and prints another one.',
    rulesOut: 'A file of the same format prints.',
    looksAlike: ['language-mismatch', 'filter-failed', 'job-aborted', 'driver-missing'],
  },
  'language-mismatch': {
    severity: 'fault',
    summary:
      'The computer sends {other|one printer language} and the printer expects {expected|another}, so nothing comes out, or pages full of signs.',
    technical:
      'The job’s first bytes or its ENTER LANGUAGE name a language that the printer does not list or is not set to; what is left of a cancelled job prints as signs too.',
    next: [
      {
        step: 'Delete the job, switch the printer off and on to be rid of what is left of it, and print a page of plain text.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Check on the computer that the driver is the one for this model and not for a similar name.',
        minutes: 3,
        cautions: [],
      },
      {
        step: 'In the printer’s settings set the language to automatic.',
        minutes: 3,
        cautions: [],
      },
      { step: 'Remove the queue and add the printer again with the right driver.', minutes: 10, cautions: [] },
    ],
    prior: 0.015,
    confirms: 'Language of the job and languages of the printer are both known and do not meet.',
    rulesOut: 'Another job in the same language from the same driver prints well.',
    looksAlike: [
      'format-unsupported',
      'filter-failed',
      'queue-points-elsewhere',
      'memory-short',
      'application-or-driver',
    ],
  },
  'page-too-complex': {
    severity: 'fault',
    summary:
      'One page of the document is too heavy for the printer, which stops, splits it or drops it; other pages print.',
    asWarning:
      'A page may be too heavy for the printer ({expected|by its own word}), which goes on printing: part of the page may be missing.',
    technical:
      'A complex-page or memory alert, or the page’s raster at its resolution and colours exceeds the memory reported; a paper size that differs from the tray also cuts pages.',
    next: [
      {
        step: 'Print a page of plain text: if it comes out whole, the document is the trouble and not the printer.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Print the document at a lower resolution, one-sided, or "as image" from its program.',
        minutes: 4,
        cautions: [],
      },
      { step: 'Print page by page to find the heavy one, and make its pictures smaller.', minutes: 10, cautions: [] },
      {
        step: 'If such pages are usual here: have memory added, as the maker’s manual describes.',
        minutes: 15,
        cautions: [UNPLUG_FIRST],
      },
    ],
    prior: 0.008,
    confirms: 'The alert comes with this page every time, and plain pages print.',
    rulesOut: 'A plain page fails as well.',
    looksAlike: ['memory-short', 'poison-job', 'application-or-driver'],
  },
  'job-empty': {
    severity: 'fault',
    summary: 'The file that is sent to the printer is empty, so there is nothing to print.',
    technical:
      'The job file has no octets: the program or the driver ended before it wrote a page, or the disk it writes to is full.',
    next: [
      { step: 'Print the document again, and look whether its program reports an error.', minutes: 2, cautions: [] },
      { step: 'Print another document from the same program.', minutes: 2, cautions: [] },
      { step: 'Make sure that the computer has room left on its disk.', minutes: 2, cautions: [] },
      { step: 'Remove the queue and add the printer again with the right driver.', minutes: 10, cautions: [] },
    ],
    prior: 0.001,
    confirms: 'The job file has a size of zero.',
    rulesOut: 'A job file with content.',
    looksAlike: ['filter-failed', 'driver-rights', 'job-aborted'],
  },
} as const satisfies Readonly<Record<string, Cause>>;

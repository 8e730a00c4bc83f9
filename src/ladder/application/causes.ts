import type { Cause } from '../layer.js';

// Relative frequencies (`prior`): common practice, no published source.

export const causes = {
  'application-or-driver': {
    severity: 'fault',
    summary:
      'The printer, the network and the print queue all work: the trouble lies in the program, the document or the driver on {other|one computer}.',
    technical:
      'By elimination only: every layer below is clear by evidence; a user’s profile, a wrong default printer and a damaged document look alike.',
    next: [
      {
        step: 'Say to the person: "Which printer is chosen in the print window?" Another one, or "print to file", is the usual reason.',
        minutes: 1,
        cautions: [],
      },
      {
        step: 'Say: "Open a plain text editor, type one line and print it." If it comes, the program or the document is to blame.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Print another document from the same program, then the same one saved as PDF: whatever fails names the culprit.',
        minutes: 4,
        cautions: [],
      },
      {
        step: 'Restart the computer; if the line of text fails as well, remove the printer there and add it again.',
        minutes: 10,
        cautions: [],
      },
    ],
    prior: 0.025,
    confirms: 'A page sent through the same queue comes out, and the person’s own does not.',
    rulesOut: 'Any fault shown further down, or a page through the queue that fails.',
    looksAlike: ['language-mismatch', 'user-refused', 'driver-rights', 'page-too-complex', 'nothing-wrong-found'],
  },
  // Not a fault of anything: the verdict that ends a search. It weighs as a hypothesis, since some reports are over before one looks.
  'nothing-wrong-found': {
    severity: 'fault',
    summary: 'Nothing wrong was found: the printer answers, is ready and takes jobs, so print one page now to be sure.',
    technical:
      'Port, protocol and device are clear by evidence and no layer shows a fault; a fault that comes and goes, or one on a path not asked here, looks alike.',
    next: [
      {
        step: 'Say to the person: "Please print one page now and tell me what happens."',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'If it does not come: ask which computer, program and queue it was sent from, and ask again with that queue named.',
        minutes: 3,
        cautions: [],
      },
      {
        step: 'If it comes and goes: let the record run for a day and look at the times when it was silent.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.015,
    confirms: 'A page printed from the person’s own program comes out.',
    rulesOut: 'Any fault in any layer, or port, protocol or device without evidence.',
    looksAlike: ['application-or-driver', 'asleep', 'address-conflict', 'queue-points-elsewhere'],
  },
} as const satisfies Readonly<Record<string, Cause>>;

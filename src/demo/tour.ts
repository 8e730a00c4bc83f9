/** What the demo shows, step by step: a few words beforehand, then a command as a person would type it. */

export interface TourStep {
  readonly title: string;
  /** Told before the command. */
  readonly tells: string;
  /** Device whose telephone words are quoted. */
  readonly device?: string;
  /** Words behind `outfeed`. RANGE and SNMP_PORT stand for the office's own. */
  readonly argv: readonly string[];
}

export const TOUR: readonly TourStep[] = [
  {
    title: 'Which printers are here?',
    tells:
      'You come to a site and know its address range, no more. A sweep finds the printers and keeps apart whatever else ' +
      'answers. The made-up printers listen for SNMP on a port of their own; on a real subnet leave --snmp-port out.',
    argv: ['sweep', 'RANGE', '--snmp-port', 'SNMP_PORT'],
  },
  {
    title: 'What does one of them say of itself?',
    tells: 'Everything a printer tells about itself, decoded and in one place.',
    argv: ['show', 'drawing-room'],
  },
  {
    title: 'Dark, but nothing is wrong',
    tells: 'A dark display is no fault yet. "why" looks at every layer between the wall socket and the application.',
    device: 'reading-room',
    argv: ['why', 'reading-room'],
  },
  {
    title: 'The plain case',
    tells: 'The verdict comes first, then the layers, the evidence behind it, and what to do.',
    device: 'chart-room',
    argv: ['why', 'chart-room'],
  },
  {
    title: 'Full, where one looks for empty',
    tells: 'Not every part runs out: a waste box fills up.',
    device: 'copy-corner',
    argv: ['why', 'copy-corner'],
  },
  {
    title: 'Alive, but closed to you',
    tells: 'Here the printer answers and declines. No paper and no toner will help.',
    device: 'personnel',
    argv: ['why', 'personnel'],
  },
  {
    title: 'The wrong device at the right address',
    tells: 'The configuration knows which serial number belongs at this address.',
    device: 'accounts',
    argv: ['why', 'accounts'],
  },
  {
    title: 'The printer is well, the queue is not',
    tells: 'Walking to this printer would be in vain: what stops the jobs sits on the print server.',
    device: 'dispatch',
    argv: ['why', 'dispatch'],
  },
  {
    title: 'Two faults at once',
    tells: 'The verdict is the fault to mend first; what stands on its own further up is listed with it.',
    device: 'slipway',
    argv: ['why', 'slipway'],
  },
  {
    title: 'Something to take along',
    tells: 'The state of the whole site as files: a page to read, tables, the evidence, and a round to walk.',
    argv: ['snapshot', '--out', 'harbour-annex'],
  },
];

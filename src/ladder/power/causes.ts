import { HIGH_VOLTAGE, MAINS, SERVICE_MANUAL, SMOKE_STOP } from '../cautions.js';
import type { Cause } from '../layer.js';

// Relative frequencies (`prior`): common practice, no published source.

export const causes = {
  'no-sign-of-life': {
    severity: 'fault',
    summary:
      'Nothing answers at {address|the address of the printer}: the printer is off, unplugged, or cut off from the network.',
    technical:
      'No fresh neighbour entry, no echo and no port open or refused, while the gateway or a fellow printer answers; power, cable and switch port look the same from here.',
    next: [
      {
        step: 'Say to the person at the printer: "Is the display or any lamp lit? If not, press the power button, and push the power plug in at both ends."',
        minutes: 2,
        cautions: [MAINS],
      },
      {
        step: 'Say: "Push the network cable in at the printer and at the wall until it clicks. Is the small lamp beside it lit?" On wireless: "Does the network menu show it connected?"',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'If the display is lit and the cable lamp is dark: try another cable, then another wall socket, one change at a time.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'If both are lit: read the address in the printer’s network menu and compare it with the one asked here; if it is the same, switch the printer off, wait 30 seconds, switch it on and ask again.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.05,
    confirms: 'Silence on every level from the target, with the gateway or a fellow on the same network answering.',
    rulesOut: 'Any reply from the address, a refused port included, or no control that answers.',
    looksAlike: ['powered-off', 'no-carrier', 'moved', 'self-assigned', 'whole-subnet-silent', 'asleep'],
  },
  'powered-off': {
    severity: 'fault',
    summary: 'The printer is switched off or gets no electricity, so no job can reach it.',
    technical:
      'A person saw a dark panel, or the switch saw the port go down; a pulled cable darkens the port too, and only the panel tells the two apart.',
    next: [
      {
        step: 'Say to the person at the printer: "Press the power button and wait a minute. Does anything light up?"',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'If it stays dark, say: "Push the plug in at the printer and at the wall, switch the power strip on, and try the socket with something that you know works."',
        minutes: 3,
        cautions: [MAINS],
      },
      {
        step: 'If the socket works and the printer stays dark: leave it unplugged and call a qualified service technician for the power supply.',
        minutes: 5,
        cautions: [HIGH_VOLTAGE, SERVICE_MANUAL],
      },
    ],
    prior: 0.03,
    confirms: 'An operator reports a dark panel, or the switch port is down and the cable is known to be good.',
    rulesOut: 'Any reply from the device, a lit panel, or a page from its own panel.',
    looksAlike: ['no-sign-of-life', 'no-carrier', 'asleep'],
  },
  asleep: {
    severity: 'warning',
    summary: 'The printer is asleep to save power, so the first page takes longer than usual.',
    technical:
      'Some services answer late or only at the second call, with no error shown; a dead printer stays silent at the second call too.',
    next: [
      {
        step: 'Send one page, or have someone press a key on the panel, and give it two minutes to wake.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'If jobs get lost while it sleeps: set a longer delay before sleep in the printer’s settings.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0,
    confirms: 'It answers after a wait, idle and without an error, or says standby itself.',
    rulesOut: 'Still silent after a wake-up call and two minutes.',
    looksAlike: ['no-sign-of-life', 'starting-up'],
  },
  'keeps-restarting': {
    severity: 'fault',
    summary: 'The printer keeps restarting by itself, and each time it drops the job it was printing.',
    technical:
      'Its up-time falls between readings without anyone switching it; a switch-off every evening, or the up-time counter wrapping after 497 days, looks alike.',
    next: [
      {
        step: 'Look at the print queue: if the same job is first at each restart, hold that job and see whether the printer stays up.',
        minutes: 3,
        cautions: [],
      },
      {
        step: 'Say to the person at the printer: "Plug it straight into a wall socket, without a power strip or timer."',
        minutes: 3,
        cautions: [MAINS, SMOKE_STOP],
      },
      {
        step: 'Unplug the network cable for ten minutes: if the printer now stays up, something sent to it brings it down; if not, the fault is inside.',
        minutes: 11,
        cautions: [],
      },
      {
        step: 'Note the firmware version and the times of the restarts, and call a qualified service technician.',
        minutes: 5,
        cautions: [SERVICE_MANUAL],
      },
    ],
    prior: 0.005,
    confirms: 'Two or more falls of the up-time in the record that no planned switch-off explains.',
    rulesOut: 'An up-time that only grows over the time in question.',
    looksAlike: ['poison-job', 'powered-off', 'starting-up', 'link-errors'],
  },
} as const satisfies Readonly<Record<string, Cause>>;

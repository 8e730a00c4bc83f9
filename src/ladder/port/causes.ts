import type { Cause } from '../layer.js';

// Relative frequencies (`prior`): common practice, no published source.

export const causes = {
  'print-ports-closed': {
    severity: 'fault',
    summary:
      'The printer is on and reachable, but it refuses the calls that bring jobs (port {port|numbers not known}): {but|its print service is switched off, not started yet, or closed to this computer}.',
    technical:
      'The host is alive and resets the connection on every print port asked; a computer or router that took the address refuses in the same way.',
    next: [
      {
        step: 'Say to the person at the printer: "Switch it off, wait 30 seconds, switch it on, and tell me when it says ready." Then ask again.',
        minutes: 4,
        cautions: [],
      },
      {
        step: 'Make sure that it is the printer: its network menu must show this address.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'In the printer’s settings switch IPP printing on, and raw or LPD printing where you use it, and look for a list of permitted addresses that leaves this computer out.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.008,
    confirms: 'An explicit refusal on every print port, and the printer’s own identity at that address.',
    rulesOut: 'One print port that opens.',
    looksAlike: ['another-device-here', 'starting-up', 'print-ports-filtered', 'raw-port-busy'],
  },
  'print-ports-filtered': {
    severity: 'fault',
    summary:
      'The printer is on and reachable, but the calls that bring jobs (port {port|numbers not known}) get no answer: {but|usually a firewall on the way swallows them}.',
    technical:
      'It answers on some other level while calls to the print ports time out or are rejected as prohibited; a printer whose network part hangs also leaves calls unanswered.',
    next: [
      {
        step: 'Try from a computer in the same room as the printer: if it prints there, the block lies between the two networks.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Restart the printer once, in case its network part hangs.',
        minutes: 4,
        cautions: [],
      },
      {
        step: 'Ask those who run the firewall to let this computer or the print server reach the printer on 631/tcp, and on 9100/tcp or 515/tcp where the queue uses them.',
        minutes: 15,
        cautions: [],
      },
      {
        step: 'Look in the printer’s settings for a filter or a list of permitted addresses.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.008,
    confirms:
      'Alive on another level, silence on the print ports from here, and the ports open from the printer’s own network.',
    rulesOut: 'A print port that opens or refuses.',
    looksAlike: ['print-ports-closed', 'raw-port-busy', 'whole-subnet-silent', 'asleep'],
  },
  'raw-port-busy': {
    severity: 'fault',
    summary:
      'The printer talks to one sender at a time on this connection, and {other|another computer} holds it, so everyone else has to wait.',
    asWarning:
      'The printer talks to one sender at a time on its raw connection (port {port|9100}), which is or just was taken: others wait there, or print another way.',
    technical:
      'Port 9100/tcp is refused or swallowed while other print ports open, and the channel table or a second try shows it taken; a printer in an error state keeps the connection open in the same way.',
    next: [
      {
        step: 'Wait two minutes and ask again: a long job may just be printing.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Look at the display: if it shows an error or wants paper, clear that first, because the held job then goes on.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'On the computer or print server that holds the connection, delete the stuck job; if none is found, restart the printer.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'So that it does not happen again: let all computers print through one print server, or over IPP.',
        minutes: 15,
        cautions: [],
      },
    ],
    prior: 0.007,
    confirms: 'The printer itself names a connected sender, or the port frees itself between two tries.',
    rulesOut: 'The port opens at once, or all print ports refuse.',
    looksAlike: ['print-ports-closed', 'print-ports-filtered', 'head-job-stuck', 'stopped'],
  },
  'every-port-open': {
    severity: 'fault',
    summary:
      'Something at the address of the printer takes calls on every port, even on port {port|1} that nobody serves, and then says nothing: a firewall, a proxy or a trap answers in its place, and the printer itself may be well.',
    technical:
      'Connections come about on all ports asked, and no print service speaks; a firewall that completes calls before it asks the host, a transparent proxy and a tarpit do so.',
    next: [
      {
        step: 'Look in the printer’s network menu whether it has this address at all.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Try from a computer in the same network as the printer: if it prints there, something on the way answers in its place.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Ask those who run the firewall what takes the calls to this address, and to let those to the print ports through.',
        minutes: 15,
        cautions: [],
      },
    ],
    prior: 0.001,
    confirms: 'Connections come about on ports drawn at random.',
    rulesOut: 'A port that refuses.',
    looksAlike: ['ipp-silent', 'another-device-here', 'long-packets-lost'],
  },
} as const satisfies Readonly<Record<string, Cause>>;

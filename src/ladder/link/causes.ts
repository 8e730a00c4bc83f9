import type { Cause } from '../layer.js';

// Relative frequencies (`prior`): common practice, no published source.

export const causes = {
  'no-carrier': {
    severity: 'fault',
    summary:
      'The network switch sees nothing on its port {port|for the printer}: the network cable is loose or broken, or the printer is off.',
    technical:
      'The configured switch port is down (ifOperStatus); a printer without power, a bad cable and a port that was shut down on purpose look alike.',
    next: [
      {
        step: 'Say to the person at the printer: "Is the display lit? Push the network cable in at the printer and at the wall until it clicks."',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Say: "Take another network cable that works elsewhere. Does the small lamp beside the socket light up?"',
        minutes: 4,
        cautions: [],
      },
      {
        step: 'Try another wall socket; if that works, the first socket or its patch cable in the cabinet is at fault.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Look on the switch whether the port was shut down on purpose or by port security, and whether the port number noted for this printer is right.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.03,
    confirms: 'The switch says that the port is down, or the link lamp at the printer is dark while its panel is lit.',
    rulesOut: 'Any reply from the printer, or the switch port being up with the printer’s hardware address behind it.',
    looksAlike: ['powered-off', 'no-sign-of-life', 'self-assigned'],
  },
  'link-errors': {
    severity: 'fault',
    summary:
      'The network connection of the printer loses or damages data, so jobs arrive late, broken or not at all: the cable or the socket is the first suspect.',
    technical:
      'Error counters of the switch port or of the printer’s interface climb between two readings; an overloaded link loses packets without such errors, and a duplex mismatch shows late collisions.',
    next: [
      {
        step: 'Say to the person at the printer: "Take another network cable, and keep it away from power cords and foot traffic."',
        minutes: 4,
        cautions: [],
      },
      {
        step: 'Move the printer to another wall socket or switch port and read the counters again.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Set speed and duplex to automatic on both ends: one end fixed and the other automatic gives a half-duplex mismatch.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.005,
    confirms: 'The counters grow while data flows, and stop growing with another cable or port.',
    rulesOut: 'Counters that stand still during a large transfer.',
    looksAlike: ['address-conflict', 'keeps-restarting', 'ipp-garbled', 'raw-port-busy'],
  },
  'own-network-down': {
    severity: 'fault',
    summary:
      'This computer has no working network connection itself, so nothing can be said about the printer until it is back.',
    technical:
      'The asking machine has no carrier, no address or no route towards the printer; a route missing for one network only looks alike.',
    next: [
      {
        step: 'Look at this computer first: network cable in, wireless on, right network chosen, aeroplane mode off.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Open any page or shared folder on the network; if none opens, restart the network connection.',
        minutes: 3,
        cautions: [],
      },
      {
        step: 'If the printer sits in a network reached over a tunnel: connect the tunnel, then ask again.',
        minutes: 3,
        cautions: [],
      },
    ],
    prior: 0.008,
    confirms: 'No carrier on, or no route from, the machine that asks.',
    rulesOut: 'Any reply from any other machine on the way to the printer.',
    looksAlike: ['whole-subnet-silent', 'no-sign-of-life', 'name-unresolved'],
  },
  'whole-subnet-silent': {
    severity: 'fault',
    summary:
      'Nothing answers on the network where the printer stands, {how|as far as it was asked}: the network there is down, and the printer itself may be well.',
    technical:
      'Neither the gateway nor any fellow answers while this machine’s own link is up; a firewall that drops everything towards that network looks alike.',
    next: [
      {
        step: 'Say to a person in that room: "Do other computers or telephones there reach the network?"',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'If none does: look at the switch or router that serves the room, its power and its uplink cable, and tell those who run the network.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'If they do: the way from here is blocked; check the tunnel, the route and the firewall between this computer and that network.',
        minutes: 10,
        cautions: [],
      },
    ],
    prior: 0.007,
    confirms: 'Gateway and all known neighbours silent, own carrier and route present.',
    rulesOut: 'One reply from any machine on that network.',
    looksAlike: ['no-sign-of-life', 'own-network-down', 'print-ports-filtered'],
  },
  'long-packets-lost': {
    severity: 'fault',
    summary:
      'Short packets reach the printer and come back, long ones get lost on the way without a word, so connections come about and then nothing more is heard: a tunnel, router or firewall between here and there is the suspect.',
    technical:
      'Some link on the way takes only smaller packets, and the message that says so is swallowed (path MTU discovery, RFC 1191; black hole, RFC 2923); a device that answers no long echo, and whose print service happens to hang, looks alike.',
    next: [
      {
        step: 'Try from a computer in the same network as the printer: if it prints there, the way between the two networks is at fault.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Ask those who run the firewalls and tunnels to let ICMP "fragmentation needed" through (type 3 code 4, for IPv6 type 2), or to limit the segment size (MSS) on the tunnel.',
        minutes: 15,
        cautions: [],
      },
      {
        step: 'Until then: set a smaller MTU, such as 1300, on the print server or in the printer’s network menu, and ask again.',
        minutes: 10,
        cautions: [],
      },
    ],
    prior: 0.002,
    confirms: 'Echoes of 1,472 octets that must not be cut stay unanswered while those of 500 come back.',
    rulesOut: 'A full-sized echo that comes back.',
    looksAlike: ['ipp-silent', 'print-ports-filtered', 'link-errors'],
  },
  'packets-lost': {
    severity: 'warning',
    summary:
      'Packets get lost on the way to the printer: some calls were answered only when they were sent again, so jobs go slowly, and what is said here of silence may be wrong.',
    technical:
      'Of calls that went out together some were answered at once and some only after the second that a system waits before it sends again (RFC 6298); a wireless link at its edge, a bad cable and an overloaded tunnel do that.',
    next: [
      {
        step: 'Ask again, and twice: what is said three times in a row is no loss.',
        minutes: 1,
        cautions: [],
      },
      {
        step: 'If the printer is on wireless: move it or its access point nearer, or give it a cable.',
        minutes: 10,
        cautions: [],
      },
      {
        step: 'Otherwise take another network cable and another wall socket, and look at the error counters of the switch port.',
        minutes: 10,
        cautions: [],
      },
    ],
    prior: 0,
    confirms: 'Among a hundred small packets to it (ping) more than one or two stay without an answer.',
    rulesOut: 'A hundred small packets, all answered.',
    looksAlike: ['link-errors', 'ipp-silent', 'print-ports-filtered', 'address-conflict'],
  },
  'proxy-arp': {
    severity: 'warning',
    summary:
      'Another device on the network (hardware address {other|not known}) answers in the place of others when they are looked for, so from here it can not be seen on the link whether the printer is there.',
    technical:
      'One hardware address stands for the printer’s address and for unrelated ones (proxy ARP, RFC 1027); routers, tunnels and wireless repeaters do so on purpose, and one set up wrongly draws everybody’s traffic.',
    next: [
      {
        step: 'Find the device by its hardware address, in the switch’s table or on its label.',
        minutes: 10,
        cautions: [],
      },
      {
        step: 'If it is not meant to answer for others: switch proxy ARP off in its settings, or take it off the network, and ask again.',
        minutes: 10,
        cautions: [],
      },
    ],
    prior: 0,
    confirms: 'An address that nobody has resolves to the same hardware address.',
    rulesOut: 'Addresses that nobody has stay unresolved.',
    looksAlike: ['address-conflict', 'another-device-here', 'no-sign-of-life'],
  },
} as const satisfies Readonly<Record<string, Cause>>;

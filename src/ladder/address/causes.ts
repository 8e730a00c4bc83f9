import type { Cause } from '../layer.js';

// Relative frequencies (`prior`): common practice, no published source.

export const causes = {
  moved: {
    severity: 'fault',
    summary:
      'The printer is on the network, but at {other|another address} instead of {address|the address the computers use}, so jobs go nowhere.',
    technical:
      'The same serial number, UUID or hardware address answers elsewhere and the old address is silent, usually after a new lease; a printer with two interfaces shows two addresses and nothing has moved.',
    next: [
      {
        step: 'Check on the printer’s network menu or page that its address is the new one.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'To print at once: point the print queue to the new address, or better to the printer’s name.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'So that it does not happen again: reserve one address for the printer’s hardware address in the DHCP server, restart the printer, and set the queues to it.',
        minutes: 10,
        cautions: [],
      },
    ],
    prior: 0.035,
    confirms: 'The known serial number, UUID or hardware address is read at another address.',
    rulesOut: 'The known identity answers at the old address.',
    looksAlike: ['no-sign-of-life', 'another-device-here', 'name-points-elsewhere', 'queue-points-elsewhere'],
  },
  'another-device-here': {
    severity: 'fault',
    summary:
      'A different device now sits at {address|the address of the printer} (found: {other|another identity}; expected: {expected|the printer}), so jobs reach the wrong machine.',
    technical:
      'Serial number, UUID, hardware address or model differ from what is on record; an exchanged printer or a new network card in the same printer looks alike.',
    next: [
      {
        step: 'Ask whether the printer was exchanged lately; if so, record the new one and give its queue the right driver.',
        minutes: 3,
        cautions: [],
      },
      {
        step: 'Read the printer’s own address in its network menu: if it differs, point the print queue there.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Find the device that took the address, give it another one, and reserve the old address for the printer.',
        minutes: 15,
        cautions: [],
      },
    ],
    prior: 0.008,
    confirms: 'An identity that is known not to be the printer’s is read at its address.',
    rulesOut: 'The recorded serial number or UUID is read there.',
    looksAlike: ['moved', 'address-conflict', 'queue-points-elsewhere', 'print-ports-closed'],
  },
  'address-conflict': {
    severity: 'fault',
    summary:
      'Two devices use the address of the printer at the same time (seen there: {other|two hardware addresses}), so printing works one moment and fails the next.',
    technical:
      'Two hardware addresses claim one address, or the printer’s own differs from the one the neighbour table shows; a router that answers for others and a pair of bonded interfaces look alike.',
    next: [
      {
        step: 'Say to the person at the printer: "Pull the network cable out of the printer." If the address still answers, another device has it.',
        minutes: 3,
        cautions: [],
      },
      {
        step: 'Find the other device by its hardware address, in the DHCP server’s list or in the switch’s table, and give it another address.',
        minutes: 15,
        cautions: [],
      },
      {
        step: 'Reserve the address for the printer, or take it out of the range that is handed out, then plug the printer in again and restart it.',
        minutes: 10,
        cautions: [],
      },
    ],
    prior: 0.007,
    confirms: 'Two hardware addresses seen for one address within minutes.',
    rulesOut: 'One hardware address only, the printer’s own, in repeated readings.',
    looksAlike: ['link-errors', 'another-device-here', 'moved', 'keeps-restarting'],
  },
  'self-assigned': {
    severity: 'fault',
    summary:
      'The printer got no address from the network and gave itself {other|a makeshift one}, where most computers cannot reach it.',
    technical:
      'It shows only 169.254/16 or fe80::/10 addresses, so no DHCP answer came; a wrong VLAN on the switch port or a full address pool shows in the same way.',
    next: [
      {
        step: 'Say to the person at the printer: "Push the network cable in, switch the printer off, wait 30 seconds and switch it on. What address does its network menu show now?"',
        minutes: 4,
        cautions: [],
      },
      {
        step: 'If it still begins with 169.254: look whether other devices in that room get addresses, and whether the DHCP server has free ones.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Check the VLAN of the switch port, and that the printer is not set to a fixed address outside this network.',
        minutes: 10,
        cautions: [],
      },
    ],
    prior: 0.01,
    confirms: 'A link-local address is the only one that the printer shows.',
    rulesOut: 'The printer answers at an ordinary address of the site.',
    looksAlike: ['no-sign-of-life', 'moved', 'no-carrier'],
  },
  'name-unresolved': {
    severity: 'fault',
    summary:
      'The network does not know the name {name|that the computers use for the printer}, so no job finds its way there.',
    technical:
      'The resolver says that the name does not exist or gives no answer; a resolver that is down makes every name fail, and a name ending in .local works on one link only.',
    next: [
      { step: 'Check the spelling of the name in the print queue and in the configuration.', minutes: 2, cautions: [] },
      {
        step: 'Look up another name from the same computer: if that fails too, the name service is down, not the printer.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Read the printer’s address in its network menu and print to that address for now.',
        minutes: 5,
        cautions: [],
      },
      { step: 'Enter the name again in the name service, or let the DHCP server do it.', minutes: 10, cautions: [] },
    ],
    prior: 0.005,
    confirms: 'The lookup is answered with "no such name", while other names resolve.',
    rulesOut: 'The name resolves to an address here and on the print server.',
    looksAlike: ['own-network-down', 'name-points-elsewhere', 'queue-absent'],
  },
  'name-points-elsewhere': {
    severity: 'fault',
    summary:
      'The name {name|of the printer} leads to a different device (found: {other|another identity}; expected: {expected|the printer}), so jobs go astray.',
    technical:
      'The resolved address does not carry the printer’s identity, which answers at another; a name with several addresses or a stale cache on one computer looks alike.',
    next: [
      {
        step: 'Clear the name cache on the computer that prints, and look the name up again.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Correct the entry in the name service; until then print to the address itself.',
        minutes: 10,
        cautions: [],
      },
      {
        step: 'Reserve the printer’s address so that name and address stay together.',
        minutes: 10,
        cautions: [],
      },
    ],
    prior: 0.005,
    confirms:
      'The name’s address shows another identity or nothing, and the printer’s identity is read at another address.',
    rulesOut: 'The printer’s own identity answers at the address that the name leads to.',
    looksAlike: ['moved', 'another-device-here', 'queue-points-elsewhere'],
  },
} as const satisfies Readonly<Record<string, Cause>>;

/** Sites about who answers where: moved printers, strangers, two owners of one address, and what a person saw. */
import type { Observation } from '../../src/model/evidence.js';
import { ADDRESS, HEALTHY, type Site, snmpPrinter } from './bundle.js';
import type { Case } from './sites.js';

const UUID = '11111111-2222-8333-8444-555555555555';
const AWAY = '192.0.2.87';
const MAC = '02:00:5e:00:00:aa';
const OTHER_MAC = '02:00:5e:00:00:bb';

const taken = { at: '2026-01-31T09:00:00.000Z', tookMs: 5 } as const;

/** The expected printer announces itself (RFC 6763) from another address. */
const announced = (address: string): Observation => ({
  ...taken,
  source: 'dns-sd',
  what: '_ipp._tcp',
  about: 'elsewhere',
  subject: address,
  outcome: 'answered',
  value: {
    instances: [
      {
        name: 'front-desk',
        type: '_ipp._tcp',
        host: 'front-desk.local',
        port: 631,
        addresses: [address],
        txt: { uuid: UUID },
      },
    ],
  },
});

const entry = (about: 'target' | 'elsewhere' | 'fellow', subject: string, mac: string): Observation => ({
  ...taken,
  source: 'neighbour',
  what: 'entry',
  about,
  subject,
  outcome: 'answered',
  value: { kind: 'entry', state: 'reachable', mac, interface: 'lan0' },
});

/** One hardware address answers for the printer's address and for unrelated ones (proxy ARP, RFC 1027). */
const PROXIED = ['192.0.2.29', '192.0.2.53'].map((address) => entry('fellow', address, OTHER_MAC));

const echo = (what: 'echo' | 'full-sized echo', back: boolean): Observation => ({
  ...taken,
  source: 'icmp',
  what,
  about: 'target',
  subject: ADDRESS,
  outcome: back ? 'answered' : 'silent',
  value: back ? { rttMs: 12 } : null,
});
/** Path MTU black hole: RFC 2923 section 2.1. */
const LONG_LOST = [echo('echo', true), echo('full-sized echo', false)];

const GONE = { 631: 'EHOSTUNREACH', 9100: 'EHOSTUNREACH', 80: 'EHOSTUNREACH' };
const REFUSED = { 631: 'ECONNREFUSED', 9100: 'ECONNREFUSED', 80: 'ECONNREFUSED' };
const SILENT: Site = { tcp: GONE, snmp: 'silent', ipp: 'silent', route: 'onlink', mac: 'failed', gateway: 'alive' };
const REFUSING: Site = { tcp: REFUSED, snmp: 'refused', ipp: 'refused', route: 'onlink', mac: OTHER_MAC };
const JAMMED = snmpPrinter({
  device: 5,
  printer: 1,
  bits: '0400',
  alerts: [{ severity: 3, group: 13, groupIndex: 1, code: 8 }],
});

export const NETWORK_CASES: readonly Case[] = [
  {
    name: 'announces itself at another address',
    site: { ...SILENT, expected: { uuid: UUID }, more: [announced(AWAY)] },
    verdict: 'address/moved',
    certainty: 'sure',
    others: [],
  },
  {
    name: 'its hardware address is at another address',
    site: { ...SILENT, expected: { mac: MAC }, more: [entry('elsewhere', AWAY, MAC)] },
    verdict: 'address/moved',
    certainty: 'sure',
  },
  {
    name: 'announces itself at another address, after the one of the link that every interface has',
    site: { ...SILENT, expected: { uuid: UUID }, more: [announced('fe80::87'), announced(AWAY)] },
    verdict: 'address/moved',
  },
  {
    name: 'announces itself at 169.254',
    site: { ...SILENT, expected: { uuid: UUID }, more: [announced('169.254.87.9')] },
    verdict: 'address/self-assigned',
    others: [],
  },
  {
    name: 'moved, and somebody who refuses everything has its address',
    site: { ...REFUSING, expected: { uuid: UUID }, more: [announced(AWAY)] },
    verdict: 'address/moved',
    certainty: 'likely',
    others: [],
  },
  {
    name: 'two addresses, and it answers at the one that is known',
    site: { ...HEALTHY, expected: { serial: 'SP300-1', uuid: UUID }, more: [announced(AWAY)] },
    verdict: 'application/nothing-wrong-found',
  },
  {
    name: 'the name leads to nobody, and it announces itself elsewhere',
    site: {
      ...SILENT,
      name: { asked: 'front-desk.example', addresses: [ADDRESS] },
      expected: { uuid: UUID },
      more: [announced(AWAY)],
    },
    verdict: 'address/name-points-elsewhere',
  },
  {
    name: 'the name leads to another printer',
    site: {
      ...HEALTHY,
      name: { asked: 'front-desk.example', addresses: [ADDRESS] },
      expected: { serial: 'SP300-9' },
    },
    verdict: 'address/name-points-elsewhere',
  },
  {
    name: 'the resolver itself fails',
    site: { address: null, name: { asked: 'front-desk.example', code: 'EAI_AGAIN' } },
    verdict: 'address/name-unresolved',
    certainty: 'likely',
  },
  {
    name: "a stranger's jam is no fault of the printer",
    site: { ...HEALTHY, snmp: JAMMED, expected: { serial: 'SP300-9' } },
    verdict: 'address/another-device-here',
    others: [],
  },
  {
    name: 'a device that says nothing has another hardware address than the printer',
    site: { ...REFUSING, expected: { mac: MAC } },
    verdict: 'address/another-device-here',
    certainty: 'likely',
    others: [],
  },
  {
    name: 'the link shows a second owner of the address',
    site: { ...REFUSING, more: [entry('target', ADDRESS, MAC)] },
    verdict: 'address/address-conflict',
    certainty: 'likely',
    others: [],
  },
  {
    name: 'two sockets of one printer answer for its address',
    site: {
      ...HEALTHY,
      route: 'onlink',
      mac: MAC,
      more: [entry('target', ADDRESS, OTHER_MAC)],
      snmp: {
        ...snmpPrinter({}),
        ifTable: {
          1: { ifType: 6, ifPhysAddress: { hex: '02005e0000aa' }, ifDescr: 'eth0' },
          2: { ifType: 71, ifPhysAddress: { hex: '02005e0000bb' }, ifDescr: 'wlan0' },
        },
      },
    },
    verdict: 'application/nothing-wrong-found',
  },
  {
    name: 'a proxy answers the link for it, and it is well',
    site: {
      ...HEALTHY,
      route: 'onlink',
      mac: OTHER_MAC,
      more: PROXIED,
      snmp: {
        ...snmpPrinter({}),
        ifTable: { 1: { ifType: 6, ifPhysAddress: { hex: '02005e0000aa' }, ifDescr: 'eth0' } },
      },
    },
    verdict: 'application/nothing-wrong-found',
    warnings: ['proxy-arp'],
  },
  {
    name: 'a proxy answers the link for it, and nobody is there',
    site: { ...SILENT, tcp: { 631: 'ETIMEDOUT', 9100: 'ETIMEDOUT' }, gateway: 'alive', mac: OTHER_MAC, more: PROXIED },
    verdict: 'power/no-sign-of-life',
    certainty: 'likely',
    others: [],
    warnings: ['proxy-arp'],
  },
  {
    name: 'a proxy answers for a printer that is known by its hardware address alone',
    site: { ...REFUSING, expected: { mac: MAC }, more: PROXIED },
    verdict: 'port/print-ports-closed',
    others: [],
    warnings: ['proxy-arp'],
  },
  {
    name: 'well, on a link that loses packets',
    site: { ...HEALTHY, tcp: { 631: 'open@4', 9100: 'open@1043', 80: 'open@5' } },
    verdict: 'application/nothing-wrong-found',
    warnings: ['packets-lost'],
  },
  {
    name: 'a slow device is slow to every call: nothing is lost',
    site: { ...HEALTHY, tcp: { 631: 'open@1400', 9100: 'open@1500', 80: 'open@1450' } },
    verdict: 'application/nothing-wrong-found',
    warnings: [],
  },
  {
    name: 'its IPP says nothing on a link that loses packets: that may have been lost as well',
    site: { ...HEALTHY, ipp: 'silent', tcp: { 631: 'open@4', 9100: 'open@1043', 80: 'open@5' } },
    verdict: 'protocol/ipp-silent',
    certainty: 'possible',
    warnings: ['packets-lost'],
  },
  {
    name: 'its print service takes calls and is not heard again, and long packets get lost',
    site: { ...HEALTHY, ipp: 'silent', more: LONG_LOST },
    verdict: 'link/long-packets-lost',
    certainty: 'likely',
    others: [],
  },
  {
    name: 'it answers no long echo, and its print service speaks',
    site: { ...HEALTHY, more: LONG_LOST },
    verdict: 'application/nothing-wrong-found',
  },
  {
    name: 'its print service hangs, and long packets come through',
    site: { ...HEALTHY, ipp: 'silent', more: [echo('echo', true), echo('full-sized echo', true)] },
    verdict: 'protocol/ipp-silent',
    certainty: 'likely',
  },
  {
    name: 'whoever is there takes calls on every port and says nothing',
    site: {
      tcp: { 1: 'open', 80: 'open', 443: 'open', 515: 'open', 631: 'open', 9100: 'open' },
      snmp: 'silent',
      ipp: 'silent',
    },
    verdict: 'port/every-port-open',
    certainty: 'likely',
    others: [],
  },
  {
    name: 'nobody has resolved it: an "unreachable" that comes soon ends a resolution that was begun before',
    site: { ...SILENT, tcp: { 631: 'EHOSTUNREACH@300', 9100: 'EHOSTUNREACH@310' } },
    verdict: 'power/no-sign-of-life',
    certainty: 'likely',
    others: [],
  },
  {
    name: 'behind a router the same may be a firewall, and is not beyond doubt',
    site: { tcp: { 631: 'EHOSTUNREACH@3', 9100: 'EHOSTUNREACH@3' }, snmp: 'silent', ipp: 'silent' },
    verdict: 'port/print-ports-filtered',
    certainty: 'likely',
  },
  {
    name: 'but not where the gateway does not resolve: then nobody but this machine itself can have said it',
    site: { tcp: { 631: 'EHOSTUNREACH@3', 9100: 'EHOSTUNREACH@3' }, snmp: 'silent', ipp: 'silent', gateway: 'silent' },
    verdict: 'link/whole-subnet-silent',
  },
  // --- a person at the printer
  {
    name: 'silent, and somebody saw it dark',
    site: { ...SILENT, answers: { 'panel-lit': 'dark' } },
    verdict: 'power/powered-off',
    certainty: 'likely',
  },
  {
    name: 'silent, lit, and no lamp at its network socket',
    site: { ...SILENT, answers: { 'panel-lit': 'lit', 'link-light': 'dark' } },
    verdict: 'link/no-carrier',
    certainty: 'likely',
  },
  {
    name: 'silent, lit, and errors on its switch port',
    site: { ...SILENT, answers: { 'panel-lit': 'lit', 'ask-switch': 'errors' } },
    verdict: 'link/link-errors',
  },
  {
    name: 'silent, lit, linked, and its menu shows another address',
    site: { ...SILENT, answers: { 'panel-lit': 'lit', 'link-light': 'lit', 'network-page-address': 'another' } },
    verdict: 'address/moved',
    others: [],
  },
  {
    name: 'all below works, and another program prints',
    site: { ...HEALTHY, answers: { 'other-application': 'yes' } },
    verdict: 'application/application-or-driver',
  },
];

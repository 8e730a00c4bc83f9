import type { LayerId } from '../model/layers.js';
import type { BringKind } from '../model/snapshot.js';

/** Whose presence a fault calls for: roles. What they know or hold is reminded of, never written down. */
export const ROLES = {
  'printer-admin': 'somebody who has the access code of the printer’s own menu or settings page',
  'server-admin': 'an administrator of the computer or print server that runs the queue',
  'network-admin': 'whoever looks after switches, addresses (DHCP) and names (DNS), with the key to the cabinet',
  'firewall-admin': 'whoever may change the firewall between the computers and the printers',
  'account-admin': 'whoever keeps the print accounts and sign-ins',
  'job-owner': 'the person whose job waits',
  'service-technician': 'a qualified service technician for this make, with the maker’s service manual',
} as const;
export type Role = keyof typeof ROLES;

export interface Carried {
  readonly kind: BringKind;
  readonly what: string;
}

const CABLE: Carried = { kind: 'cable', what: 'network cable known to be good' };
const MAINS_LEAD: Carried = { kind: 'cable', what: 'mains lead known to be good' };
const SOCKET_TEST: Carried = { kind: 'tool', what: 'small lamp or tester, to see whether a wall socket is live' };
const TORCH: Carried = { kind: 'tool', what: 'torch' };
const CLOTH: Carried = { kind: 'tool', what: 'dry lint-free cloths' };
const GLOVES: Carried = { kind: 'tool', what: 'disposable gloves' };
const DAMP_CLOTH: Carried = { kind: 'tool', what: 'damp cloths for spilt toner' };
const BAG: Carried = { kind: 'tool', what: 'closed bag for used cartridges and wipes' };
const NOTEBOOK: Carried = { kind: 'tool', what: 'notebook computer with this folder, to ask again on site' };
const DRIVER: Carried = { kind: 'document', what: 'driver for the model and for the system of the computers' };
const FIRMWARE: Carried = { kind: 'document', what: 'newest firmware of the model, with its maker’s notes' };
const MANUAL: Carried = { kind: 'document', what: 'the maker’s service manual of the model' };

/** What a fault means to the person who goes there. */
export interface Errand {
  /** Mended at a desk: in a spooler, in a configuration, in a name server. */
  readonly remote?: boolean;
  readonly present?: readonly Role[];
  /** Tools and the like; parts and supplies come from what the printer says (`bring.ts`). */
  readonly tools?: readonly Carried[];
  /** What only a person on site can tell, for the record: what to write down. */
  readonly asks?: readonly string[];
}

/** Common practice, no published source. A cause's own errand adds to that of its layer; its `remote` counts before the layer's. */
const BY_LAYER: Readonly<Record<LayerId, Errand>> = {
  power: { tools: [MAINS_LEAD, SOCKET_TEST, TORCH] },
  link: { present: ['network-admin'], tools: [CABLE, NOTEBOOK] },
  address: { present: ['network-admin'], tools: [NOTEBOOK] },
  port: { present: ['printer-admin'], tools: [NOTEBOOK] },
  protocol: { present: ['printer-admin'], tools: [NOTEBOOK] },
  access: { remote: true, present: ['account-admin'] },
  device: { tools: [TORCH] },
  media: {},
  supplies: { tools: [GLOVES, CLOTH, DAMP_CLOTH, BAG] },
  language: { remote: true, present: ['server-admin'], tools: [DRIVER] },
  queue: { remote: true, present: ['server-admin'] },
  job: { remote: true, present: ['server-admin'] },
  application: { remote: true },
};

const SOCKET_NUMBER = 'Number of the wall socket that its network cable leads to';
const MESSAGE = 'Its display, word for word, with every number in it';

const BY_CAUSE: Readonly<Record<string, Errand>> = {
  'no-sign-of-life': { tools: [CABLE], asks: [SOCKET_NUMBER, 'Address that its network menu shows'] },
  'powered-off': { asks: ['What else hangs on the same power strip or timer'] },
  'keeps-restarting': {
    present: ['service-technician'],
    asks: ['What else hangs on the same power strip or timer', 'Times of the restarts that people noticed'],
  },
  'no-carrier': { asks: [SOCKET_NUMBER] },
  'link-errors': { asks: [SOCKET_NUMBER] },
  'own-network-down': { remote: true },
  moved: { remote: true },
  'another-device-here': { asks: ['Model and serial number on the plate of the device that has this address'] },
  'address-conflict': { asks: ['Hardware address (MAC) in the printer’s network menu'] },
  'self-assigned': { tools: [CABLE], asks: [SOCKET_NUMBER, 'Address that its network menu shows after a restart'] },
  'name-unresolved': { remote: true },
  'name-points-elsewhere': { remote: true },
  'long-packets-lost': { remote: true, present: ['firewall-admin'] },
  'every-port-open': { present: ['firewall-admin'] },
  'print-ports-filtered': { present: ['firewall-admin'] },
  'raw-port-busy': { present: ['server-admin'] },
  'ipp-garbled': { tools: [FIRMWARE] },
  'ipp-silent': { tools: [FIRMWARE] },
  'ipp-path-unknown': { remote: true, present: ['server-admin'] },
  'ipp-version-refused': { remote: true, present: ['server-admin'], tools: [FIRMWARE] },
  'tls-failed': { tools: [FIRMWARE], asks: ['Date and time that the printer shows'] },
  'certificate-expired': { remote: true },
  'sign-in-needed': { present: ['printer-admin'] },
  'user-refused': { present: ['printer-admin'] },
  'interlock-open': { asks: [MESSAGE] },
  'media-jam': {
    tools: [GLOVES, CLOTH, DAMP_CLOTH],
    asks: ['Where the sheet sat, and whether pieces are missing', 'Kind and weight of the paper that is loaded'],
  },
  'service-needed': { present: ['service-technician'], tools: [MANUAL], asks: [MESSAGE] },
  'fuser-fault': { present: ['service-technician'], tools: [MANUAL], asks: [MESSAGE] },
  overheated: { asks: ['How far walls, boxes and curtains are from its grilles'] },
  'memory-short': { present: ['job-owner'] },
  'storage-full': { present: ['printer-admin', 'job-owner'] },
  stopped: { asks: [MESSAGE] },
  'not-accepting-jobs': { remote: true, present: ['printer-admin'] },
  'media-needed': { asks: ['Size and type of paper that its display asks for'] },
  'tray-missing': { asks: ['Which tray stands out, and whether its tab or plug is broken'] },
  'supply-missing': { asks: ['Number printed on the cartridge that is in it'] },
  'supply-not-accepted': { asks: ['Number printed on the cartridge that it refuses'] },
  'part-worn-out': { present: ['service-technician'], asks: [MESSAGE] },
  'page-too-complex': { present: ['job-owner'] },
  'driver-rights': { tools: [DRIVER] },
  'driver-missing': { tools: [DRIVER] },
  'driver-wrong-architecture': { tools: [DRIVER] },
  'account-limit-reached': { remote: true },
  'job-held': { present: ['job-owner'] },
  'job-needs-sign-in': { present: ['job-owner', 'account-admin'] },
  'poison-job': { present: ['job-owner'] },
};

/** Causes that have an errand of their own, for the check that each of them exists. */
export const CAUSES_WITH_ERRAND: readonly string[] = Object.keys(BY_CAUSE);

/** What a cause of a layer means to the person who goes there. A cause that nobody knows is that of its layer. */
export function errandOf(layer: LayerId, cause: string): Required<Errand> {
  const general = BY_LAYER[layer];
  const own = Object.hasOwn(BY_CAUSE, cause) ? BY_CAUSE[cause] : undefined;
  return {
    remote: own?.remote ?? general.remote ?? false,
    present: [...new Set([...(general.present ?? []), ...(own?.present ?? [])])],
    tools: [...new Set([...(general.tools ?? []), ...(own?.tools ?? [])])],
    asks: own?.asks ?? [],
  };
}

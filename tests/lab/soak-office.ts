import type { ScenarioInput } from '../../src/demo/device.js';
import { startDevice } from '../../src/demo/running.js';
import type { EvidenceBundle } from '../../src/model/why.js';
import { createSystemNet } from '../../src/net/system-net.js';
import { collectEvidence } from '../../src/probes/collect.js';
import { PROBES } from '../../src/probes/probes.js';
import { bundleOf } from '../ladder/bundle.js';

const ADDRESS = '127.34.90.1';
const SERIAL = 'SOAK-SERIAL';
const LEVEL = 4321;
const PAGES = 7_654_321;

/** What may be wrong with a made-up printer: the cause that ought to be found → how it is made. */
const FAULTS: Readonly<Record<string, Partial<ScenarioInput>>> = {
  'media-empty': { alerts: [{ group: 'input', code: 'subunitEmpty' }], trays: [{ name: 'Tray 1', level: 0 }] },
  'cover-open': {
    alerts: [{ group: 'cover', code: 'coverOpen' }],
    covers: [{ name: 'Front cover', state: 'coverOpen' }],
  },
  'media-jam': { alerts: [{ group: 'mediaPath', code: 'jam' }] },
  paused: { state: 'paused' },
};
export const CAUSES = Object.keys(FAULTS);

/** Evidence of one printer in each of its states, with places where its own words go. */
export type Templates = ReadonlyMap<string, string>;

const GONE = { 631: 'EHOSTUNREACH', 9100: 'EHOSTUNREACH', 80: 'EHOSTUNREACH' };

/** Asks a real made-up device on loopback once for each state; the rest of the soak needs no network. */
export async function makeTemplates(): Promise<Templates> {
  const net = createSystemNet();
  const credentials = [{ version: '2c', community: 'public', label: 'community 1' }] as const;
  const limits = { timeoutMs: 2_000, retries: 1, deadlineMs: 4_500, credentials };
  const usual = PROBES.filter(({ id }) => !['neighbour', 'icmp', 'http', 'dns-sd'].includes(id));
  const made = new Map<string, string>();
  for (const [state, more] of Object.entries({ well: {}, ...FAULTS })) {
    const supplies = [{ type: 'tonerCartridge', colour: 'black', capacity: 6000, level: LEVEL }];
    const device = await startDevice(
      { name: 'soak', serial: SERIAL, lifePages: PAGES, supplies, ...more },
      { address: ADDRESS },
    );
    const { snmpPort, ippUri, printPorts } = device;
    const target = {
      label: 'soak',
      host: ADDRESS,
      snmpPort: snmpPort ?? 0,
      ippUri: ippUri ?? '',
      printPorts,
      queues: [],
    };
    const bundle = await collectEvidence(target, net, limits, usual);
    made.set(state, JSON.stringify(bundle));
    await device.close();
  }
  const silent = {
    tcp: GONE,
    snmp: 'silent',
    ipp: 'silent',
    route: 'onlink',
    mac: 'failed',
    gateway: 'alive',
  } as const;
  made.set('dead', JSON.stringify(bundleOf(silent)));
  return made;
}

/** What is seen of a printer in a state at a time. */
export function seenOf(templates: Templates, state: string, printer: Soaked, at: number): EvidenceBundle {
  const text = (templates.get(state) ?? '')
    .replaceAll(SERIAL, `SN-${printer.name}`)
    .replaceAll(String(LEVEL), String(printer.level))
    .replaceAll(String(PAGES), String(printer.pages));
  const bundle = JSON.parse(text) as EvidenceBundle;
  return { ...bundle, target: printer.name, address: printer.address, askedAt: new Date(at).toISOString() };
}

export interface Soaked {
  readonly name: string;
  readonly address: string;
  level: number;
  pages: number;
}

/** A trouble that somebody put there. */
export interface Injected {
  readonly printers: readonly string[];
  readonly cause: string;
  readonly from: number;
  readonly to: number;
}

/** Numbers from 0 up to 1 that are the same in each run (mulberry32, from memory). */
export function chance(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}

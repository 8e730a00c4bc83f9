import { createSocket } from 'node:dgram';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import snmp from 'net-snmp';
import { parse, stringify } from 'yaml';
import type { ScenarioInput } from '../../src/demo/device.js';
import { startOffice } from '../../src/demo/office.js';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import { freeTcpPort, type RunningProgram, startAgent } from '../daemon/program.js';

/** Screenshots of a run, for people to look at. */
export const SHOTS = fileURLToPath(new URL('../../coverage/page/', import.meta.url));

/** A printer that comes to harm while the test looks on. */
const WELL = {
  name: 'gate-house',
  serial: 'EX-7',
  supplies: [{ name: 'Black toner', level: 4200, capacity: 6000 }],
} satisfies ScenarioInput;
/** One that takes pages and says nothing: only a person beside it can tell. */
const DUMB: ScenarioInput = { name: 'attic', snmp: false, ipp: false };
const EVIL = `<script>window.hacked=1</script><img src=x onerror=window.hacked=2>"'\u202e`;
/** Every text that a printer may choose, meant to become part of the page. */
const CRUEL: ScenarioInput = {
  name: 'cruel',
  model: EVIL,
  location: EVIL,
  contact: EVIL,
  console: [EVIL],
  supplies: [{ name: EVIL, level: 10, capacity: 100 }],
  trays: [{ name: EVIL, level: 0, capacity: 250 }],
  covers: [{ name: EVIL, state: 'coverOpen' }],
  alerts: [{ severity: 'critical', group: 'cover', index: 1, code: 'coverOpen', description: EVIL }],
};

export interface WatchedOffice {
  readonly base: string;
  readonly folder: string;
  readonly agent: RunningProgram;
  /** Somebody presses the pause button of the gate house's printer, or lets it go on. */
  readonly pause: (paused: boolean) => Promise<void>;
  /** That printer reports by itself that something happened, as printers do that are told to. */
  readonly report: () => Promise<void>;
  readonly close: () => Promise<void>;
}

/** printerV2Alert (RFC 3805). */
const PRINTER_ALERT = '1.3.6.1.2.1.43.18.2.0.1';

function sendTrap(from: string, trapPort: number): Promise<void> {
  const options = { version: snmp.Version2c, sourceAddress: from, trapPort };
  const session = snmp.createSession('127.0.0.1', 'public', options);
  return new Promise((resolve, reject) => {
    session.trap(PRINTER_ALERT, [], (error: Error | null) => {
      session.close();
      if (error === null) resolve();
      else reject(error);
    });
  });
}

async function freeUdpPort(): Promise<number> {
  const socket = createSocket('udp4');
  await new Promise<void>((resolve) => socket.bind(0, '127.0.0.1', () => resolve()));
  const { port } = socket.address();
  await new Promise<void>((resolve) => socket.close(() => resolve()));
  return port;
}

/** A part of the made-up office with an agent that watches it as a process of its own. */
export async function startWatchedOffice(): Promise<WatchedOffice> {
  mkdirSync(SHOTS, { recursive: true });
  const folder = mkdtempSync(join(tmpdir(), 'outfeed-page-'));
  const only = ['mail-room', 'meeting-room', 'slipway', 'print-server'];
  const office = await startOffice({ prefix: '127.35.70', only, basePorts: { snmp: 0, ipp: 0, raw: 0, lpd: 0 } });
  let gate = await startDevice(WELL, { address: '127.35.71.1' });
  const cruel = await startDevice(CRUEL, { address: '127.35.71.2' });
  const attic = await startDevice(DUMB, { address: '127.35.71.3' });
  const port = await freeTcpPort();
  const trapPort = await freeUdpPort();
  const written = parse(office.configText) as { printers: unknown[] };
  const config = {
    ...written,
    sweep: { ranges: ['127.35.71.1'], every: '1d' },
    read: { every: '4s', inFault: '4s', timeout: '4s', retries: 1 },
    page: { listen: `127.0.0.1:${port}` },
    traps: { listen: `127.0.0.1:${trapPort}` },
    printers: [...written.printers, entry(gate, 12), entry(cruel, 1), entry(attic, 3)],
  };
  writeFileSync(join(folder, 'outfeed.yaml'), stringify(config));
  const agent = startAgent(folder);
  const base = `http://127.0.0.1:${port}`;
  await untilRead(base, config.printers.length);
  return {
    base,
    folder,
    agent,
    pause: async (paused) => {
      const ports = { snmp: gate.snmpPort ?? 0, ipp: gate.ippPort ?? 0, raw: gate.rawPort ?? 0 };
      await gate.close();
      gate = await startDevice(paused ? { ...WELL, state: 'paused' } : WELL, { address: '127.35.71.1', ports });
    },
    report: () => sendTrap('127.35.71.1', trapPort),
    close: async () => {
      agent.child.kill('SIGKILL');
      await agent.ended;
      await Promise.all([office.close(), gate.close(), cruel.close(), attic.close()]);
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

function entry({ name, address, snmpPort, ippUri, rawPort }: RunningDevice, people: number) {
  const ways = { ...(snmpPort === null ? {} : { snmpPort }), ...(ippUri === null ? {} : { ippUri }) };
  return { name, address, ...ways, ...(rawPort === null ? {} : { rawPort }), people };
}

async function untilRead(base: string, wanted: number): Promise<void> {
  for (let tries = 0; tries < 600; tries++) {
    const answer = await fetch(`${base}/api/v1/printers`).catch(() => undefined);
    const list = (await answer?.json().catch(() => undefined)) as { printers?: { since: string | null }[] } | undefined;
    const read = (list?.printers ?? []).filter(({ since }) => since !== null);
    if (read.length >= wanted) return;
    await delay(200);
  }
  throw new Error('the agent did not come to know every printer');
}

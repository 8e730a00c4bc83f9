/**
 * A host of the lab as a process of its own: opens made-up devices, answers names and announces printers, until told to
 * close. Requests come as lines of JSON.
 */
import type { ScenarioInput } from '../../src/demo/device.js';
import { type DeviceAt, type RunningDevice, startDevice } from '../../src/demo/running.js';
import { type Announcement, announce } from './announce.js';
import { serveLines } from './lines.js';
import { type NameAnswers, startNameServer } from './name-server.js';
import type { Doors } from './world.js';

export interface ServeRequest {
  /** Closes all that is open, first. */
  readonly open: readonly { readonly device: ScenarioInput; readonly at: DeviceAt }[];
  readonly announce?: Announcement;
  readonly names?: { readonly address: string; readonly answers: NameAnswers };
}

interface Closable {
  readonly close: () => Promise<void> | void;
}
const opened: Closable[] = [];

async function serve(request: ServeRequest): Promise<readonly Doors[]> {
  await Promise.all(opened.splice(0).map((one) => one.close()));
  const devices: RunningDevice[] = [];
  for (const { device, at } of request.open) {
    const running = await startDevice(device, at);
    opened.push(running);
    devices.push(running);
  }
  if (request.announce) opened.push(announce(request.announce));
  if (request.names) opened.push(await startNameServer(request.names.address, request.names.answers));
  return devices.map(({ address, snmpPort, ippUri, rawPort, lpdPort, queueUris }) => ({
    address,
    snmpPort,
    ippUri,
    rawPort,
    lpdPort,
    queueUris,
  }));
}

serveLines(serve as (request: never) => Promise<unknown>);

/** Runs one scenario on loopback addresses of its own, in this process, through the whole program. */
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import { outfeed } from '../commands/captured-io.js';
import { type Outcome, outcomeOf } from './outcome.js';
import { deviceOf, type LabScenario } from './scenario.js';
import { argumentsOf, configurationOf, type Doors, JOB_FILE, serverOf, switchOf } from './world.js';

/** A print server that is not there: nobody listens at its address. */
const NOBODY = { snmpPort: null, ippUri: null, rawPort: null, lpdPort: null, queueUris: {} };

/** `slot` from 0 to 249 gives the scenario addresses of its own, so that several run side by side. */
export async function runOnLoopback(scenario: LabScenario, slot: number): Promise<Outcome> {
  const at = (host: number): string => `127.36.${slot + 1}.${host}`;
  const opened: RunningDevice[] = [];
  const start = async (device: Parameters<typeof startDevice>[0], host: number): Promise<Doors> => {
    const running = await startDevice(device, { address: at(host) });
    opened.push(running);
    return running;
  };
  const folder = await mkdtemp(join(tmpdir(), 'outfeed-lab-'));
  try {
    const printer = scenario.printer === null ? null : await start(deviceOf(scenario.printer), 21);
    const server = serverOf(scenario, printer ?? { ...NOBODY, address: at(21) });
    const bridge = switchOf(scenario);
    const listening = {
      printer,
      server: server === null ? { ...NOBODY, address: at(5) } : await start(server, 5),
      switch: bridge === null ? { ...NOBODY, address: at(2) } : await start(bridge, 2),
    };
    const config = join(folder, 'outfeed.yaml');
    if (scenario.job !== undefined) await writeFile(join(folder, JOB_FILE), scenario.job);
    await writeFile(config, configurationOf(scenario, at(21), listening));
    const began = performance.now();
    const { code, out, err } = await outfeed(argumentsOf(scenario, config), { cwd: folder });
    return outcomeOf(scenario, { code, out, err, ms: performance.now() - began });
  } finally {
    await Promise.all(opened.map((device) => device.close()));
    await rm(folder, { recursive: true, force: true });
  }
}

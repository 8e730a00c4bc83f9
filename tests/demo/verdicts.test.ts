import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Io } from '../../src/commands/io.js';
import { run } from '../../src/commands/program.js';
import { loadOffice } from '../../src/demo/load.js';
import { type Office, startOffice } from '../../src/demo/office.js';
import type { WhyDocument } from '../../src/model/why.js';
import { createSystemNet } from '../../src/net/system-net.js';

let office: Office;
let folder: string;
const net = createSystemNet();

async function outfeed(...argv: string[]): Promise<{ code: number; text: string; complaints: string }> {
  let text = '';
  let complaints = '';
  const io: Io = {
    stdout: (part) => (text += part),
    stderr: (part) => (complaints += part),
    env: {},
    cwd: folder,
    isTty: false,
    stderrIsTty: false,
    columns: 80,
    color: false,
    net: async () => net,
    now: () => new Date(),
  };
  const code = await run(argv, io);
  return { code, text, complaints };
}

beforeAll(async () => {
  office = await startOffice({ prefix: '127.77.17' });
  folder = await mkdtemp(join(tmpdir(), 'outfeed-verdicts-'));
  await writeFile(join(folder, 'outfeed.yaml'), office.configText);
});

afterAll(async () => {
  await office.close();
  await rm(folder, { recursive: true, force: true });
});

/** What a device file expects, in the order of the file names. */
const asked = loadOffice().flatMap((scenario) =>
  scenario.kind === 'printer' && scenario.configured && scenario.expect
    ? [{ name: scenario.name, expected: scenario.expect }]
    : [],
);

describe('why, asked of every printer of the office', () => {
  test.each(asked)('$name: $expected.cause', async ({ name, expected }) => {
    const { code, text, complaints } = await outfeed('why', name, '--json');
    const why = JSON.parse(text) as WhyDocument;
    expect(complaints).toBe('');
    expect(why.verdict).toMatchObject({
      layer: expected.layer,
      cause: expected.cause,
      ...(expected.component === undefined ? {} : { component: expected.component }),
    });
    const fault = expected.severity === 'fault';
    expect([code, why.silent]).toEqual(fault ? [1, true] : [0, false]);
    expect(why.others.map(({ layer, cause }) => ({ layer, cause }))).toEqual(expected.others);
    for (const warning of expected.warnings) expect(why.warnings).toContainEqual(expect.objectContaining(warning));
  });

  test('a sound printer has nothing to mention', async () => {
    for (const name of ['front-desk', 'drawing-room']) {
      const why = JSON.parse((await outfeed('why', name, '--json')).text) as WhyDocument;
      expect(why.warnings).toEqual([]);
    }
  });

  test('reads only: nothing was written, no job sent, no octet on a raw or LPD port', () => {
    for (const device of office.devices) {
      expect(device.received()).toMatchObject({ snmpWrites: 0, rawOctets: 0, lpdOctets: 0, ippJobs: 0 });
    }
  });
});

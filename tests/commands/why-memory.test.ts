import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import type { WhyDocument } from '../../src/model/why.js';
import type { Change } from '../../src/store/change.js';
import { withPast } from '../../src/store/past-evidence.js';
import { openStore } from '../../src/store/store.js';
import { judge } from '../../src/verdict/verdict.js';
import { DAY, HOUR, pages, printer, sample, verdict } from '../store/samples.js';
import { outfeed } from './captured-io.js';

let folder: string;
let device: RunningDevice;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-memory-'));
  device = await startDevice({ name: 'front-desk', upSeconds: 600 }, { address: '127.35.60.1' });
  writeFileSync(
    join(folder, 'outfeed.yaml'),
    `site: { name: Harbour annex }
read: { timeout: 1s, retries: 0 }
printers:
  - { name: front-desk, address: 127.35.60.1, snmpPort: ${device.snmpPort}, ippUri: "${device.ippUri}" }
`,
  );
});
afterAll(async () => {
  await device.close();
  rmSync(folder, { recursive: true, force: true });
});

const remember = async (changes: readonly Change[]) => {
  const store = await openStore('sqlite:outfeed.db', { site: 'Harbour annex', folder });
  await store.apply(changes);
  await store.close();
};
const why = async (...more: string[]): Promise<WhyDocument> =>
  JSON.parse((await outfeed(['why', 'front-desk', '--json', ...more], { cwd: folder })).out) as WhyDocument;
const known = (document: WhyDocument) =>
  Object.fromEntries(
    document.evidence.filter(({ source }) => source === 'history').map(({ what, value }) => [what, value]),
  );

describe('why, with what an agent remembers', () => {
  test('without a store nothing is added', async () => {
    expect(known(await why())).toEqual({});
  });

  test('the last good time, past verdicts, what changed just before, and starts are evidence', async () => {
    const now = Date.now();
    const series = { ...pages, kind: 'booted' as const };
    await remember([
      printer('front-desk', now - 30 * DAY, { address: '127.35.60.1', lastAnswerAt: now - HOUR }),
      verdict('front-desk', now - 3 * DAY, 'nothing-wrong-found', false),
      verdict('front-desk', now - 2 * DAY),
      { kind: 'identity', printer: 'front-desk', what: 'firmware', value: '4.2.0', at: now - 2.5 * DAY },
      sample('front-desk', now - HOUR, now - 1.6 * HOUR, series),
      sample('front-desk', now - 0.5 * HOUR, now - 0.9 * HOUR, series),
    ]);
    const document = await why();
    expect(known(document)).toMatchObject({
      'last good': { at: new Date(now - 3 * DAY).toISOString() },
      'past verdicts': { verdicts: [{ cause: 'media-empty', silent: true }, { cause: 'nothing-wrong-found' }] },
      changes: { changes: [{ what: 'firmware', now: '4.2.0' }] },
      starts: { starts: [expect.any(String), expect.any(String)] },
    });
    // Two on record and the one that its own up-time of ten minutes tells of.
    expect(document.verdict).toMatchObject({ layer: 'power', cause: 'keeps-restarting' });
  });

  test('what was kept with it is judged the same without the store', async () => {
    const save = join(folder, 'saved.json');
    const asked = await why('--save', save);
    const again = JSON.parse((await outfeed(['why', '--from', save, '--json'], { cwd: '/' })).out) as WhyDocument;
    expect(again).toEqual(asked);
  });

  test('a store that is none is no hindrance', async () => {
    writeFileSync(join(folder, 'broken.yaml'), 'store: { url: "sqlite:text.db" }\n');
    writeFileSync(join(folder, 'text.db'), 'no database at all');
    const { code, err } = await outfeed(
      ['why', '127.35.60.1', '--config', 'broken.yaml', '--snmp-port', String(device.snmpPort), '--verbose', '--json'],
      { cwd: folder },
    );
    expect(code).not.toBe(4);
    expect(err).toContain('What the agent remembers can not be read');
  });
});

test('one that is silent is found where it went, by the UUID that was remembered', () => {
  const at = '2026-03-02T09:00:00.000Z';
  const uuid = '6f1d2b1e-0000-4000-8000-000000000002';
  const about = { at, tookMs: 5 } as const;
  const bundle = {
    schema: 'outfeed.evidence/1',
    target: 'front-desk',
    address: '192.0.2.21',
    askedAt: at,
    tookMs: 5,
    evidence: [
      {
        id: 'e1',
        source: 'tcp',
        what: '631/tcp',
        about: 'target',
        subject: '192.0.2.21',
        outcome: 'silent',
        value: 'ETIMEDOUT',
        ...about,
      },
      {
        id: 'e2',
        source: 'dns-sd',
        what: '_ipp._tcp',
        about: 'elsewhere',
        subject: '192.0.2.99',
        outcome: 'answered',
        value: {
          instances: [
            { name: 'x', type: '_ipp._tcp', host: 'x.local', port: 631, addresses: ['192.0.2.99'], txt: { uuid } },
          ],
        },
        ...about,
      },
    ],
  } as const;
  const identities = [{ kind: 'uuid' as const, value: uuid, firstAt: 0, lastAt: 0 }];
  const past = { firstSeen: 0, lastAnswerAt: null, verdicts: [], identities, starts: [], pages: [], testPages: [] };
  expect(judge(bundle).verdict.cause).not.toBe('moved');
  expect(judge(withPast(bundle, past)).verdict).toMatchObject({ layer: 'address', cause: 'moved' });
});

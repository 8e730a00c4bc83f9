import { afterAll, beforeAll, expect, test } from 'vitest';
import type { ScenarioInput } from '../../src/demo/device.js';
import type { SweepDocument } from '../../src/model/sweep.js';
import type { WhyDocument } from '../../src/model/why.js';
import { describeWithPeers } from '../peers/peer.js';
import { CABLE_NEEDS, type Spoiled } from './bad-cable.js';
import { LIVE, WHY_MS } from './limits.js';
import { Office } from './office.js';

const LINK = '192.0.2.0/24';
/** Of a printer that can print: nothing is wrong, and nothing is said of a fault that is beyond doubt. */
const WELL = 'application/nothing-wrong-found';

const FRONT_DESK: ScenarioInput = { kind: 'printer', name: 'front-desk', serial: 'EX-000021' };
const BACK_OFFICE: ScenarioInput = {
  kind: 'printer',
  name: 'back-office',
  serial: 'EX-000022',
  snmp: {},
  ipp: false,
  lpd: 'closed',
};
const LABELS: ScenarioInput = { kind: 'printer', name: 'labels', snmp: false, ipp: false, raw: 'open', lpd: 'closed' };
const SWITCH: ScenarioInput = { kind: 'other', name: 'switch', descr: 'Dunlin 24-port switch' };

const printers = ({ found }: SweepDocument): readonly string[] => found.map(({ address }) => address);
const others = (document: SweepDocument): readonly string[] => document.others.map(({ address }) => address);

/** A fault that is called sure, of a printer that has none. */
function accused({ silent, verdict, others: more }: WhyDocument): readonly string[] {
  const blames = silent === true ? [verdict, ...more] : more;
  return blames.filter(({ certainty }) => certainty === 'sure').map(({ layer, cause }) => `${layer}/${cause}`);
}

describeWithPeers('a link that spoils what it carries', CABLE_NEEDS, () => {
  const office = new Office();

  beforeAll(async () => {
    await Promise.all([
      office.device('192.0.2.21', FRONT_DESK),
      office.device('192.0.2.22', BACK_OFFICE),
      office.device('192.0.2.23', LABELS),
      office.device('192.0.2.30', SWITCH),
      office.open(20),
    ]);
  }, 60_000);
  afterAll(() => office.close());

  /** The order is put right, copies are dropped, and answers that come late still come: nothing may differ from a good link. */
  test.each<[string, Spoiled]>([
    ['as it should be', {}],
    ['every frame 150 ms late in each direction, 300 ms to and fro', { delayMs: 150 }],
    ['three frames of ten held back by 80 ms', { reorder: 0.3, heldMs: 80 }],
    ['every second frame twice', { duplicate: 0.5 }],
  ])('%s: all printers, each once, and each is well', LIVE, async (_name, how) => {
    await office.cable.spoil(how);
    const swept = await office.sweep(LINK);
    expect(printers(swept.document)).toEqual(['192.0.2.21', '192.0.2.22', '192.0.2.23']);
    expect(others(swept.document)).toEqual(['192.0.2.1', '192.0.2.30']);
    expect(swept.document.problems).toEqual([]);
    expect(swept.complaints).toBe('');
    expect(swept.ms).toBeLessThan(20_000);
    for (const address of ['192.0.2.21', '192.0.2.22']) {
      const { document, ms } = await office.why(address);
      expect(`${document.verdict.layer}/${document.verdict.cause}`).toBe(WELL);
      expect(document.silent).toBe(false);
      expect(ms).toBeLessThan(WHY_MS);
    }
  });

  test('two frames of ten lost in each direction: all printers, each once, none invented', LIVE, async () => {
    await office.cable.spoil({ loss: 0.2 });
    const { document, ms } = await office.sweep(LINK);
    expect(printers(document)).toEqual(['192.0.2.21', '192.0.2.22', '192.0.2.23']);
    expect(['192.0.2.1', '192.0.2.30']).toEqual(expect.arrayContaining([...others(document)]));
    expect(document.problems).toEqual([]);
    expect(ms).toBeLessThan(40_000);
  });

  test(
    'the same: a printer that is well is not called silent beyond doubt, and most looks say that it is well',
    LIVE,
    async () => {
      await office.cable.spoil({ loss: 0.2 });
      const looks: WhyDocument[] = [];
      for (let look = 0; look < 5; look += 1) {
        const { document, ms } = await office.why('192.0.2.21');
        expect(accused(document)).toEqual([]);
        expect(ms).toBeLessThan(WHY_MS);
        looks.push(document);
      }
      expect(looks.filter(({ silent }) => silent === false).length).toBeGreaterThanOrEqual(2);
      const carried = await office.cable.spoil({});
      expect(carried.lost).toBeGreaterThan(20);
    },
  );
});

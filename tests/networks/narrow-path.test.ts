import { afterAll, beforeAll, expect, test } from 'vitest';
import { describeWithPeers } from '../peers/peer.js';
import { CABLE_NEEDS } from './bad-cable.js';
import { FAR_PRINTER, FarSide } from './far-side.js';
import { LIVE, WHY_MS } from './limits.js';
import { Office } from './office.js';

const RANGE = '198.51.100.16/28';

describeWithPeers('a path that takes only short packets', [...CABLE_NEEDS, 'ping'], () => {
  const office = new Office();
  let side: FarSide;

  beforeAll(async () => {
    await office.open(22);
    side = await FarSide.make(office, { kind: 'printer', name: 'quay', serial: 'EX-000031' });
  }, 60_000);
  afterAll(() => office.close());

  /** RFC 791: every host takes 576 octets. Fragments overtake each other on the desk’s own cable. */
  test.each([
    ['the ends are told (RFC 1191)', false],
    ['packets are cut on the way, and their parts come out of order', true],
  ])('576 octets, %s: found, and well', LIVE, async (_name, cut) => {
    side.narrow(576, 'told');
    side.mayBeCut(cut);
    await office.cable.spoil(cut ? { reorder: 0.3, heldMs: 40 } : {});
    const why = await office.why(FAR_PRINTER);
    expect(why.document.verdict.cause).toBe('nothing-wrong-found');
    expect(why.document.silent).toBe(false);
    expect(why.ms).toBeLessThan(WHY_MS);
    const { document, ms } = await office.sweep(RANGE);
    expect(document.found).toMatchObject([{ address: FAR_PRINTER, name: 'quay', serial: 'EX-000031' }]);
    expect(ms).toBeLessThan(20_000);
    await office.cable.spoil({});
  });

  /** RFC 2923 section 2.1: connections come about, and then nothing more is heard. */
  test.each([576, 1400])(
    '%i octets, and nobody is told: long packets are named, not the printer',
    LIVE,
    async (mtu) => {
      side.narrow(mtu, 'lost');
      side.mayBeCut(false);
      const { document, ms } = await office.why(FAR_PRINTER);
      expect(document.verdict).toMatchObject({ layer: 'link', cause: 'long-packets-lost' });
      expect(document.verdict.certainty).not.toBe('sure');
      expect(document.others).toEqual([]);
      expect(ms).toBeLessThan(WHY_MS);
      const swept = await office.sweep(RANGE);
      expect(swept.document.found).toMatchObject([{ address: FAR_PRINTER, snmp: '2c' }]);
      expect(swept.ms).toBeLessThan(30_000);
    },
  );
});

import { afterAll, beforeAll, expect, test } from 'vitest';
import type { ScenarioInput } from '../../src/demo/device.js';
import type { SweepDocument } from '../../src/model/sweep.js';
import type { WhyDocument } from '../../src/model/why.js';
import { describeWithPeers } from '../peers/peer.js';
import { CABLE_NEEDS } from './bad-cable.js';
import { LIVE, WHY_MS } from './limits.js';
import { Office } from './office.js';

const WELL = 'application/nothing-wrong-found';

const FRONT_DESK: ScenarioInput = { kind: 'printer', name: 'front-desk', serial: 'EX-000021' };
const LABELS: ScenarioInput = { kind: 'printer', name: 'labels', snmp: false, ipp: false, raw: 'open', lpd: 'closed' };
const HALF: ScenarioInput = { kind: 'printer', name: 'half-open', serial: 'EX-000025' };
const SLOW: ScenarioInput = {
  kind: 'printer',
  name: 'slow',
  serial: 'EX-000026',
  ipp: false,
  raw: 'closed',
  lpd: 'closed',
};

const printers = ({ found }: SweepDocument): readonly string[] => found.map(({ address }) => address);
const verdictOf = ({ verdict }: WhyDocument): string => `${verdict.layer}/${verdict.cause} ${verdict.certainty}`;
const warningsOf = ({ warnings }: WhyDocument): readonly string[] => warnings.map(({ cause }) => cause);

describeWithPeers('hosts that mislead', CABLE_NEEDS, () => {
  const office = new Office();
  const { bridge } = office;

  beforeAll(async () => {
    const [, , half] = await Promise.all([
      office.device('192.0.2.21', FRONT_DESK),
      office.device('192.0.2.23', LABELS),
      office.device('192.0.2.25', HALF),
      office.host(
        ['192.0.2.26/24', '192.0.2.27/24'],
        [
          { kind: 'device', address: '192.0.2.26', scenario: SLOW },
          { kind: 'drip', address: '192.0.2.26', port: 631, from: 'body' },
          { kind: 'drip', address: '192.0.2.27', port: 631, from: 'head' },
        ],
      ),
      office.open(21),
    ]);
    // A call is answered, and what comes after it never arrives: a connection that only one side has (RFC 9293 section 3.5.1).
    const chain = 'add table inet half; add chain inet half in { type filter hook input priority 0; };';
    bridge.run(half, 'nft', `${chain} add rule inet half in tcp flags & syn == 0 drop`);
  }, 60_000);
  afterAll(() => office.close());

  test('half-open TCP: its print service is said to take calls and to say nothing', LIVE, async () => {
    const { document, ms } = await office.why('192.0.2.25');
    expect(verdictOf(document)).toBe('protocol/ipp-silent likely');
    expect(document.printer.serial).toBe('EX-000025');
    expect(ms).toBeLessThan(WHY_MS);
  });

  test.each([
    ['a reply', '192.0.2.26'],
    ['a head', '192.0.2.27'],
  ])('a server that lets %s out octet by octet is not waited for', LIVE, async (_what, address) => {
    const { document, ms } = await office.why(address);
    expect(document.silent).not.toBe(false);
    expect(document.verdict.certainty).not.toBe('sure');
    expect(document.verdict.layer).toBe('protocol');
    expect(ms).toBeLessThan(WHY_MS);
  });

  test(
    'a sweep finds the half-open printer and the slow one by what else they say, in bounded time',
    LIVE,
    async () => {
      const { document, ms } = await office.sweep('192.0.2.16/28');
      expect(printers(document)).toEqual(expect.arrayContaining(['192.0.2.21', '192.0.2.23', '192.0.2.25']));
      expect(document.found.filter(({ serial }) => serial === 'EX-000026')).toHaveLength(1);
      expect(new Set(printers(document)).size).toBe(document.found.length);
      expect(ms).toBeLessThan(40_000);
    },
  );

  test('a tarpit at two addresses is no printer, and at a printer’s own address it is named', LIVE, async () => {
    bridge.addHost('192.0.2.40/24', '192.0.2.41/24');
    await office.cable.spoil({ tarpits: ['192.0.2.40', '192.0.2.41'] });
    const { document, ms } = await office.sweep('192.0.2.21', '192.0.2.23', '192.0.2.40-41');
    expect(printers(document)).toEqual(['192.0.2.21', '192.0.2.23']);
    const trap = document.others.filter(({ what }) => what.startsWith('takes calls even on a port that nobody serves'));
    expect(trap.map(({ address }) => address)).toEqual(['192.0.2.40', '192.0.2.41']);
    expect(ms).toBeLessThan(40_000);
    // The printer’s agent still answers; the calls to it end in the trap.
    await office.cable.spoil({ tarpits: ['192.0.2.21'] });
    const why = await office.why('192.0.2.21');
    expect(verdictOf(why.document)).toBe('port/every-port-open likely');
    expect(why.document.others).toEqual([]);
    expect(why.ms).toBeLessThan(WHY_MS);
    await office.cable.spoil({});
  });

  test('a device that answers for every address (RFC 1027)', { ...LIVE, timeout: 90_000 }, async () => {
    const proxy = bridge.addHost('192.0.2.77/24');
    const shown = JSON.parse(bridge.run(proxy, 'ip', '-j', 'link', 'show', 'eth0')) as readonly { address: string }[];
    // As a router does: it hands on what it drew to itself. Else nobody at all could be reached.
    bridge.run(proxy, 'sysctl', '-qw', 'net.ipv4.ip_forward=1', 'net.ipv4.conf.all.send_redirects=0');
    bridge.run(proxy, 'sysctl', '-qw', 'net.ipv4.conf.eth0.send_redirects=0');
    await office.cable.spoil({ proxyMac: shown[0]?.address ?? '' });
    bridge.run(office.cable.host, 'ip', 'neigh', 'flush', 'all');

    const well = await office.why('192.0.2.21');
    expect(verdictOf(well.document)).toBe(`${WELL} likely`);
    expect(warningsOf(well.document)).toContain('proxy-arp');
    // Nobody is there, whatever the link says.
    const nobody = await office.why('192.0.2.99');
    expect(nobody.document.verdict.cause).toBe('no-sign-of-life');
    expect(nobody.document.verdict.certainty).not.toBe('sure');
    expect(warningsOf(nobody.document)).toContain('proxy-arp');
    expect(Math.max(well.ms, nobody.ms)).toBeLessThan(WHY_MS);

    const { document, ms } = await office.sweep('192.0.2.0/27');
    expect(printers(document)).toEqual(expect.arrayContaining(['192.0.2.21', '192.0.2.23', '192.0.2.25']));
    expect(document.found.length + document.others.length).toBeLessThan(10);
    expect(document.problems).toEqual([
      expect.stringMatching(/answers for [23]\d addresses of this link \(proxy ARP\)/),
    ]);
    expect(ms).toBeLessThan(40_000);
    await office.cable.spoil({});
  });
});

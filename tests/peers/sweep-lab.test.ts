import { chmodSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { sweepSchema } from '../../src/model/schemas/sweep.js';
import type { FoundPrinter, SweepDocument } from '../../src/model/sweep.js';
import { AVAHI_NEEDS } from './avahi.js';
import { type Bridge, makeBridge } from './namespace-bridge.js';
import { describeWithPeers } from './peer.js';
import { SweepLab, uuidAt } from './sweep-lab.js';

const RANGES = ['192.0.2.0/24', '198.51.100.0/28'];

/** What is there: each printer by its address and what it calls itself, once. */
const PRINTERS = [
  '192.0.2.10 snmp-only',
  '192.0.2.11 ipp-only',
  '192.0.2.12 null',
  '192.0.2.13 null',
  '192.0.2.15 asleep',
  '192.0.2.16 both-doors',
  '192.0.2.18 twin',
  '192.0.2.20 cellar',
  '192.0.2.20 loft',
  '192.0.2.20 porch',
  '192.0.2.21 port-2',
  '192.0.2.21 port-3',
  '192.0.2.21 three-ports',
  '192.0.2.40 null',
  '192.0.2.41 null',
  '192.0.2.42 Attic 1.5',
  '192.0.2.43 reference',
  '198.51.100.2 far-snmp',
  '198.51.100.6 null',
  '169.254.7.7 Lost one',
  'fe80 six-only',
].sort();

/** Hosts that print nothing; the gateway answers at its far addresses too. */
const OTHERS = [
  ...['14', '30', '31', '32', '33', '34', '35', '36', '44', '254'].map((last) => `192.0.2.${last}`),
  '198.51.100.1',
  '198.51.100.5',
].sort();

function names(found: readonly FoundPrinter[]): readonly string[] {
  const called = (name: string | null): string => name?.replace(/^twin-[ab]$/, 'twin') ?? 'null';
  return found.map(({ address, name }) => `${address.replace(/^fe80:.*/, 'fe80')} ${called(name)}`).sort();
}

describeWithPeers(
  'the lab: 27 hosts of which 21 are printers, two subnets',
  [...AVAHI_NEEDS, 'nft', 'snmpd', 'ippeveprinter', 'sysctl', 'setpriv'],
  () => {
    let bridge: Bridge;
    let lab: SweepLab;
    let folder = '';
    let document: SweepDocument;
    let complaints = '';

    const at = (address: string): FoundPrinter | undefined => document.found.find((one) => one.address === address);
    const other = (address: string): string => document.others.find((one) => one.address === address)?.what ?? '';

    beforeAll(async () => {
      folder = mkdtempSync(join(tmpdir(), 'outfeed-lab-'));
      chmodSync(folder, 0o755);
      bridge = makeBridge();
      lab = new SweepLab(bridge, folder);
      await lab.build();
      const { out, err } = await lab.sweep(...RANGES, '--json');
      document = JSON.parse(out) as SweepDocument;
      complaints = err;
    }, 90_000);
    afterAll(() => {
      bridge?.close();
      rmSync(folder, { recursive: true, force: true });
    });

    test('every printer, each once, and nothing that is none', () => {
      expect(names(document.found)).toEqual(PRINTERS);
      expect(document.others.map(({ address }) => address).sort()).toEqual(OTHERS);
      expect(sweepSchema.safeParse(document).error).toBeUndefined();
    });

    test('not a word beside the document, no warning of the runtime either', () => {
      expect(complaints).toBe('');
      // Two hosts have 192.0.2.18: whether both were seen is up to whose answer the kernel took.
      expect(document.problems.filter((problem) => !/^Two devices may .* 192\.0\.2\.18: /.test(problem))).toEqual([]);
      expect(document.liveness).toEqual(['neighbour-table', 'tcp']);
    });

    test('says of each by what it was found', () => {
      expect(at('192.0.2.10')?.foundBy).toEqual(['snmp', 'neighbour']);
      expect(at('192.0.2.11')?.foundBy).toEqual(['ipp', 'tcp', 'neighbour']);
      expect(at('192.0.2.12')).toMatchObject({ ports: [9100], foundBy: ['tcp', 'neighbour'] });
      expect(at('192.0.2.41')).toMatchObject({ uuid: uuidAt(41), foundBy: ['ws-discovery', 'neighbour'] });
      expect(at('192.0.2.42')).toMatchObject({ uuid: uuidAt(42), dnsSd: true, model: 'Curlew 60' });
      expect(at('192.0.2.43')?.foundBy).toContain('dns-sd');
      expect(at('198.51.100.2')?.foundBy).toEqual(['snmp', 'ipp', 'tcp']);
    });

    test('one device at two addresses is one; several printers at one address are several', () => {
      expect(at('192.0.2.16')?.alsoAt).toEqual(['192.0.2.17']);
      const server = document.found.filter(({ address }) => address === '192.0.2.20');
      expect(server.map(({ ipp }) => ipp)).toEqual(
        ['cellar', 'loft', 'porch'].map((name) => `ipp://192.0.2.20:631/printers/${name}`),
      );
      const ports = document.found.filter(({ address }) => address === '192.0.2.21');
      expect(ports.map(({ deviceIndex, serial }) => [deviceIndex, serial])).toEqual([
        [1, 'P3-000001'],
        [2, 'P3-000002'],
        [3, 'P3-000003'],
      ]);
    });

    test('self-assigned addresses are marked; a printer that shows no path is a candidate', () => {
      const marked = document.found.filter(({ selfAssigned }) => selfAssigned === true);
      expect(names(marked)).toEqual(['169.254.7.7 Lost one', 'fe80 six-only']);
      const candidates = document.found.filter(({ candidate }) => candidate === true);
      expect(candidates.map(({ address }) => address)).toEqual(['192.0.2.40']);
    });

    test('says why a host is no printer', () => {
      expect(other('192.0.2.30')).toMatch(/answers SNMP, not a printer "Dunlin 24-port switch"/);
      expect(other('192.0.2.31')).toMatch(/Dunlin file server.*no Printer-MIB rows.*open: 80, 9100/);
      expect(other('192.0.2.34')).toMatch(/is there, but answers nothing/);
      expect(other('192.0.2.35')).toMatch(/neither SNMP nor a print port \(open: 80, 443\)/);
    });

    test('as an ordinary user, without the right to administer the network', async () => {
      // An old row speaks for nobody, and this pace does not wait for the kernel to ask again.
      bridge.run(bridge.asker, 'ip', 'neigh', 'flush', 'all');
      const through = ['setpriv', '--reuid=65534', '--regid=65534', '--clear-groups', '--inh-caps=-all'];
      const { out } = await lab.sweepAs(through, '192.0.2.8/29', '192.0.2.32/29', '--json', '--pace', 'brisk');
      const swept = JSON.parse(out) as SweepDocument;
      expect(swept.liveness).toEqual(['neighbour-table']);
      expect(names(swept.found)).toEqual(expect.arrayContaining(['192.0.2.10 snmp-only', '192.0.2.12 null']));
      expect(swept.others.map(({ address }) => address)).toEqual(expect.arrayContaining(['192.0.2.33', '192.0.2.34']));
    });

    test('Ctrl-C ends it within a second, with what was found, in one document', async () => {
      const through = ['timeout', '-s', 'INT', '--foreground', '8'];
      const { out } = await lab.sweepAs(through, ...RANGES, '10.9.0.0/22', '--json', '--pace', 'gentle');
      const swept = JSON.parse(out) as SweepDocument;
      expect(swept.problems.at(-1)).toMatch(/^Stopped before the end: \d+ of 1,?\d+ addresses were tried\.$/);
      expect(swept.found.length).toBeGreaterThan(0);
      // A program that has not ended two seconds after the signal is killed by it, and its document is lost.
    });

    test('the same with five packets in a hundred lost, in each direction of each host', async () => {
      lab.lose();
      const { out } = await lab.sweep(...RANGES, '--json');
      const swept = JSON.parse(out) as SweepDocument;
      expect(names(swept.found)).toEqual(PRINTERS);
      expect(swept.others.map(({ address }) => address).sort()).toEqual(OTHERS);
    }, 60_000);

    test('no octet came to a raw or LPD port in all of this, nothing was written, no job made', async () => {
      expect(await lab.reached()).toMatchObject({ printOctets: 0, writes: 0, jobs: 0 });
    });
  },
);

import { getEventListeners } from 'node:events';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { OFFICE_PORTS, type Office, startOffice } from '../../src/demo/office.js';
import { startDevice } from '../../src/demo/running.js';
import type { SweepDocument } from '../../src/model/sweep.js';
import { createSystemNet } from '../../src/net/system-net.js';
import type { SweepOptions, SweepPorts } from '../../src/sweep/options.js';
import { PACES } from '../../src/sweep/pace.js';
import { parseRanges } from '../../src/sweep/ranges.js';
import { sweep } from '../../src/sweep/sweep.js';
import { netWith } from '../probes/net-stand-in.js';

const PREFIX = '127.34.77';
const PORTS: SweepPorts = {
  ipp: [OFFICE_PORTS.ipp],
  print: [OFFICE_PORTS.raw, OFFICE_PORTS.lpd],
  web: [80, 443],
  snmp: [OFFICE_PORTS.snmp],
};

function options(range: string, own: Partial<SweepOptions> = {}): SweepOptions {
  return {
    plan: parseRanges([range], { yesLarge: false, allowPublic: false }),
    ports: PORTS,
    known: [],
    credentials: [{ version: '2c', community: 'public', label: 'community "public"' }],
    retries: 1,
    pace: PACES.steady,
    listenMs: 0,
    remarks: ['A remark.'],
    ...own,
  };
}

describe('a sweep of the made-up office on loopback', () => {
  let office: Office;
  let document: SweepDocument;
  const seen: string[] = [];

  beforeAll(async () => {
    office = await startOffice({ prefix: PREFIX });
    const onFound = (printer: { address: string }): unknown => seen.push(printer.address);
    document = await sweep(options(`${PREFIX}.0/24`, { onFound }), createSystemNet());
  }, 60_000);
  afterAll(() => office?.close());

  test('finds every printer that answers anything, and tells who it is', () => {
    const expected = office.devices.filter((device) => device.kind === 'printer');
    const answering = expected.filter((device) => device.snmpPort !== null || device.ippPort !== null);
    const found = new Map(document.found.map((printer) => [printer.address, printer]));
    for (const device of answering) expect(found.get(device.address), device.name).toBeDefined();
    expect(found.get(office.device('front-desk').address)).toMatchObject({
      name: 'front-desk',
      snmp: '2c',
      dnsSd: false,
      foundBy: ['snmp', 'ipp', 'tcp'],
    });
    expect(found.get(office.device('front-desk').address)?.serial).toBeTruthy();
  });

  test('keeps the file server and the print server apart', () => {
    const others = new Map(document.others.map((other) => [other.address, other.what]));
    for (const device of office.devices.filter((one) => one.kind !== 'printer')) {
      expect(
        document.found.some((printer) => printer.address === device.address),
        device.name,
      ).toBe(false);
      expect(others.get(device.address), device.name).toMatch(/not a printer/);
    }
  });

  test('says what it did, and tells each printer as it is found', () => {
    expect(document).toMatchObject({ schema: 'outfeed.sweep/1', ranges: [`${PREFIX}.0/24`], addressesTried: 254 });
    expect(document.problems).toEqual(['A remark.']);
    expect(new Set(seen)).toEqual(new Set(document.found.flatMap((printer) => [printer.address, ...printer.alsoAt])));
  });

  test('sends no byte to a raw or LPD port, and writes nothing', () => {
    for (const device of office.devices) {
      expect(device.received(), device.name).toMatchObject({ rawOctets: 0, lpdOctets: 0, snmpWrites: 0, ippJobs: 0 });
    }
  });

  test('asks a printer only who it is: its paper, supplies and alerts are left alone', () => {
    for (const { name, address, snmpPort, received } of office.devices) {
      const isFound = document.found.some((printer) => printer.address === address);
      // Is there an agent; the scalars; three questions for the tables and one more for the end of a long one.
      if (isFound && snmpPort !== null) expect(received().snmpRequests, name).toBeLessThanOrEqual(6);
    }
  });

  test('knows the ports of a configured printer that nobody else uses', async () => {
    const desk = office.device('front-desk');
    const known = [
      { address: desk.address, printPorts: [OFFICE_PORTS.raw], snmpPort: OFFICE_PORTS.snmp, ippUri: desk.ippUri ?? '' },
    ];
    const ports = { ipp: [631], print: [515], web: [80], snmp: [161] };
    const found = await sweep(options(desk.address, { known, ports }), createSystemNet());
    expect(found.found).toMatchObject([{ address: desk.address, name: 'front-desk', snmp: '2c' }]);
  });
});

test('an agent that shows a printer by its display alone is read in full before it counts as none', async () => {
  const omit = ['hrDeviceTable', 'hrPrinterTable', 'prtGeneralTable', 'prtInputTable', 'prtOutputTable'];
  omit.push('prtMarkerTable', 'prtMarkerSuppliesTable');
  const device = await startDevice(
    { name: 'odd', ipp: false, raw: 'closed', snmp: { omit } },
    { address: '127.34.76.9' },
  );
  try {
    const ports = { ipp: [631], print: [9100], web: [80], snmp: [device.snmpPort ?? 0] };
    const { found } = await sweep(options('127.34.76.9', { ports }), createSystemNet());
    expect(found).toMatchObject([{ address: '127.34.76.9', snmp: '2c' }]);
  } finally {
    await device.close();
  }
});

test('stops at once with what it has when it is told to', async () => {
  const stop = new AbortController();
  const tried: number[] = [];
  const slow = { ...createSystemNet(), tcpConnect: () => new Promise<never>(() => undefined) };
  setTimeout(() => stop.abort(), 200);
  const started = performance.now();
  const document = await sweep(
    options('127.34.78.0/24', { signal: stop.signal, onProgress: ({ done }) => tried.push(done) }),
    slow,
  );
  expect(performance.now() - started).toBeLessThan(1200);
  expect(document.found).toEqual([]);
  expect(document.problems.at(-1)).toMatch(/^Stopped before the end: 0 of 254 addresses were tried\.$/);
});

test('an empty range is no error', async () => {
  const document = await sweep(options('127.34.79.0/30', { remarks: [] }), createSystemNet());
  expect(document).toMatchObject({ found: [], others: [], problems: [], addressesTried: 2 });
});

test('leaves no listener at the signal, and no warning of one, however often it runs', async () => {
  const warnings: string[] = [];
  const hear = (warning: Error): unknown => warnings.push(warning.name);
  process.on('warning', hear);
  const stop = new AbortController();
  for (let round = 0; round < 15; round += 1) {
    await sweep(
      options('127.34.76.0/30', { signal: stop.signal, pace: { ...PACES.brisk, timeoutMs: 30 } }),
      createSystemNet(),
    );
  }
  await new Promise((resolve) => setTimeout(resolve, 20));
  process.off('warning', hear);
  expect(getEventListeners(stop.signal, 'abort')).toEqual([]);
  expect(warnings).toEqual([]);
});

test('on a link that loses something, whoever gave no sign from behind a proxy (RFC 1027) is asked again', async () => {
  const asked = new Set<string>();
  const calls = new Map<string, number>();
  const net = netWith({
    monotonic: () => performance.now(),
    subnets: async () => [{ interface: 'e0', address: '192.0.2.1', cidr: '192.0.2.0/24' }],
    neighbours: async () => [],
    rouser: () => ({ rouse: (address) => void asked.add(address), close: () => undefined }),
    resolved: async () => new Map([...asked].map((address) => [address, '02:00:00:00:00:77'])),
    tcpConnect: async (host, port) => {
      const before = calls.get(`${host} ${port}`) ?? 0;
      calls.set(`${host} ${port}`, before + 1);
      // One answers to the system's second call, after a second; of another the first answers are lost.
      const answers = port === OFFICE_PORTS.raw && (host === '192.0.2.12' || (host === '192.0.2.19' && before > 0));
      return answers
        ? { outcome: 'answered', value: 'open', tookMs: 1010 }
        : { outcome: 'silent', value: 'ETIMEDOUT', tookMs: 1200 };
    },
  });
  const { found } = await sweep(options('192.0.2.10-30', { credentials: [] }), net);
  expect(found.map(({ address }) => address)).toEqual(['192.0.2.12', '192.0.2.19']);
  expect(calls.get(`192.0.2.30 ${OFFICE_PORTS.raw}`)).toBe(2);
});

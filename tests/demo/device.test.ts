import { connect } from 'node:net';
import { describe, expect, test } from 'vitest';
import type { ScenarioInput } from '../../src/demo/device.js';
import { startOffice } from '../../src/demo/office.js';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import { describeWithPeers } from '../peers/peer.js';
import { ask } from './peer-tools.js';

async function withDevice(input: ScenarioInput, body: (device: RunningDevice) => Promise<void>): Promise<void> {
  const device = await startDevice(input);
  try {
    await body(device);
  } finally {
    await device.close();
  }
}

const CHART_ROOM: ScenarioInput = {
  name: 'chart-room',
  model: 'Sandpiper 300 mono',
  serial: 'SP300-1164',
  trays: [{ name: 'Tray 1', capacity: 250, level: 0 }],
  supplies: [
    { type: 'tonerCartridge', colour: 'black', capacity: 6000, level: 4200 },
    { name: 'drum', type: 'opc', capacity: 60000, level: -3 },
  ],
  alerts: [{ group: 'input', index: 1, code: 'subunitEmpty', description: 'Tray 1 is empty' }],
};

describeWithPeers(
  'a made-up printer asked with snmp tools',
  ['snmpget', 'snmpset', 'snmpbulkget', 'snmpbulkwalk', 'snmpwalk'],
  () => {
    const at = (device: RunningDevice) => `127.0.0.1:${device.snmpPort}`;
    const flags = ['-r1', '-t2', '-Onq', '-c', 'public'];

    test('gives the values of its file', () =>
      withDevice(CHART_ROOM, async (device) => {
        // OIDs: RFC 3805 section 6 and RFC 2790 section 4, numbers from the same modules.
        const expected = {
          '1.3.6.1.2.1.1.5.0': '"chart-room"',
          '1.3.6.1.2.1.25.3.2.1.5.1': '5', // hrDeviceStatus down
          '1.3.6.1.2.1.25.3.5.1.1.1': '1', // hrPrinterStatus other
          '1.3.6.1.2.1.25.3.5.1.2.1': '"40 04 "', // noPaper is bit 1, inputTrayEmpty bit 13
          '1.3.6.1.2.1.43.5.1.1.17.1': '"SP300-1164"',
          '1.3.6.1.2.1.43.8.2.1.10.1.1': '0', // prtInputCurrentLevel
          '1.3.6.1.2.1.43.8.2.1.11.1.1': '19', // prtInputStatus: unavailable because broken 3 + critical 16
          '1.3.6.1.2.1.43.11.1.1.9.1.1': '4200', // prtMarkerSuppliesLevel
          '1.3.6.1.2.1.43.11.1.1.9.1.2': '-3',
          '1.3.6.1.2.1.43.18.1.1.7.1.1': '13', // prtAlertCode subunitEmpty
        };
        const { stdout } = await ask('snmpget', ['-v2c', ...flags, '-Ox', at(device), ...Object.keys(expected)]);
        const lines = stdout
          .trim()
          .split('\n')
          .map((line) => line.replace(/^\./, ''));
        expect(lines.map((line) => line.split(' ')[0])).toEqual(Object.keys(expected));
        const hex = (text: string) =>
          `"${[...Buffer.from(text)].map((octet) => octet.toString(16).padStart(2, '0').toUpperCase()).join(' ')} "`;
        lines.forEach((line, position) => {
          const value = Object.values(expected)[position] ?? '';
          const wanted = /^"[^ ]*"$/.test(value) ? hex(value.slice(1, -1)) : value;
          expect(line.slice(line.indexOf(' ') + 1)).toBe(wanted);
        });
      }));

    test('walks to the same end by GETNEXT and GETBULK, in both versions', () =>
      withDevice(CHART_ROOM, async (device) => {
        const walk = async (tool: string, version: string, ...more: string[]) => {
          const { stdout } = await ask(tool, [version, ...flags, ...more, at(device), '1.3.6.1.2.1.43']);
          return stdout.split('\n').filter((line) => !/No more variables|^End of MIB|^$/.test(line));
        };
        const reference = await walk('snmpwalk', '-v1');
        expect(reference.length).toBeGreaterThan(90);
        expect(await walk('snmpwalk', '-v2c')).toEqual(reference);
        expect(await walk('snmpbulkwalk', '-v2c', '-Cr50')).toEqual(reference);
        expect(device.received()).toMatchObject({ snmpWrites: 0, rawConnections: 0 });
      }));

    test('stays silent for another community', () =>
      withDevice({ name: 'shy', snmp: { community: 'annex' } }, async (device) => {
        const { code, stderr } = await ask('snmpget', [
          '-v2c',
          '-r0',
          '-t0.5',
          '-c',
          'public',
          at(device),
          '1.3.6.1.2.1.1.5.0',
        ]);
        expect(code).not.toBe(0);
        expect(stderr).toMatch(/Timeout/);
        expect(device.received().snmpRequests).toBe(0);
      }));

    test('keeps a GETBULK within its datagram and its cap', () =>
      withDevice({ name: 'capped', snmp: { maxBytes: 484, bulkCap: 7 } }, async (device) => {
        const { stdout } = await ask('snmpbulkget', ['-v2c', ...flags, '-Cr40', at(device), '1.3.6.1.2.1.43']);
        expect(stdout.trim().split('\n')).toHaveLength(7);
      }));

    test('refuses to be written to, and counts it', () =>
      withDevice({ name: 'kept' }, async (device) => {
        const { code, stderr } = await ask('snmpset', ['-v2c', ...flags, at(device), '1.3.6.1.2.1.1.5.0', 's', 'x']);
        expect(code).not.toBe(0);
        expect(stderr).toMatch(/notWritable/);
        expect(device.received().snmpWrites).toBe(1);
      }));

    test('takes objects by hand, and leaves others out', () =>
      withDevice(
        {
          name: 'odd',
          snmp: {
            objects: {
              'prtMarkerSuppliesLevel.1.1': -2,
              '1.3.6.1.4.1.32473.9.1.0': { type: 'OctetString', hex: 'ff00' },
              'hrPrinterDetectedErrorState.1': { hex: '80' },
              'sysLocation.0': null,
            },
            omit: ['prtCoverTable'],
          },
        },
        async (device) => {
          const oids = ['1.3.6.1.2.1.43.11.1.1.9.1.1', '1.3.6.1.4.1.32473.9.1.0', '1.3.6.1.2.1.25.3.5.1.2.1'];
          const gone = ['1.3.6.1.2.1.1.6.0', '1.3.6.1.2.1.43.6.1.1.3.1.1'];
          const { stdout } = await ask('snmpget', ['-v2c', ...flags, at(device), ...oids, ...gone]);
          const values = stdout
            .trim()
            .split('\n')
            .map((line) => line.slice(line.indexOf(' ') + 1));
          expect(values.slice(0, 3)).toEqual(['-2', '"FF 00 "', '"80 "']);
          expect(values.slice(3).every((value) => /^No Such (Object|Instance)/.test(value))).toBe(true);
        },
      ));
  },
);

describeWithPeers('a made-up printer asked with ipptool', ['ipptool', 'timeout'], () => {
  const tool = (uri: string, ...rest: string[]) =>
    ask('timeout', ['10', 'ipptool', '-T', '5', ...rest.slice(0, -1), uri, rest.at(-1) ?? '']);

  test.each(['get-printer-attributes.test', 'get-jobs.test', 'get-completed-jobs.test'])('passes %s', (file) =>
    withDevice({ name: 'well' }, async (device) => {
      const { stdout } = await tool(device.ippUri ?? '', '-t', file);
      expect(stdout).toMatch(/\[PASS\]/);
      expect(stdout).not.toMatch(/\[FAIL\]/);
    }),
  );

  test('gives the state and the supplies of its file', () =>
    withDevice(CHART_ROOM, async (device) => {
      const { stdout } = await tool(device.ippUri ?? '', '-tv', 'get-printer-attributes.test');
      expect(stdout).toMatch(/\[PASS\]/);
      expect(stdout).toMatch(/printer-state \(enum\) = stopped/);
      expect(stdout).toMatch(/printer-state-reasons \(keyword\) = media-empty-error/);
      expect(stdout).toMatch(/marker-levels \(1setOf integer\) = 70,-3/);
      expect(stdout).toMatch(/printer-alert \(octetString\) = code=subunitEmpty;index=1;severity=critical;/);
      expect(stdout).toMatch(/media-col-default \(collection\) = \{media-size=\{x-dimension=21000 y-dimension=29700\}/);
    }));

  test('counts a job and prints nothing; refuses one when it takes none', async () => {
    await withDevice({ name: 'well' }, async (device) => {
      await ask('timeout', ['10', 'ipptool', '-t', '-f', '/dev/null', device.ippUri ?? '', 'print-job.test']);
      expect(device.received().ippJobs).toBe(1);
    });
    await withDevice({ name: 'closed', ipp: { accepting: false } }, async (device) => {
      const { stdout } = await ask('timeout', [
        '10',
        'ipptool',
        '-tv',
        '-f',
        '/dev/null',
        device.ippUri ?? '',
        'validate-job.test',
      ]);
      expect(stdout).toMatch(/server-error-not-accepting-jobs/);
      expect(device.received().ippJobs).toBe(0);
    });
  });

  test('speaks of its queues on the print server', async () => {
    const office = await startOffice({ prefix: '127.77.11', only: ['print-server', 'dispatch', 'survey'] });
    try {
      const [dispatch = ''] = office.device('dispatch').queues;
      const paused = await tool(dispatch, '-tv', 'get-printer-attributes.test');
      expect(paused.stdout).toMatch(/printer-state \(enum\) = stopped/);
      expect(paused.stdout).toMatch(/device-uri \(uri\) = ipp:\/\/127\.77\.11\.38:16310\/ipp\/print/);
      const [survey = ''] = office.device('survey').queues;
      const jobs = await tool(survey, '-tv', 'get-jobs.test');
      expect(jobs.stdout).toMatch(/job-state \(enum\) = pending-held/);
    } finally {
      await office.close();
    }
  });
});

describe('ports of a made-up printer', () => {
  const open = (port: number | null) =>
    new Promise<string>((resolve) => {
      const socket = connect({ host: '127.0.0.1', port: port ?? 0 });
      socket
        .once('connect', () => resolve('open'))
        .once('error', (error: NodeJS.ErrnoException) => resolve(error.code ?? ''));
      socket.once('close', () => socket.destroy());
      setTimeout(() => socket.destroy(), 200).unref();
    });

  test('raw printing: open, busy and closed', async () => {
    await withDevice({ name: 'a' }, async (device) => {
      expect(await open(device.rawPort)).toBe('open');
      expect(device.received()).toMatchObject({ rawConnections: 1, rawOctets: 0 });
    });
    await withDevice({ name: 'b', raw: 'busy' }, async (device) =>
      expect(await open(device.rawPort)).toBe('ECONNREFUSED'),
    );
    await withDevice({ name: 'c', raw: 'closed' }, async (device) => expect(device.rawPort).toBeNull());
  });

  test('LPD tells the state of its queue (RFC 1179 section 5.3)', () =>
    withDevice({ name: 'old', lpd: 'open' }, async (device) => {
      const text = await new Promise<string>((resolve) => {
        let got = '';
        const socket = connect({ host: '127.0.0.1', port: device.lpdPort ?? 0 }, () => socket.write('\u0003queue\n'));
        socket.on('data', (chunk) => (got += chunk.toString('utf8'))).on('close', () => resolve(got));
      });
      expect(text).toBe('old is ready\nno entries\n');
    }));
});

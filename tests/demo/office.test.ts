import { createServer } from 'node:net';
import { afterEach, describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { type Office, startOffice } from '../../src/demo/office.js';
import { startDevice } from '../../src/demo/running.js';
import { ProgramProblem } from '../../src/model/problem.js';

const open: Office[] = [];
const started = async (...options: Parameters<typeof startOffice>) => {
  const office = await startOffice(...options);
  open.push(office);
  return office;
};
afterEach(async () => {
  await Promise.all(open.splice(0).map((office) => office.close()));
});

describe('the office', () => {
  test('opens whole, and its configuration tells where everything listens', async () => {
    const office = await started({ prefix: '127.77.12' });
    expect(office.devices.length).toBeGreaterThanOrEqual(14);
    const config = parse(office.configText) as {
      printers: { name: string; address: string; ippUri?: string; serial?: string }[];
    };
    const listed = new Map(config.printers.map((printer) => [printer.name, printer]));
    expect(listed.get('front-desk')).toMatchObject({
      address: '127.77.12.21',
      snmpPort: 16161,
      ippUri: 'ipp://127.77.12.21:16310/ipp/print',
      queues: ['ipp://127.77.12.5:16310/printers/front-desk'],
    });
    expect(listed.get('accounts')?.serial).toBe('SP300-1151');
    expect(listed.has('lighthouse')).toBe(false);
    expect(listed.has('tide-store')).toBe(false);
    expect(office.device('front-desk').printPorts).toEqual([16310, 9100]);
    expect(office.device('chart-room').expect).toMatchObject({ layer: 'media', cause: 'media-empty' });
  });

  test('two can stand side by side, on other addresses or on other ports', async () => {
    const [one, two, three] = await Promise.all([
      started({ prefix: '127.77.13', only: ['front-desk', 'print-server'] }),
      started({ prefix: '127.77.14', only: ['front-desk', 'print-server'] }),
      started({
        prefix: '127.77.13',
        only: ['front-desk', 'print-server'],
        basePorts: { snmp: 0, ipp: 0, raw: 0, lpd: 0 },
      }),
    ]);
    const uris = [one, two, three].map((office) => office.device('front-desk').ippUri);
    expect(new Set(uris).size).toBe(3);
    const [entry] = (parse(three.configText) as { printers: { rawPort?: number }[] }).printers;
    expect(entry?.rawPort).toBe(three.device('front-desk').rawPort);
  });

  test('close frees all, and the same office opens again', async () => {
    const options = { prefix: '127.77.15', only: ['front-desk', 'tide-store', 'print-server'] };
    for (let turn = 0; turn < 3; turn++) await (await startOffice(options)).close();
    const office = await started(options);
    expect(office.devices).toHaveLength(3);
  });

  test('a taken port is told in one sentence, and nothing stays open', async () => {
    const taken = createServer();
    await new Promise<void>((resolve) => taken.listen(9100, '127.77.16.21', resolve));
    const options = { prefix: '127.77.16', only: ['front-desk', 'drawing-room'] };
    const failure = await startOffice(options).catch((error: unknown) => error);
    expect(failure).toBeInstanceOf(ProgramProblem);
    expect((failure as Error).message).toMatch(/^Port 9100 at 127\.77\.16\.21 is taken/);
    await new Promise((resolve) => taken.close(resolve));
    await started(options);
  });

  test('an address that this system does not have', async () => {
    await expect(startOffice({ prefix: '192.0.2', only: ['front-desk'] })).rejects.toThrow(
      /no loopback address 192\.0\.2\.21/,
    );
    await expect(startDevice({ name: 'x' }, { address: '192.0.2.1' })).rejects.toThrow(/EADDRNOTAVAIL/);
  });
});

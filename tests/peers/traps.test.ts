import { execFile } from 'node:child_process';
import { createSocket } from 'node:dgram';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { promisify } from 'node:util';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { listenForTraps, type Notification, type TrapListener } from '../../src/daemon/outside/traps.js';
import { keptLog } from '../daemon/worlds.js';
import { describeWithPeers } from './peer.js';

const run = promisify(execFile);
const ADDRESS = '127.32.40.1';
/** printerV2Alert (RFC 3805, Printer-MIB: printerV2AlertPrefix 1.3.6.1.2.1.43.18.2.0.1). */
const PRINTER_ALERT = '1.3.6.1.2.1.43.18.2.0.1';
/** prtAlertIndex (RFC 3805). */
const ALERT_INDEX = ['1.3.6.1.2.1.43.18.1.1.1.1.1', 'i', '7'];

describeWithPeers('SNMP notifications sent by the C tools', ['snmptrap', 'snmpinform'], () => {
  let heard: Notification[];
  let listener: TrapListener;
  let folder: string;
  beforeEach(async () => {
    heard = [];
    folder = mkdtempSync(join(tmpdir(), 'outfeed-traps-'));
    listener = await listenForTraps({
      address: ADDRESS,
      port: 0,
      credentials: [
        {
          version: '3',
          user: 'reader',
          level: 'authPriv',
          authProtocol: 'SHA-256',
          authKey: 'authentication',
          privProtocol: 'AES-128',
          privKey: 'privacy-of-it',
          label: 'user reader',
        },
      ],
      heard: (notification) => heard.push(notification),
      log: keptLog(),
    });
  });
  afterEach(() => {
    listener.close();
    rmSync(folder, { recursive: true, force: true });
  });

  const env = () => ({ ...process.env, MIBS: '', SNMP_PERSISTENT_DIR: folder });
  const to = () => `udp:${ADDRESS}:${listener.port}`;
  const untilHeard = async (count = 1) => {
    for (let i = 0; i < 100 && heard.length < count; i++) await delay(50);
    return heard;
  };
  const v3 = (user = 'reader', key = 'authentication') => [
    ...['-v3', '-u', user, '-l', 'authPriv', '-a', 'SHA-256', '-A', key, '-x', 'AES', '-X', 'privacy-of-it'],
  ];

  test('a v2c trap of a printer', async () => {
    await run('snmptrap', ['-v2c', '-c', 'anything', to(), '', PRINTER_ALERT, ...ALERT_INDEX], { env: env() });
    expect(await untilHeard()).toMatchObject([{ kind: 'trap', what: PRINTER_ALERT }]);
  });

  test('a v1 trap, with the agent that it names', async () => {
    const args = ['-v1', '-c', 'public', to(), '1.3.6.1.2.1.43.18.2', '192.0.2.21', '6', '1', '100', ...ALERT_INDEX];
    await run('snmptrap', args, { env: env() });
    // RFC 3584 section 3.1: enterprise, then 0, then the specific number.
    expect(await untilHeard()).toEqual([{ address: '192.0.2.21', kind: 'trap', what: PRINTER_ALERT }]);
  });

  test('a v1 generic trap: coldStart', async () => {
    const args = ['-v1', '-c', 'public', to(), '1.3.6.1.4.1.99999', '0.0.0.0', '0', '0', '1'];
    await run('snmptrap', args, { env: env() });
    // RFC 3584 section 3.1: snmpTraps.1.
    expect(await untilHeard()).toMatchObject([
      { address: expect.stringMatching(/^127\./), what: '1.3.6.1.6.3.1.1.5.1' },
    ]);
  });

  test('a v2c inform is acknowledged', async () => {
    const args = ['-v2c', '-c', 'public', '-r', '0', '-t', '5', to(), '', PRINTER_ALERT, ...ALERT_INDEX];
    await run('snmpinform', args, { env: env() });
    expect(await untilHeard()).toMatchObject([{ kind: 'inform', what: PRINTER_ALERT }]);
  });

  test('a v3 trap, authentic and private', async () => {
    const args = [...v3(), '-e', '0x80001f8804746573740001', to(), '', PRINTER_ALERT, ...ALERT_INDEX];
    await run('snmptrap', args, { env: env() });
    expect(await untilHeard()).toMatchObject([{ kind: 'trap', what: PRINTER_ALERT }]);
  });

  test('a v3 inform finds out who listens and is acknowledged', async () => {
    await run('snmpinform', [...v3(), '-r', '1', '-t', '5', to(), '', PRINTER_ALERT, ...ALERT_INDEX], { env: env() });
    expect(await untilHeard()).toMatchObject([{ kind: 'inform', what: PRINTER_ALERT }]);
  });

  test('a v3 notification of a stranger, or with a wrong key, is not heard', async () => {
    for (const credentials of [v3('stranger'), v3('reader', 'another-key')]) {
      const args = [...credentials, '-r', '0', '-t', '1', to(), '', PRINTER_ALERT, ...ALERT_INDEX];
      await run('snmpinform', args, { env: env() }).catch(() => undefined);
    }
    expect(heard).toEqual([]);
  });

  test('garbage and storms neither stop it nor are heard', async () => {
    const socket = createSocket('udp4');
    const send = (bytes: Buffer) =>
      new Promise((resolve) => socket.send(bytes, listener.port, ADDRESS, () => resolve(undefined)));
    let seed = 7;
    const next = () => {
      seed = (Math.imul(seed, 1_103_515_245) + 12_345) >>> 0;
      return seed >>> 16;
    };
    for (let i = 0; i < 150; i++) {
      const bytes = Buffer.from(Array.from({ length: next() % 200 }, () => next() & 255));
      if (i % 3 === 0 && bytes.length > 4) bytes.set([0x30, 0x82, 0x00, bytes.length - 4]);
      await send(bytes);
    }
    await delay(1_200);
    expect(listener.refused()).toBeGreaterThan(100);
    for (let i = 0; i < 1_000; i++) await send(Buffer.from('3000', 'hex'));
    await delay(1_200);
    socket.close();
    expect(heard).toEqual([]);
    await run('snmptrap', ['-v2c', '-c', 'x', to(), '', PRINTER_ALERT], { env: env() });
    expect(await untilHeard()).toHaveLength(1);
  });
});

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { PrinterDocument } from '../../src/model/printer.js';
import { printerObjects } from '../net/snmp-printer.js';
import { describeWithPeers } from '../peers/peer.js';
import { type Snmpd, startSnmpd } from '../peers/snmpd.js';
import { outfeed } from './captured-io.js';

const AUTH_KEY = 'open sesame one';
const PRIV_KEY = 'open sesame two';

describeWithPeers('SNMP credentials from the command line to the system’s agent', ['snmpd', 'snmpgetnext'], () => {
  let agent: Snmpd;
  let folder: string;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'outfeed-v3-'));
    writeFileSync(join(folder, 'auth'), `${AUTH_KEY}\n`);
    writeFileSync(join(folder, 'priv'), `${PRIV_KEY}\n`);
    agent = await startSnmpd('127.35.4.1', printerObjects(), [
      'rocommunity public',
      'rocommunity harbour',
      `createUser reader SHA-256 "${AUTH_KEY}" AES "${PRIV_KEY}"`,
      'rouser reader priv',
    ]);
    writeFileSync(
      join(folder, 'outfeed.yaml'),
      [
        'snmp:',
        '  - { version: 2c, community: wrong-word }',
        '  - { version: 3, user: reader, level: authPriv, authKeyFile: auth, privKeyEnv: PRIV }',
        `printers: [{ name: quay, address: ${agent.address}, snmpPort: ${agent.port} }]`,
        '',
      ].join('\n'),
    );
  });
  afterAll(async () => {
    await agent.stop();
    rmSync(folder, { recursive: true, force: true });
  });

  async function serial(argv: readonly string[], env: Record<string, string> = {}): Promise<unknown> {
    const where = ['--snmp-port', String(agent.port), '--timeout', '2000', '--json'];
    const { out } = await outfeed(['show', ...argv, ...where], { cwd: folder, env });
    return (JSON.parse(out) as PrinterDocument).identity.serial;
  }

  test('a community, a v3 user with key files, with keys from the environment, and the configuration', async () => {
    const byCommunity = await serial([agent.address, '--community', 'harbour', '--snmp-version', '2c']);
    expect(byCommunity).toEqual(expect.any(String));
    const files = ['--auth-key-file', 'auth', '--priv-key-file', 'priv'];
    expect(await serial([agent.address, '--snmp-user', 'reader', ...files])).toBe(byCommunity);
    const keys = { OUTFEED_AUTH_KEY: AUTH_KEY, OUTFEED_PRIV_KEY: PRIV_KEY };
    expect(await serial([agent.address, '--snmp-user', 'reader', '--auth-protocol', 'sha256'], keys)).toBe(byCommunity);
    expect(await serial([agent.address], { OUTFEED_COMMUNITY: 'harbour' })).toBe(byCommunity);
    expect(await serial(['quay'], { PRIV: PRIV_KEY })).toBe(byCommunity);
  });

  test('wrong keys are told apart from silence, and no secret is told', async () => {
    writeFileSync(join(folder, 'other'), 'not the key at all\n');
    const argv = ['why', agent.address, '--snmp-port', String(agent.port), '--snmp-user', 'reader', '--json'];
    const { out } = await outfeed([...argv, '--auth-key-file', 'other', '--timeout', '2000'], { cwd: folder });
    expect(out).toContain('snmp-credentials-refused');
    expect(out).not.toContain('not the key');
  });
});

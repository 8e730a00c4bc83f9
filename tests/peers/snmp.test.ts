import { Buffer } from 'node:buffer';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Observation, SnmpSessionValue, SnmpTableValue, SnmpValue } from '../../src/model/evidence.js';
import type { Target } from '../../src/model/target.js';
import type { Net, SnmpCredential, SnmpReply } from '../../src/net/net.js';
import { SnmpFinder } from '../../src/net/snmp-finder.js';
import { openSnmp } from '../../src/net/snmp-guard.js';
import { objectNamed } from '../../src/probes/snmp/plan.js';
import { snmpProbe } from '../../src/probes/snmp/snmp-probe.js';
import { printerObjects } from '../net/snmp-printer.js';
import { describeWithPeers } from './peer.js';
import { bulkWalk, type Snmpd, startSnmpd } from './snmpd.js';

const AUTH_KEY = 'open sesame one';
const PRIV_KEY = 'open sesame two';
const AUTH = [
  ['MD5', 'MD5'],
  ['SHA-1', 'SHA'],
  ['SHA-224', 'SHA-224'],
  ['SHA-256', 'SHA-256'],
  ['SHA-384', 'SHA-384'],
  ['SHA-512', 'SHA-512'],
] as const;
const PRIV = [
  ['DES', 'DES'],
  ['AES-128', 'AES'],
  ['AES-192', 'AES-192'],
  ['AES-256', 'AES-256'],
] as const;

const net = { now: () => new Date(), monotonic: () => performance.now(), snmp: openSnmp } as unknown as Net;

function userName(...parts: readonly string[]): string {
  return parts.join('').toLowerCase().replaceAll('-', '');
}

function configuration(): string[] {
  const lines = ['rocommunity public', 'createUser plain', 'rouser plain noauth'];
  for (const [auth, spelt] of AUTH) {
    lines.push(`createUser ${userName(auth)} ${spelt} "${AUTH_KEY}"`, `rouser ${userName(auth)} auth`);
    for (const [priv, cipher] of PRIV) {
      const name = userName(auth, priv);
      lines.push(`createUser ${name} ${spelt} "${AUTH_KEY}" ${cipher} "${PRIV_KEY}"`, `rouser ${name} priv`);
    }
  }
  return lines;
}

function v3(
  user: string,
  authProtocol?: string,
  privProtocol?: string,
  keys: { auth?: string; priv?: string } = {},
): SnmpCredential {
  const level = privProtocol ? 'authPriv' : authProtocol ? 'authNoPriv' : 'noAuthNoPriv';
  return {
    version: '3',
    user,
    level,
    label: `user ${user}`,
    ...(authProtocol ? { authProtocol, authKey: keys.auth ?? AUTH_KEY } : {}),
    ...(privProtocol ? { privProtocol, privKey: keys.priv ?? PRIV_KEY } : {}),
  };
}

describeWithPeers('the system SNMP agent', ['snmpd', 'snmpbulkwalk', 'snmpgetnext'], () => {
  let agent: Snmpd;
  beforeAll(async () => {
    agent = await startSnmpd('127.32.2.1', printerObjects(), configuration());
  });
  afterAll(() => agent?.stop());

  async function ask(credential: SnmpCredential, timeoutMs = 4000): Promise<SnmpReply> {
    const client = openSnmp({ address: agent.address, port: agent.port, credential, timeoutMs, retries: 0 });
    try {
      return await client.get(['1.3.6.1.2.1.43.5.1.1.17.1']);
    } finally {
      client.close();
    }
  }

  const answered = { outcome: 'answered', varbinds: [{ type: 'OctetString', value: Buffer.from('Value 1') }] };

  describe('version 3', () => {
    test('noAuthNoPriv', async () => {
      expect(await ask(v3('plain'))).toMatchObject(answered);
    });
    test.each(AUTH)('authNoPriv with %s', async (auth) => {
      expect(await ask(v3(userName(auth), auth))).toMatchObject(answered);
    });
    const pairs = AUTH.flatMap(([auth]) => PRIV.map(([priv]) => [auth, priv] as const));
    test.each(pairs)('authPriv with %s and %s', async (auth, priv) => {
      expect(await ask(v3(userName(auth, priv), auth, priv))).toMatchObject(answered);
    });

    test('an unknown user is told by name', async () => {
      expect(await ask(v3('nobody', 'SHA-1'))).toMatchObject({ outcome: 'denied', error: 'usmStatsUnknownUserNames' });
    });
    test('a wrong authentication key', async () => {
      const reply = await ask(v3('sha1', 'SHA-1', undefined, { auth: 'quite another key' }));
      expect(reply).toMatchObject({ outcome: 'denied', error: 'usmStatsWrongDigests' });
    });
    test('the wrong authentication protocol', async () => {
      expect(await ask(v3('sha1', 'MD5'))).toMatchObject({ outcome: 'denied', error: 'usmStatsWrongDigests' });
    });
    test('a level below what the user must have', async () => {
      expect(await ask(v3('sha1'))).toMatchObject({ outcome: 'denied', error: 'authorizationError' });
    });
    test('a level that the user has no keys for', async () => {
      expect(await ask(v3('plain', 'SHA-1'))).toMatchObject({
        outcome: 'denied',
        error: 'usmStatsUnsupportedSecLevels',
      });
    });
    test('a wrong privacy key is no answer from an agent that is there', async () => {
      const reply = await ask(v3('sha1aes128', 'SHA-1', 'AES-128', { priv: 'quite another key' }), 400);
      expect(reply).toMatchObject({ outcome: 'silent', error: 'no-answer-after-discovery' });
    });
  });

  const target = (): Target => ({
    label: 'printer',
    host: agent.address,
    snmpPort: agent.port,
    printPorts: [],
    queues: [],
  });

  async function read(credential: SnmpCredential): Promise<readonly Observation[]> {
    return snmpProbe.run(target(), net, { timeoutMs: 4000, retries: 1, deadlineMs: 25_000, credentials: [credential] });
  }

  test.each<SnmpCredential>([
    { version: '1', community: 'public', label: 'community 1' },
    { version: '2c', community: 'public', label: 'community 1' },
    v3('sha256aes128', 'SHA-256', 'AES-128'),
  ])('every value of the plan equals what the system walk shows, version $version', async (credential) => {
    const walk = await bulkWalk(agent, '.1.3.6.1.2.1');
    const records = await read(credential);
    const session = records[0]?.value as SnmpSessionValue;
    expect(session.problems).toEqual([]);
    let compared = 0;
    for (const record of records.slice(1)) {
      const { rows, problems, cut } = record.value as SnmpTableValue;
      expect({ what: record.what, problems, cut, outcome: record.outcome }).toMatchObject({
        problems: [],
        outcome: 'answered',
      });
      for (const [instance, row] of Object.entries(rows))
        for (const [name, value] of Object.entries(row)) {
          const shown = walk.get(`${objectNamed(name).oid}.${instance}`);
          if (/^(sysUpTime|hrSystem|if(In|Out)|hrStorage|ifLast)/.test(name)) continue;
          expect({ name, instance, value: asShown(value, shown?.type) }).toEqual({
            name,
            instance,
            value: shown?.text.replaceAll(/\s+/g, ' ').trim(),
          });
          compared++;
        }
      expect(missing(record.what, rows, walk)).toEqual([]);
    }
    expect(compared).toBeGreaterThan(300);
  });

  test.each<SnmpCredential>([
    { version: '2c', community: 'public', label: 'community 1' },
    v3('sha512aes256', 'SHA-512', 'AES-256'),
  ])('is found among silent neighbours, version $version', async (credential) => {
    const finder = new SnmpFinder({ credentials: [credential], timeoutMs: 2000, retries: 0 });
    const found = await Promise.all([1, 2, 3].map((last) => finder.find(`127.32.2.${last}`, [agent.port])));
    finder.close();
    const last = Number(agent.address.split('.').at(-1));
    expect(found.map((one) => one !== undefined)).toEqual([1, 2, 3].map((one) => one === last));
  });

  test('a wrong community is told from an agent that is off: it tells its engine to everybody', async () => {
    const limits = { timeoutMs: 400, retries: 0, deadlineMs: 5000 };
    const credentials = [{ version: '2c', community: 'wrong', label: 'community 1' }] as const;
    const records = await snmpProbe.run(target(), net, { ...limits, credentials });
    expect(records).toHaveLength(1);
    expect(records[0]).toMatchObject({
      what: 'session',
      outcome: 'denied',
      value: {
        version: null,
        attempts: [
          { version: '2c', label: 'community 1', outcome: 'silent' },
          { version: '3', label: 'without a name', outcome: 'denied', detail: 'usmStatsUnknownUserNames' },
        ],
      },
    });
  });
});

/** A value in the tool's form. */
function asShown(value: SnmpValue, type: string | undefined): string {
  if (typeof value === 'number') return String(value);
  if (typeof value === 'string' && type !== 'Hex-STRING') return value === '' ? '""' : value;
  if (typeof value === 'string') return spaced(Buffer.from(value).toString('hex'));
  if ('oid' in value) return `.${value.oid}`;
  return 'hex' in value ? spaced(value.hex) : value.ip;
}

function spaced(hex: string): string {
  return hex === '' ? '""' : hex.toUpperCase().replaceAll(/(..)/g, '$1 ').trim();
}

/** Values of a table's columns that the walk has and the reading has not. */
function missing(what: string, rows: SnmpTableValue['rows'], walk: ReadonlyMap<string, unknown>): string[] {
  const names = new Set(Object.values(rows).flatMap((row) => Object.keys(row)));
  const out: string[] = [];
  for (const name of names) {
    const prefix = `${objectNamed(name).oid}.`;
    for (const oid of walk.keys())
      if (oid.startsWith(prefix) && rows[oid.slice(prefix.length)]?.[name] === undefined) out.push(`${what} ${oid}`);
  }
  return out;
}

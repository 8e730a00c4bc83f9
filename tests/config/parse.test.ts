import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { modelFileSchema } from '../../src/config/model-file.js';
import { parseConfig, parseStrict } from '../../src/config/parse.js';

function problemsOf(text: string): readonly string[] {
  const reading = parseConfig(text, null);
  if ('config' in reading) throw new Error('expected problems');
  return reading.problems.map((problem) => `${problem.line}:${problem.column} ${problem.text}`);
}

function configOf(text: string) {
  const reading = parseConfig(text, '/site');
  if ('problems' in reading) throw new Error(JSON.stringify(reading.problems));
  return reading.config;
}

describe('the example files', () => {
  const example = readFileSync(new URL('../../config/outfeed.example.yaml', import.meta.url), 'utf8');

  test('the example configuration loads', () => {
    const config = configOf(example);
    expect(config.printers.map((printer) => printer.name)).toEqual([
      'front-desk',
      'warehouse-labels',
      'drawing-office',
    ]);
    expect(config.sweep).toEqual({ ranges: ['192.0.2.0/24'], everyMs: 6 * 3_600_000, pace: 'gentle' });
    expect(config.read).toEqual({ everyMs: 300_000, inFaultMs: 60_000, timeoutMs: 2000, retries: 1 });
    expect(config.snmp).toEqual([{ version: '2c', community: 'public' }]);
    expect(config.store.keepMs).toBe(400 * 86_400_000);
  });

  test('it still loads with everything uncommented', () => {
    const opened = example
      .split('\n')
      .slice(9)
      .filter((line) => !/^# (What|How|Where|Read-|The |Listening|Whom|Sweeping)/.test(line))
      .map((line) => line.replace(/^(\s*)# (?=[ \w-]+[:{]|- | {2})/, '$1'))
      .join('\n');
    const config = configOf(opened.replace(/^ {4}# What should.*$/m, ''));
    expect(config.snmp).toHaveLength(3);
    expect(config.tell.map((teller) => teller.to.kind)).toEqual(['webhook', 'mail', 'command']);
    expect(config.tell.map((teller) => teller.perHour)).toEqual([undefined, 20, undefined]);
    expect(config.traps).toEqual({ listen: '0.0.0.0:162' });
    expect(config.page).toEqual({
      listen: '127.0.0.1:6310',
      token: { file: 'keys/page' },
      tls: { certFile: 'keys/page.crt', keyFile: 'keys/page.key' },
      hosts: ['printers.example'],
    });
  });

  test('the example model loads', () => {
    const text = readFileSync(new URL('../../config/models/example.yaml', import.meta.url), 'utf8');
    const reading = parseStrict(text, modelFileSchema);
    expect('value' in reading && reading.value.parts.length).toBe(5);
  });
});

describe('mistakes, each with its place', () => {
  test.each([
    ['printer:\n  - name: a\n', '1:1 unknown key "printer"; did you mean "printers"?'],
    ['site:\n  name: x\n  timezon: Europe/Lisbon\n', '3:3 site has unknown key "timezon"; did you mean "timezone"?'],
    ['sweep: { every: 6 hours }\n', '1:17 sweep every takes a duration such as 90s, 5m, 6h or 30d'],
    ['sweep: { every: 0s }\n', '1:17 sweep every takes a duration above nothing, such as 90s'],
    ['sweep: { pace: wild }\n', '1:16 sweep pace takes one of gentle, steady, brisk'],
    ['sweep: [192.0.2.0/24]\n', '1:8 sweep takes a block of keys and values'],
    ['printers:\n  - name: a\n', '2:5 printers entry 1 address is missing; it takes an address or a host name'],
    [
      'printers:\n  - { name: a, address: 300.1.2.3 }\n',
      '2:25 printers entry 1 address: "300.1.2.3" is no IPv4 address: that is four numbers from 0 to 255 with dots between them',
    ],
    [
      'printers:\n  - { name: a, address: 192.0.2.1, snmpPort: 99999 }\n',
      '2:46 printers entry 1 snmpPort takes a whole number from 1 to 65535',
    ],
    [
      'printers:\n  - { name: a b, address: 192.0.2.1 }\n',
      '2:13 printers entry 1 name takes a name without spaces, slashes, colons or #, at most 100 characters',
    ],
    [
      'printers:\n  - { name: a, address: 192.0.2.1 }\n  - { name: A, address: 192.0.2.2 }\n',
      '3:13 two printers are called "A"; a name stands for one',
    ],
    [
      'printers:\n  - { name: a, address: 192.0.2.1, queues: ["ftp://x/y"] }\n',
      '2:45 printers entry 1 queues entry 1: "ftp://x/y" is not an ipp, ipps, http, https, socket or lpd URI',
    ],
    ['snmp: [{ version: 4 }]\n', '1:19 snmp entry 1 version takes 1, 2c or 3'],
    ['snmp: [{ version: 2c }]\n', '1:8 this entry needs one of community, communityFile or communityEnv'],
    ['snmp: [{ version: 3 }]\n', '1:8 SNMP version 3 needs a "user"'],
    [
      'snmp: [{ version: 3, user: r, level: authPriv, authKeyFile: k }]\n',
      '1:8 level authPriv needs "privKeyFile" or "privKeyEnv"',
    ],
    [
      'snmp: [{ version: 3, user: r, authKey: secret }]\n',
      '1:31 snmp entry 1 has unknown key "authKey"; did you mean "authKeyFile"?',
    ],
    [
      'snmp: [{ version: 2c, community: c, privKeyFile: k }]\n',
      '1:8 "privKeyFile" belongs to SNMP version 3, this entry is version 2c',
    ],
    [
      'snmp: [{ version: 3, user: r, communityFile: k }]\n',
      '1:8 "communityFile" belongs to SNMP versions 1 and 2c, this entry is version 3',
    ],
    [
      'snmp: [{ version: 3, user: r, level: authNoPriv, authKeyFile: k, privKeyFile: p }]\n',
      '1:8 level authNoPriv leaves the privacy key unused',
    ],
    [
      'snmp: [{ version: 3, user: r, level: noAuthNoPriv, authKeyFile: k }]\n',
      '1:8 level noAuthNoPriv leaves the authentication key unused',
    ],
    [
      'snmp: [{ version: 3, user: r, authKeyFile: k, privProtocol: AES-256 }]\n',
      '1:8 "privProtocol" needs "privKeyFile" or "privKeyEnv"',
    ],
    [
      'printers:\n  - { name: a, address: 192.0.2.1, ippUri: "socket://192.0.2.1" }\n',
      '2:44 ippUri takes an ipp, ipps, http or https URI, not "socket://192.0.2.1"',
    ],
    [
      'printers:\n  - { name: a, address: 192.0.2.1, queues: ["socket://192.0.2.1"] }\n',
      '2:45 queues take ipp, ipps, http, https or lpd URIs, not "socket://192.0.2.1"',
    ],
    ['page: { listen: "127.0.0.1:70000" }\n', '1:17 page listen takes a port up to 65535, not "127.0.0.1:70000"'],
    ['page: { listen: "0.0.0.0:6310" }\n', '1:7 a page that listens beyond loopback needs "tokenFile" or "tokenEnv"'],
    ['page: { certFile: a.crt }\n', '1:7 "certFile" and "keyFile" go together: the certificate and its private key'],
    ['tell: [{ when: [fault] }]\n', '1:8 each entry of "tell" has exactly one of webhook, mail or command'],
    [
      'tell: [{ command: { run: /bin/true }, when: [fire] }]\n',
      '1:46 tell entry 1 when entry 1 takes one of fault, cleared, supply, printer-new, printer-gone',
    ],
    ['site: { timezone: Mars/Olympus }\n', '1:19 site timezone takes a time zone such as Europe/Lisbon'],
    ['site: { officeHours: always }\n', '1:22 site officeHours takes hours such as "mon-fri 08:00-18:00"'],
    ['allowPublic: maybe\n', '1:14 allowPublic takes true or false'],
    ['- just\n- a list\n', '1:1 the file takes a block of keys and values'],
  ])('%j', (text, expected) => {
    expect(problemsOf(text)).toContain(expected);
  });

  test('one mistake is told once', () => {
    expect(problemsOf('read: { timeout: 500ms }\n')).toHaveLength(1);
  });

  test('several mistakes come in the order of the file', () => {
    const found = problemsOf('allowPublik: true\nread: { retries: 99 }\nsite: 7\n');
    expect(found.map((problem) => problem.split(':')[0])).toEqual(['1', '2', '3']);
  });

  test('a tab is told with what to put in its place', () => {
    expect(problemsOf('site:\n\tname: x\n')).toEqual([
      '2:1 not YAML: Tabs are not allowed as indentation; put spaces there',
    ]);
  });

  test.each([
    ['a: [1, 2\n', 'an open bracket'],
    ['a: 1\na: 2\n', 'a key twice'],
    ['\tsite: x\n', 'a tab'],
    ['a: &a [*a, *a]\n', 'an alias of itself'],
    ['['.repeat(20_000), 'deep nesting'],
    [
      'a: &a [x,x,x,x,x,x,x,x,x]\nb: &b [*a,*a,*a,*a,*a,*a,*a,*a,*a]\nc: &c [*b,*b,*b,*b,*b,*b,*b,*b,*b]\nd: [*c,*c,*c,*c,*c]\n',
      'aliases that multiply',
    ],
    ['site: !!js/function "x"\n', 'a foreign tag'],
    ['\u0000\u0001', 'bytes that are no text'],
  ])('%# is no configuration: %j', (text) => {
    expect(problemsOf(text).length).toBeGreaterThan(0);
  });
});

describe('defaults', () => {
  test.each(['', '# only a comment\n', 'printers:\nsnmp:\n'])('an empty file (%j) means the defaults', (text) => {
    const config = configOf(text);
    expect(config.page.listen).toBe('127.0.0.1:6310');
    expect(config.printers).toEqual([]);
    expect(config.allowPublic).toBe(false);
  });

  test('identities are normalised', () => {
    const [printer] = configOf(
      'printers: [{ name: a, address: 192.0.2.1, mac: 02-00-00-AB-00-15, uuid: "urn:uuid:6F1D2B1E-0000-4000-8000-000000000002" }]',
    ).printers;
    expect(printer?.mac).toBe('02:00:00:ab:00:15');
    expect(printer?.uuid).toBe('6f1d2b1e-0000-4000-8000-000000000002');
  });

  test('level follows from the keys given', () => {
    expect(configOf('snmp: [{ version: 3, user: r, authKeyEnv: K, authProtocol: sha }]').snmp).toEqual([
      { version: '3', user: 'r', level: 'authNoPriv', authKey: { env: 'K' }, authProtocol: 'SHA-1' },
    ]);
  });
});

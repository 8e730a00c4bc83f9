import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ProgramProblem } from '../../src/model/problem.js';
import { ownRanges } from '../../src/sweep/own-ranges.js';
import { addressesOf, contains, parseRanges } from '../../src/sweep/ranges.js';
import { toNumber, toText } from '../../src/sweep/space.js';

const STRICT = { yesLarge: false, allowPublic: false };
const list = (...texts: string[]): string[] => [...addressesOf(parseRanges(texts, STRICT))];

function problemOf(work: () => unknown): ProgramProblem {
  try {
    work();
  } catch (error) {
    if (error instanceof ProgramProblem) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

describe('ranges', () => {
  test.each([
    [['192.0.2.7'], ['192.0.2.7']],
    [['192.0.2.4/30'], ['192.0.2.5', '192.0.2.6']],
    [['192.0.2.5/30'], ['192.0.2.5', '192.0.2.6']],
    [['192.0.2.4/31'], ['192.0.2.4', '192.0.2.5']],
    [['192.0.2.4/32'], ['192.0.2.4']],
    [['192.0.2.9-192.0.2.11'], ['192.0.2.9', '192.0.2.10', '192.0.2.11']],
    [['192.0.2.9-11'], ['192.0.2.9', '192.0.2.10', '192.0.2.11']],
    [['192.0.2.9, 192.0.2.4'], ['192.0.2.9', '192.0.2.4']],
    [
      ['192.0.2.9', '192.0.2.8-10', '192.0.2.10'],
      ['192.0.2.8', '192.0.2.9', '192.0.2.10'],
    ],
    [['2001:db8::fffe-2001:db8::1:0'], ['2001:db8::fffe', '2001:db8::ffff', '2001:db8::1:0']],
    [
      ['127.0.0.1', '::1'],
      ['127.0.0.1', '::1'],
    ],
    // One link-local address on two links is two hosts (RFC 4007 section 6).
    [
      ['fe80::5%eth0', 'fe80::5%eth1', 'fe80:0::5%eth0'],
      ['fe80::5%eth1', 'fe80::5%eth0'],
    ],
  ])('%j', (texts, addresses) => {
    expect(list(...texts)).toEqual(addresses);
  });

  test('a /24 has 254 hosts, a /16 goes without leave', () => {
    expect(parseRanges(['192.0.2.0/24'], STRICT).count).toBe(254);
    expect(parseRanges(['10.1.0.0/16'], STRICT).count).toBe(65_534);
  });

  test('what is likely comes first, once', () => {
    const plan = parseRanges(['192.0.2.0/29'], STRICT);
    const order = [...addressesOf(plan, ['192.0.2.5', '198.51.100.1', '192.0.2.5', '192.0.2.2'])];
    expect(order).toEqual(['192.0.2.5', '192.0.2.2', '192.0.2.1', '192.0.2.3', '192.0.2.4', '192.0.2.6']);
    expect(contains(plan, '192.0.2.7')).toBe(false);
    expect(contains(plan, 'front-desk')).toBe(false);
  });

  test.each([
    ['printer', 'range-no-address'],
    ['192.0.2.300', 'range-no-address'],
    ['192.0.2', 'range-no-address'],
    ['192.0.2.0/', 'range-no-address'],
    ['192.0.2.0/24/8', 'range-no-address'],
    ['192.0.2.1-2001:db8::1', 'range-no-address'],
    ['192.0.2.1-300', 'range-no-address'],
    ['0x7f.1', 'range-no-address'],
    ['192.0.2.0/33', 'range-prefix'],
    ['192.0.2.9-192.0.2.4', 'range-backwards'],
    ['', 'range-empty'],
    [' , ', 'range-empty'],
    ['10.0.0.0/15', 'range-too-large'],
    ['10.0.0.0/8', 'range-too-large'],
    ['fd00::/64', 'range-too-large'],
    ['0.0.0.0/30', 'range-nobody'],
    ['224.0.0.251', 'range-nobody'],
    ['ff02::fb', 'range-nobody'],
    ['11.0.0.0/24', 'range-public'],
    ['172.15.255.255-172.16.0.2', 'range-public'],
    ['2600::1', 'range-public'],
  ])('%j is refused: %s', (text, code) => {
    const problem = problemOf(() => parseRanges([text], STRICT));
    expect(problem.code).toBe(code);
    expect(problem.exitCode).toBe(2);
    expect(problem.message).toMatch(/^[^\n]{20,250}\.$/);
  });

  test('leave is given by name, and none for the absurd', () => {
    expect(parseRanges(['10.0.0.0/15'], { ...STRICT, yesLarge: true }).count).toBe(131_070);
    expect(parseRanges(['11.0.0.0/30'], { ...STRICT, allowPublic: true }).count).toBe(2);
    expect(problemOf(() => parseRanges(['fd00::/64'], { ...STRICT, yesLarge: true })).code).toBe('range-too-large');
    // Two ranges that pass each by itself.
    expect(problemOf(() => parseRanges(['10.0.0.0/16', '10.2.0.0/16'], STRICT)).code).toBe('range-too-large');
  });

  test('the problem says how to go on', () => {
    expect(problemOf(() => parseRanges(['10.0.0.0/8'], STRICT)).message).toContain('--yes-large');
    expect(problemOf(() => parseRanges(['11.0.0.0/24'], STRICT)).message).toContain('--allow-public');
  });

  test('private is RFC 1918, 3927, 6598, 5737, 4193, 3849, link-local and loopback', () => {
    const edges = [
      '10.255.255.255',
      '172.16.0.1',
      '172.31.255.254',
      '192.168.255.1',
      '169.254.0.1',
      '127.255.255.254',
      '100.64.0.1',
      '100.127.255.254',
      '192.0.2.1',
      '198.51.100.1',
      '203.0.113.1',
      'fd12::1',
      'fe80::1',
      '::1',
      '2001:db8::1',
    ];
    for (const address of edges) expect(parseRanges([address], STRICT).count).toBe(1);
    for (const address of ['172.32.0.1', '100.128.0.1', '192.0.3.1', '169.253.0.1']) {
      expect(problemOf(() => parseRanges([address], STRICT)).code).toBe('range-public');
    }
  });

  test('numbers and addresses are the same thing (any address, both ways)', () => {
    fc.assert(
      fc.property(fc.ipV4(), (address) => {
        const number = toNumber(address);
        expect(number && toText(4, number.value)).toBe(address);
      }),
    );
    fc.assert(
      fc.property(fc.bigInt({ min: 1n << 64n, max: (1n << 128n) - 1n }), (value) => {
        const text = toText(6, value);
        expect(toNumber(text)?.value).toBe(value);
      }),
    );
  });
});

describe('own subnets', () => {
  const subnet = (address: string, bits: number) => ({ interface: 'eth0', address, cidr: `${address}/${bits}` });

  test('private ones up to /22; wider ones are narrowed, public ones left out, and both are said', () => {
    const own = ownRanges([
      subnet('192.0.2.9', 24),
      subnet('10.1.9.3', 16),
      subnet('11.0.0.5', 24),
      subnet('fd00::2', 64),
    ]);
    expect(own.names).toEqual(['192.0.2.0/24', '10.1.8.0/22']);
    expect(own.remarks.length).toBe(2);
  });

  test('a machine without one is told to name a range', () => {
    expect(problemOf(() => ownRanges([])).code).toBe('no-own-subnet');
    expect(problemOf(() => ownRanges([subnet('11.0.0.5', 24)])).message).toContain('name a range');
  });
});

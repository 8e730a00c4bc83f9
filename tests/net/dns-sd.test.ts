import { decode, encode } from 'dns-packet';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { encodeQuery } from '../../src/net/dns-sd/question.js';
import { type HeardRecord, HeardRecords, readTxt } from '../../src/net/dns-sd/records.js';

const TYPES = ['_ipp._tcp', '_printer._tcp'];
const FULL = 'Front Desk 2.1 (Harbour)._ipp._tcp.local';

const ptr = (data: string, ttl = 4500): HeardRecord => ({ name: '_ipp._tcp.local', type: 'PTR', ttl, data });
const srv = (name: string, target: string, port: number, ttl = 120): HeardRecord => ({
  name,
  type: 'SRV',
  ttl,
  data: { target, port, priority: 0, weight: 0 },
});
const txt = (name: string, ...pairs: string[]): HeardRecord => ({
  name,
  type: 'TXT',
  ttl: 4500,
  data: pairs.map((pair) => Buffer.from(pair)),
});
const a = (name: string, data: string, ttl = 120): HeardRecord => ({ name, type: 'A', ttl, data });

function heard(...records: readonly HeardRecord[]): HeardRecords {
  const all = new HeardRecords();
  all.hear(records, 0);
  return all;
}

describe('what was heard', () => {
  test('a whole announcement, a dot in the name kept', () => {
    const records = heard(
      ptr(FULL),
      srv(FULL, 'desk.local', 631),
      txt(FULL, 'rp=ipp/print', 'ty=Example 100', 'UUID=x'),
      a('Desk.local', '192.0.2.21'),
      { name: 'desk.local', type: 'AAAA', ttl: 120, data: 'fe80::21' },
    );
    expect(records.instances(TYPES, 1000)).toEqual([
      {
        name: 'Front Desk 2.1 (Harbour)',
        type: '_ipp._tcp',
        host: 'desk.local',
        port: 631,
        addresses: ['192.0.2.21', 'fe80::21'],
        txt: { rp: 'ipp/print', ty: 'Example 100', uuid: 'x' },
      },
    ]);
    expect(records.missing(TYPES, 1000)).toEqual([]);
  });

  test('what an announcement left out is asked for', () => {
    const records = heard(ptr(FULL));
    expect(records.instances(TYPES, 0)).toMatchObject([{ host: null, port: null, addresses: [], txt: {} }]);
    expect(records.missing(TYPES, 0)).toEqual([
      { name: FULL, type: 'SRV' },
      { name: FULL, type: 'TXT' },
    ]);
    records.hear([srv(FULL, 'desk.local', 631)], 0);
    expect(records.missing(TYPES, 0).map((question) => question.type)).toEqual(['TXT', 'A', 'AAAA']);
  });

  test('a record ends with its time to live, or when it is taken back (RFC 6762 10.1)', () => {
    const records = heard(ptr(FULL, 10), srv(FULL, 'desk.local', 631, 5), a('desk.local', '192.0.2.21', 5));
    expect(records.instances(TYPES, 4_999)[0]?.port).toBe(631);
    expect(records.instances(TYPES, 5_001)[0]?.port).toBeNull();
    expect(records.instances(TYPES, 10_001)).toEqual([]);
    const other = heard(ptr(FULL));
    other.hear([ptr(FULL, 0)], 1);
    expect(other.instances(TYPES, 2)).toEqual([]);
  });

  test('the cache-flush bit replaces what was known (RFC 6762 10.2)', () => {
    const records = heard(ptr(FULL), srv(FULL, 'desk.local', 631), a('desk.local', '192.0.2.21'));
    records.hear(
      [
        { ...a('desk.local', '192.0.2.22'), flush: true },
        { ...a('desk.local', '192.0.2.23'), flush: true },
      ],
      1,
    );
    expect(records.instances(TYPES, 2)[0]?.addresses).toEqual(['192.0.2.22', '192.0.2.23']);
  });

  test('other types and lies of form are passed over', () => {
    const records = heard(
      { name: '_http._tcp.local', type: 'PTR', ttl: 100, data: 'Page._http._tcp.local' },
      ptr('elsewhere.example'),
      { name: '_ipp._tcp.local', type: 'PTR', ttl: 100, data: { not: 'a name' } },
      { name: FULL, type: 'SRV', ttl: 100, data: 'not a service' },
      { name: 'desk.local', type: 'A', ttl: 100, data: 'not an address' },
      { name: 5, type: 'A', ttl: 100 } as unknown as HeardRecord,
    );
    expect(records.instances(TYPES, 0)).toEqual([]);
  });

  test('memory stays bounded', () => {
    const records = new HeardRecords();
    for (let count = 0; count < 20_000; count += 1) records.hear([ptr(`n${count}._ipp._tcp.local`)], 0);
    expect(records.instances(TYPES, 1).length).toBe(500);
  });
});

describe('TXT records (RFC 6763 6.4)', () => {
  test.each([
    [['Key=v', 'key=later'], { key: 'v' }],
    [['alone'], { alone: '' }],
    [['empty='], { empty: '' }],
    [['=no key', ''], {}],
    [['a=b=c'], { a: 'b=c' }],
    [['__proto__=x'], JSON.parse('{"__proto__":"x"}')],
  ])('%j', (pairs, read) => {
    expect(readTxt(pairs.map((pair) => Buffer.from(pair)))).toEqual(read);
  });
  test('anything else is an empty record', () => {
    for (const odd of [undefined, null, 4, {}, [null, 4]]) expect(readTxt(odd)).toEqual({});
  });
});

describe('queries', () => {
  test('read back by a packet library that nobody here wrote', () => {
    const packet = decode(
      encodeQuery([
        { name: '_ipp._tcp.local', type: 'PTR' },
        { name: 'desk.local', type: 'AAAA' },
      ]),
    );
    expect(packet.type).toBe('query');
    expect(packet.questions).toMatchObject([
      { name: '_ipp._tcp.local', type: 'PTR', class: 'IN' },
      { name: 'desk.local', type: 'AAAA', class: 'IN' },
    ]);
  });

  test('an instance name is one label, whatever it holds (RFC 6763 4.3)', () => {
    const query = encodeQuery([{ name: 'A. B._ipp._tcp.local', type: 'SRV' }]);
    expect(query.subarray(12, 17)).toEqual(Buffer.from('\x04A. B', 'latin1'));
    expect(query.subarray(17, 22)).toEqual(Buffer.from('\x04_ipp', 'latin1'));
  });

  test('at most twelve questions, and no label too long', () => {
    const many = Array.from({ length: 40 }, (_, count) => ({
      name: `${'x'.repeat(90)}${count}.local`,
      type: 'A' as const,
    }));
    const packet = decode(encodeQuery(many));
    expect(packet.questions?.length).toBe(12);
  });
});

test('no packet, however damaged, throws past the records', () => {
  const good = encode({
    type: 'response',
    answers: [
      { name: '_ipp._tcp.local', type: 'PTR', ttl: 100, data: FULL },
      { name: FULL, type: 'SRV', ttl: 100, data: { target: 'desk.local', port: 631 } },
      { name: FULL, type: 'TXT', ttl: 100, data: ['rp=ipp/print'] },
    ],
  });
  fc.assert(
    fc.property(
      fc.array(fc.tuple(fc.nat(good.length - 1), fc.nat(255)), { maxLength: 6 }),
      fc.nat(good.length),
      (changes, cut) => {
        const bytes = Buffer.from(good.subarray(0, cut));
        for (const [at, value] of changes) if (at < bytes.length) bytes[at] = value;
        let answers: readonly HeardRecord[] = [];
        try {
          answers = (decode(bytes).answers ?? []) as readonly HeardRecord[];
        } catch {
          // what the library can't read never gets here
        }
        const records = new HeardRecords();
        records.hear(answers, 0);
        encodeQuery(records.missing(TYPES, 0));
        JSON.stringify(records.instances(TYPES, 0));
      },
    ),
    { numRuns: 3000 },
  );
});

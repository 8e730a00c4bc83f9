import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { DECODE_LIMITS, decodeIpp } from '../../../src/wire/ipp/decode.js';
import type { IppMessage } from '../../../src/wire/ipp/message.js';
import { readReply } from '../../../src/wire/ipp/reply.js';
import values from './check-values.json' with { type: 'json' };
import { encodeMessage } from './encode-message.js';
import { decoded, message, part, printerReply } from './octets.js';

const rich = printerReply(
  part(0x23, 'printer-state', { hex: '00000005' }),
  part(0x44, 'printer-state-reasons', 'media-jam-error'),
  part(0x44, '', 'cover-open'),
  part(0x22, 'printer-is-accepting-jobs', { hex: '00' }),
  part(0x35, 'printer-info', { hex: '00026465000548616c6c6f' }),
  part(0x31, 'printer-current-time', { hex: '07ea0b18152302052b0000' }),
  part(0x32, 'printer-resolution-default', { hex: '000002580000025803' }),
  part(0x33, 'copies-supported', { hex: '00000001000003e7' }),
  part(0x34, 'media-col-ready', ''),
  part(0x4a, '', 'media-size'),
  part(0x34, '', ''),
  part(0x4a, '', 'x-dimension'),
  part(0x21, '', { hex: '00005208' }),
  part(0x37, '', ''),
  part(0x4a, '', 'media-type'),
  part(0x44, '', 'stationery'),
  part(0x37, '', ''),
  part(0x30, 'printer-alert', 'code=jam;severity=critical'),
  part(0x13, 'marker-message', ''),
);
const seeds = [rich, ...values.messages.map((entry) => Buffer.from(entry.hex, 'hex'))];

/** What must hold for any octets whatever: it ends, it throws nothing, it is bounded JSON. */
function survives(octets: Uint8Array): void {
  const result = decodeIpp(octets);
  expect(result.problems.length).toBeLessThanOrEqual(62);
  if (result.message === null) return;
  readReply(result.message, { operation: 'Get-Jobs', requestId: 1 });
  expect(JSON.stringify(result).length).toBeLessThan(20 * octets.length + 30_000);
}

describe('truncation', () => {
  test.each(seeds.map((seed, index) => [index, seed] as const))(
    'message %d cut at each octet is noticed',
    (_n, seed) => {
      const whole = decoded(seed);
      for (let length = 0; length < seed.length; length += 1) {
        const { message: cut, problems } = decodeIpp(seed.subarray(0, length));
        expect(problems.length).toBeGreaterThan(0);
        if (cut === null) {
          expect(length).toBeLessThan(8);
          continue;
        }
        expect(cut.dataOffset).toBeNull();
        expect(cut.deviations.some((name) => name === 'message-cut' || name === 'end-tag-missing')).toBe(true);
        keepsWhatCameBefore(cut, whole);
      }
    },
  );

  function keepsWhatCameBefore(cut: IppMessage, whole: IppMessage): void {
    const names = (from: IppMessage) => from.groups.flatMap((group) => Object.keys(group.attributes));
    const kept = names(cut);
    expect(kept).toEqual(names(whole).slice(0, kept.length));
  }
});

describe('mutations', () => {
  // One run with a fixed seed, so that a failure can be had again; OUTFEED_FUZZ_RUNS makes it longer.
  const parameters = { numRuns: Number(process.env.OUTFEED_FUZZ_RUNS ?? 3_000), seed: 631 };

  test('octets changed, left out, put in and repeated', () => {
    const edit = fc.record({
      at: fc.nat(),
      kind: fc.constantFrom('set', 'remove', 'insert', 'repeat'),
      octets: fc.uint8Array({ minLength: 1, maxLength: 6 }),
    });
    fc.assert(
      fc.property(fc.constantFrom(...seeds), fc.array(edit, { minLength: 1, maxLength: 8 }), (seed, edits) => {
        let octets = Buffer.from(seed);
        for (const { at, kind, octets: put } of edits) {
          const place = at % (octets.length + 1);
          const [before, after] = [octets.subarray(0, place), octets.subarray(place)];
          if (kind === 'set') octets = Buffer.concat([before, put, after.subarray(put.length)]);
          else if (kind === 'insert') octets = Buffer.concat([before, put, after]);
          else if (kind === 'repeat') octets = Buffer.concat([octets, after.subarray(0, 500)]);
          else octets = Buffer.concat([before, after.subarray(put.length)]);
        }
        survives(octets);
      }),
      parameters,
    );
  });

  test('any octets after a header', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 300 }), (octets) =>
        survives(message(Buffer.from(octets).toString('hex'))),
      ),
      parameters,
    );
  });

  test('any parts in any order', () => {
    const tags = fc.constantFrom(0x21, 0x22, 0x23, 0x31, 0x34, 0x35, 0x37, 0x44, 0x4a, 0x13, 0x7f, 0x10, 0x50);
    const names = fc.constantFrom('', '', 'a', 'b', '__proto__', 'attributes-charset');
    const anyPart = fc
      .tuple(tags, names, fc.uint8Array({ maxLength: 12 }))
      .map(([tag, name, octets]) => part(tag, name, { hex: Buffer.from(octets).toString('hex') }));
    fc.assert(
      fc.property(fc.array(fc.oneof(anyPart, fc.constantFrom('01', '04', '02', '03')), { maxLength: 60 }), (parts) =>
        survives(message(`01${parts.join('')}`)),
      ),
      parameters,
    );
  });
});

describe('what would eat time or memory is bounded', () => {
  test('a collection nested 100,000 times', () => {
    const deep = '34000000004a000000016d'.repeat(100_000);
    const result = decoded(message(`04${part(0x34, 'a', '')}${part(0x4a, '', 'm')}${deep}`));
    expect(result.deviations).toEqual(expect.arrayContaining(['collection-too-deep', 'too-many-values']));
    expect(JSON.stringify(result.groups).length).toBeLessThan(5_000);
  });

  test('a million values', () => {
    const result = decoded(message(`04${part(0x44, 'a', 'x')}${part(0x44, '', 'x').repeat(1_000_000)}03`));
    expect(result.deviations).toContain('too-many-values');
    expect(result.groups[0]?.attributes.a?.length).toBeLessThanOrEqual(DECODE_LIMITS.maxValues);
  });

  test('a million groups', () => {
    const result = decoded(message('04'.repeat(1_000_000)));
    expect(result.groups.length).toBeLessThanOrEqual(DECODE_LIMITS.maxValues);
  });

  test('ten thousand different deviations give a bounded list', () => {
    const parts = Array.from({ length: 10_000 }, (_, index) => part(0x99, `a${index}`, 'x'));
    const { problems } = decoded(printerReply(...parts));
    expect(problems).toHaveLength(61);
    expect(problems.at(-1)).toMatch(/^9940 further departures/);
  });

  test('the seventeen octets that made another decoder read for ever', () => {
    const result = decoded(Buffer.from('0200000000000001044700ff0061ffff03', 'hex'));
    expect(result.deviations).toContain('message-cut');
  });
});

describe('round trip', () => {
  const text = fc.string({ unit: 'grapheme', maxLength: 20 }).filter((each) => !each.endsWith('\0'));
  const int = fc.integer({ min: -(2 ** 31), max: 2 ** 31 - 1 });
  const tagged = <T>(tags: readonly string[], value: fc.Arbitrary<T>) =>
    fc.record({ tag: fc.constantFrom(...tags), value });
  const simple = fc.oneof(
    tagged(['integer', 'enum'], int),
    tagged(['boolean'], fc.boolean()),
    tagged(['textWithoutLanguage', 'nameWithoutLanguage', 'keyword', 'uri', 'mimeMediaType'], text),
    tagged(['unknown', 'no-value', 'unsupported', 'not-settable'], fc.constant(null)),
    tagged(['textWithLanguage', 'nameWithLanguage'], fc.record({ language: text, text })),
    tagged(['resolution'], fc.record({ x: int, y: int, units: fc.constantFrom('dpi', 'dpcm') })),
    tagged(
      ['rangeOfInteger'],
      fc.tuple(int, int).map(([a, b]) => ({ lower: Math.min(a, b), upper: Math.max(a, b) })),
    ),
    tagged(
      ['octetString', '0x40000001', '0x5a'],
      fc.uint8Array({ maxLength: 9 }).map((o) => ({ hex: Buffer.from(o).toString('hex') })),
    ),
    tagged(['dateTime'], fc.constantFrom('1992-05-26T13:30:15-04:00', '2000-02-29T23:59:60.9+13:45')),
  );
  const { attributes } = fc.letrec((tie) => ({
    attributes: fc.dictionary(
      fc.stringMatching(/^[a-z][a-z-]{0,12}$/),
      fc.array(tie('value'), { minLength: 1, maxLength: 3 }),
      { maxKeys: 5 },
    ),
    value: fc.oneof(
      { maxDepth: 4, withCrossShrink: true },
      simple,
      fc.record({ tag: fc.constant('begCollection'), value: fc.record({ members: tie('attributes') }) }),
    ),
  }));

  test('what is encoded decodes to the same, and encodes to the same octets', () => {
    const group = fc.record({
      tag: fc.constantFrom('job-attributes-tag', 'printer-attributes-tag', '0x0e'),
      attributes,
    });
    fc.assert(
      fc.property(fc.array(group, { maxLength: 4 }), fc.nat({ max: 0xffff }), (groups, code) => {
        const octets = encodeMessage({ version: '2.0', code, requestId: 1, groups } as Parameters<
          typeof encodeMessage
        >[0]);
        const back = decoded(octets);
        expect(back.deviations.filter((name) => name !== 'tag-unknown' && name !== 'group-tag-unknown')).toEqual([]);
        expect(JSON.parse(JSON.stringify(back.groups))).toEqual(JSON.parse(JSON.stringify(groups)));
        expect(encodeMessage(back).equals(octets)).toBe(true);
      }),
      { numRuns: 400, seed: 631 },
    );
  });

  test.each([
    ['an unknown tag', { tag: 'no-such-tag', value: 1 }],
    ['a number beyond 32 bits', { tag: 'integer', value: 2 ** 31 }],
    ['a text beyond 65,535 octets', { tag: 'keyword', value: 'x'.repeat(65_536) }],
    ['a date without offset', { tag: 'dateTime', value: '2026-01-01T00:00:00' }],
  ])('%s is refused', (_what, value) => {
    const groups = [{ tag: 'printer-attributes-tag', attributes: { a: [value] } }];
    expect(() => encodeMessage({ version: '2.0', code: 0, requestId: 1, groups })).toThrow(RangeError);
  });
});

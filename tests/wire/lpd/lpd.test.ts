import { Buffer } from 'node:buffer';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { isQueueName, stateRequest } from '../../../src/wire/lpd/request.js';
import { MOST_STATE_OCTETS, readState, stateText } from '../../../src/wire/lpd/state.js';

describe('the question', () => {
  test('short and long state of a queue', () => {
    // RFC 1179 5.3: 03 queue SP list LF, with an empty list; the octets computed from the form.
    expect(stateRequest('lp', 'short')?.toString('hex')).toBe('036c70200a');
    // RFC 1179 5.4: the same with 04.
    expect(stateRequest('lp', 'long')?.toString('hex')).toBe('046c70200a');
  });

  test.each(['', 'two words', 'lp\n\u0002lp', 'lp\r', 'lp\0', 'lp\t', 'größe', 'x'.repeat(256)])(
    'no command is made of a name that could hold another one: %j',
    (name) => {
      expect(isQueueName(name)).toBe(false);
      expect(stateRequest(name, 'short')).toBeUndefined();
    },
  );

  test('whatever the name, one command octet and one line end', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 300 }), (name) => {
        const request = stateRequest(name, 'short');
        if (request === undefined) return;
        expect(request[0]).toBe(3);
        expect(request.indexOf(0x0a)).toBe(request.length - 1);
        expect([...request.subarray(1)].every((octet) => octet >= 0x20 || octet === 0x0a)).toBe(true);
      }),
      { numRuns: 1000 },
    );
  });
});

// The usual lines of daemons: common practice, no published source; RFC 1179 defines none.
const SHORT = `plotter is ready and printing
Rank   Owner      Job  Files                        Total Size
active mira       12   report.ps                    20480 bytes
1st    otto       13   plan of the pier.pdf         1048576 bytes
2nd    mira       14   (standard input)             12 bytes
`;
const LONG = `plotter is ready and printing

mira: active                             [job 012harbour.example]
        report.ps                        20480 bytes
        appendix.ps                      100 bytes

otto: 1st                                [job 013quay.example]
        plan.pdf                         1048576 bytes
`;

describe('the answer', () => {
  test('short form', () => {
    const state = readState(SHORT);
    expect(state.status).toEqual(['plotter is ready and printing']);
    expect(state.jobs).toEqual([
      { rank: 'active', owner: 'mira', job: 12, files: 'report.ps', bytes: 20480 },
      { rank: '1st', owner: 'otto', job: 13, files: 'plan of the pier.pdf', bytes: 1048576 },
      { rank: '2nd', owner: 'mira', job: 14, files: '(standard input)', bytes: 12 },
    ]);
    expect(state).toMatchObject({ empty: false, stopped: false, closed: false, unknownQueue: false });
  });

  test('long form', () => {
    expect(readState(LONG).jobs).toEqual([
      { rank: 'active', owner: 'mira', job: 12, files: 'report.ps, appendix.ps', bytes: 20580 },
      { rank: '1st', owner: 'otto', job: 13, files: 'plan.pdf', bytes: 1048576 },
    ]);
  });

  test.each([
    ['no entries', { empty: true, jobs: [], status: [] }],
    ['Warning: plotter is down: paper out\nno entries', { empty: true, stopped: true }],
    ['plotter: printing disabled', { stopped: true, closed: false }],
    ['plotter: queuing is disabled', { stopped: false, closed: true }],
    ['plotter is not accepting jobs', { closed: true }],
    ['lpd: unknown printer plotter', { unknownQueue: true }],
    ['', { empty: false, status: [], jobs: [] }],
    ['Printer is on fire', { status: ['Printer is on fire'], stopped: false }],
  ])('%j', (text, expected) => {
    expect(readState(text)).toMatchObject(expected);
  });

  test('text loses control characters and overlong lines', () => {
    expect(stateText(Buffer.from('lp is \u001b[2Jready\r\nno entries\r\n\0'))).toBe('lp is [2Jready\nno entries');
    expect(stateText(Buffer.from([1]))).toBe('');
    expect(stateText(Buffer.alloc(MOST_STATE_OCTETS * 2, 'x')).length).toBe(400);
    expect(stateText(Buffer.alloc(MOST_STATE_OCTETS, '\n')).length).toBe(0);
  });

  test('cut at each character: no throw', () => {
    for (const text of [SHORT, LONG]) for (let end = 0; end <= text.length; end += 1) readState(text.slice(0, end));
  });

  test('any octets: no throw, bounded', () => {
    const piece = fc.oneof(
      fc.constantFrom(
        'active',
        '1st',
        'mira:',
        ' 12 ',
        '[job 013',
        'bytes',
        ' 99',
        '\n',
        '\t',
        'no entries',
        'is down',
      ),
      fc.string({ maxLength: 20 }),
    );
    const bytes = fc.oneof(
      fc.uint8Array({ maxLength: 500 }),
      fc.array(piece, { maxLength: 60 }).map((p) => Buffer.from(p.join(' '))),
    );
    fc.assert(
      fc.property(bytes, (reply) => {
        const text = stateText(reply);
        const { jobs, status } = readState(text);
        expect(jobs.length + status.length).toBeLessThanOrEqual(2000);
        for (const job of jobs) expect(Number.isSafeInteger(job.job)).toBe(true);
        expect(text).not.toMatch(/[\u0000-\u0008\u000b-\u001f\u007f]/);
      }),
      { numRuns: 2000 },
    );
  });
});

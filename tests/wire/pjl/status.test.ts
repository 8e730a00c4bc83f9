import { Buffer } from 'node:buffer';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { groupOf, reasonOfCode } from '../../../src/wire/pjl/codes.js';
import { statusRequest } from '../../../src/wire/pjl/request.js';
import { isStatusComplete, MOST_STATUS_OCTETS, readStatus, saysSomething } from '../../../src/wire/pjl/status.js';

const octets = (text: string): Buffer => Buffer.from(text, 'latin1');
/** A reply in the common form: common practice, no published source. */
const READY = '@PJL INFO STATUS\r\nCODE=10001\r\nDISPLAY="00 READY"\r\nONLINE=TRUE\r\n\f';

describe('the question', () => {
  test('is entry, question and exit, and not an octet more', () => {
    expect(statusRequest().toString('hex')).toBe(
      '1b252d313233343558' + // ESC %-12345X, signature database of file(1)
        '40504a4c200d0a' + // @PJL SP CR LF
        '40504a4c20494e464f205354415455530d0a' + // @PJL INFO STATUS CR LF
        '1b252d313233343558',
    );
  });
});

describe('the answer', () => {
  test('a whole one', () => {
    expect(readStatus(octets(READY))).toEqual({ code: 10001, display: '00 READY', online: true, problems: [] });
    expect(isStatusComplete(octets(READY))).toBe(true);
  });

  test.each([
    ['LF alone', READY.replaceAll('\r\n', '\n')],
    ['CR alone', READY.replaceAll('\r\n', '\r')],
    ['blanks around the equals sign', READY.replaceAll('=', ' = ')],
    ['small letters', READY.toLowerCase().replace('00 ready', '00 READY')],
    ['no quotation marks', READY.replaceAll('"', '')],
    ['another order', '@PJL INFO STATUS\r\nONLINE=TRUE\r\nDISPLAY="00 READY"\r\nCODE=10001\r\n\f'],
    ['further lines', READY.replace('ONLINE', 'CODE2=11304\r\nDISPLAY2="TRAY 3 EMPTY"\r\nONLINE')],
    ['unsolicited status before it', `@PJL USTATUS DEVICE\r\nCODE=40021\r\nONLINE=FALSE\r\n\f${READY}`],
    ['noise before it', `\u0000\u0007hello${READY}`],
    ['two answers, the last counts', `@PJL INFO STATUS\r\nCODE=10003\r\n\f${READY}`],
  ])('%s', (_name, reply) => {
    expect(readStatus(octets(reply))).toEqual({ code: 10001, display: '00 READY', online: true, problems: [] });
  });

  test.each([
    ['cut before the form feed', READY.slice(0, -1), { code: 10001, online: true }, 'form feed'],
    ['cut inside the display', READY.slice(0, READY.indexOf('READY')), { code: 10001, online: null }, 'quotation mark'],
    ['a code of four digits', READY.replace('10001', '1001'), { code: null }, 'five digits'],
    ['a word for a code', READY.replace('10001', 'ready'), { code: null }, 'five digits'],
    ['a code twice', READY.replace('DISPLAY', 'CODE=40021\r\nDISPLAY'), { code: 10001 }, 'twice'],
    ['neither TRUE nor FALSE', READY.replace('TRUE', 'MAYBE'), { online: null }, 'neither'],
    ['only unsolicited status', '@PJL USTATUS DEVICE\r\nCODE=40021\r\nONLINE=FALSE\r\n\f', { code: 40021 }, 'repeat'],
    ['a display without end', READY.replace('00 READY', 'x'.repeat(900)), { code: 10001 }, 'longer than any display'],
  ])('%s', (_name, reply, expected, problem) => {
    const reading = readStatus(octets(reply));
    expect(reading).toMatchObject(expected);
    expect(reading.problems.join(' ')).toContain(problem);
    expect((reading.display ?? '').length).toBeLessThanOrEqual(200);
  });

  test('something else altogether says nothing', () => {
    for (const reply of ['', 'HTTP/1.1 400 Bad Request\r\n\r\n', '\u0000\u00ff\u0080', '\f\f\f', '220 ready\r\n']) {
      expect(saysSomething(readStatus(octets(reply)))).toBe(false);
      expect(isStatusComplete(octets(reply))).toBe(false);
    }
  });

  test('a display loses control characters and keeps other scripts', () => {
    expect(readStatus(octets(READY.replace('00 READY', 'R\u001b[31mEADY\u0007'))).display).toBe('R[31mEADY');
    expect(readStatus(Buffer.from(READY.replace('00 READY', 'BEREIT für Größe'), 'utf8')).display).toBe(
      'BEREIT für Größe',
    );
    expect(readStatus(octets(READY.replace('00 READY', 'BEREIT für Größe'))).display).toBe('BEREIT für Größe');
  });

  test('cut at each octet: no throw, never a code that was not there', () => {
    for (let end = 0; end <= READY.length; end += 1) {
      const { code } = readStatus(octets(READY.slice(0, end)));
      expect([null, 10001]).toContain(code);
      expect(isStatusComplete(octets(READY.slice(0, end)))).toBe(end === READY.length);
    }
  });
});

describe('any octets', () => {
  const piece = fc.oneof(
    fc.constantFrom(
      '@PJL',
      ' INFO',
      ' STATUS',
      '\r\n',
      '\f',
      'CODE=',
      'DISPLAY="',
      'ONLINE=',
      'TRUE',
      '40021',
      '"',
      '=',
    ),
    fc.string({ maxLength: 30 }),
  );

  test('never throw, and stay within bounds', () => {
    const bytes = fc.oneof(
      fc.uint8Array({ maxLength: 400 }),
      fc.array(piece, { maxLength: 40 }).map((p) => octets(p.join(''))),
    );
    fc.assert(
      fc.property(bytes, (reply) => {
        const { code, display, online, problems } = readStatus(reply);
        isStatusComplete(reply);
        expect(code === null || (code >= 0 && code <= 99_999)).toBe(true);
        expect(display === null || (display.length <= 400 && !/[\p{Cc}]/u.test(display))).toBe(true);
        expect([null, true, false]).toContain(online);
        expect(problems.length).toBeLessThan(12);
      }),
      { numRuns: 2000 },
    );
  });

  test('a long reply is read at its beginning', () => {
    const endless = Buffer.alloc(MOST_STATUS_OCTETS * 4, 'CODE=10001\r\n');
    expect(readStatus(endless).problems.join(' ')).toContain('longer than a status');
    expect(isStatusComplete(endless)).toBe(false);
  });
});

describe('codes', () => {
  // Groups: read in public technical references of two makers, which agree.
  test.each([
    [10001, 'informs', null],
    [10006, 'informs', 'toner-low'],
    [11304, 'goes-on', 'media-empty'],
    [12201, 'informs', null],
    [20001, 'ours', null],
    [30016, 'may-stop', 'interpreter-memory-exhausted'],
    [30017, 'may-stop', 'interpreter-complex-page-encountered'],
    [35037, 'goes-on', null],
    [40019, 'halts', 'output-area-full'],
    [40021, 'halts', 'cover-open'],
    [40038, 'halts', 'toner-low'],
    [41203, 'halts', 'media-empty'],
    [42012, 'halts', 'media-jam'],
    [44012, 'halts', 'media-jam'],
    [50003, 'halts', 'service-requested'],
  ])('%i', (code, bearing, reason) => {
    expect(groupOf(code)?.bearing).toBe(bearing);
    expect(reasonOfCode(code)).toBe(reason);
  });

  test('a code outside all groups says nothing', () => {
    expect(groupOf(99_999)).toBeUndefined();
    expect(reasonOfCode(0)).toBeNull();
  });
});

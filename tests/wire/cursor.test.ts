import { describe, expect, test } from 'vitest';
import { ByteCursor } from '../../src/wire/cursor.js';

describe('ByteCursor', () => {
  test('reads big-endian and unsigned', () => {
    const cursor = new ByteCursor(Buffer.from('ff8000ffffffff0102', 'hex'));
    expect([cursor.peek(), cursor.u8(), cursor.u16(), cursor.u32()]).toEqual([0xff, 0xff, 0x8000, 0xffffffff]);
    expect(cursor.take(1)).toEqual(Buffer.from([1]));
    expect(cursor.rest()).toEqual(Buffer.from([2]));
    expect([cursor.remaining, cursor.offset]).toEqual([0, 9]);
  });

  test('a short read is a value and leaves the place', () => {
    const cursor = new ByteCursor(Buffer.from('0102', 'hex'));
    expect([cursor.u32(), cursor.take(3), cursor.take(-1), cursor.take(Number.NaN)]).toEqual(Array(4).fill(undefined));
    expect(cursor.u16()).toBe(0x0102);
    expect([cursor.u8(), cursor.u16(), cursor.peek()]).toEqual([undefined, undefined, undefined]);
  });

  test('begins within a larger buffer, and never outside of its own', () => {
    const inner = Buffer.from('0011223344', 'hex').subarray(1, 4);
    expect(new ByteCursor(inner, 1).rest().toString('hex')).toBe('2233');
    expect(new ByteCursor(inner, 99).remaining).toBe(0);
    expect(new ByteCursor(inner, -5).remaining).toBe(3);
  });
});

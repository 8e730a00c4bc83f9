import { describe, expect, test } from 'vitest';
import { ByteCursor } from '../../src/wire/cursor.js';

describe('ByteCursor', () => {
  test('reads big-endian and unsigned', () => {
    const cursor = new ByteCursor(Buffer.from('ff8000ffffffff0102', 'hex'));
    expect([cursor.u8(), cursor.u16(), cursor.u32()]).toEqual([0xff, 0x8000, 0xffffffff]);
    expect(cursor.take(1)).toEqual(Buffer.from([1]));
    expect(cursor.take(1)).toEqual(Buffer.from([2]));
    expect([cursor.remaining, cursor.offset]).toEqual([0, 9]);
  });

  test('a short read is a value and leaves the place', () => {
    const cursor = new ByteCursor(Buffer.from('0102', 'hex'));
    expect([cursor.u32(), cursor.take(3), cursor.take(-1), cursor.take(Number.NaN)]).toEqual(Array(4).fill(undefined));
    expect(cursor.u16()).toBe(0x0102);
    expect([cursor.u8(), cursor.u16()]).toEqual([undefined, undefined]);
  });

  test('a view of a larger buffer is read from its own start to its own end', () => {
    const cursor = new ByteCursor(Buffer.from('0011223344', 'hex').subarray(1, 4));
    expect([cursor.remaining, cursor.u16(), cursor.take(2)]).toEqual([3, 0x1122, undefined]);
  });
});

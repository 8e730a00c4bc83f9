import { describe, expect, test } from 'vitest';
import { keyOf, newTrack, observe } from '../../src/daemon/track.js';
import { dead, empty, MINUTE, open, readings, T0, untold, well, wellTrack } from './conditions.js';

describe('what a printer is counts once it was seen twice', () => {
  test.each([
    ['a blink is nothing', [empty, well, empty, well], 'well'],
    ['twice is a fault', [empty, empty], keyOf(empty)],
    ['a reading that can not tell neither helps nor hinders', [empty, untold, empty], keyOf(empty)],
    ['two different faults are no fault seen twice', [empty, open, empty, open], 'well'],
    ['a fault ends when its end was seen twice', [empty, empty, well, empty, well, well], 'well'],
    ['one fault gives way to another', [empty, empty, open, open], keyOf(open)],
    ['"can not tell" does not end a fault', [empty, empty, ...Array<typeof untold>(20).fill(untold)], keyOf(empty)],
    ['"can not tell" for long ends "well"', Array<typeof untold>(6).fill(untold), 'untold'],
  ])('%s', (_name, seen, key) => {
    const { confirmed } = readings(wellTrack('a'), seen);
    expect(confirmed && keyOf(confirmed)).toBe(key);
  });

  test('it began when it was first seen', () => {
    const track = readings(wellTrack('a'), [empty, empty]);
    expect(track.since).toBe(T0);
    expect(readings(track, [well, well], T0 + 10 * MINUTE).since).toBe(T0 + 10 * MINUTE);
  });

  test('the first reading of all is believed only when it is good', () => {
    expect(observe(newTrack('a', 'g'), empty, T0, false).track.confirmed).toBeNull();
    expect(observe(newTrack('a', 'g'), well, T0, false).track.confirmed).toEqual(well);
  });

  test('whoever is suspected of its silence, a lifeless printer is in one condition', () => {
    const whole = { ...dead, layer: 'link' as const, cause: 'whole-subnet-silent' };
    const { changed, track } = observe(readings(wellTrack('a'), [dead, dead]), whole, T0 + MINUTE, false);
    expect(changed).toBeUndefined();
    expect(track.confirmed?.cause).toBe('whole-subnet-silent');
    expect(track.lifeless).toBe(3);
  });

  test('a clock that is put back does not make a fault begin after it was confirmed', () => {
    const once = observe(wellTrack('a'), empty, T0, false).track;
    const { changed } = observe(once, empty, T0 - 60 * MINUTE, false);
    expect(changed?.at).toBe(T0 - 60 * MINUTE);
  });
});

import { type Condition, newTrack, observe, type Track } from '../../src/daemon/track.js';

export const T0 = Date.parse('2026-03-02T09:00:00Z');
export const MINUTE = 60_000;

export const well: Condition = {
  silent: false,
  layer: 'application',
  cause: 'nothing-wrong-found',
  component: null,
  certainty: 'sure',
  summary: 'Nothing wrong was found.',
};
export const untold: Condition = {
  ...well,
  silent: null,
  layer: 'power',
  cause: 'no-sign-of-life',
  certainty: 'possible',
};
export const dead: Condition = {
  ...untold,
  silent: true,
  certainty: 'sure',
  summary: 'Nothing answers at its address.',
};
export const empty: Condition = {
  silent: true,
  layer: 'media',
  cause: 'media-empty',
  component: 'Tray 2',
  certainty: 'sure',
  summary: 'Tray 2 is empty.',
};
export const open: Condition = { ...empty, layer: 'device', cause: 'cover-open', component: 'Front cover' };

/** A printer that has been well for long. */
export function wellTrack(name: string, group = '192.0.2.0/24'): Track {
  return observe(newTrack(name, group), well, T0 - 60 * MINUTE, false).track;
}

/** Readings one after the other, `every` apart from `from` on. */
export function readings(track: Track, seen: readonly Condition[], from = T0, every = 20_000): Track {
  return seen.reduce((now, condition, at) => observe(now, condition, from + at * every, false).track, track);
}

import { expect, test } from 'vitest';
import type { TellSetting } from '../../src/config/config.js';
import { wallClock } from '../../src/daemon/hours.js';
import { addressing, tellersOf } from '../../src/daemon/tell-whom.js';
import type { EventDocument } from '../../src/model/event.js';
import { event, T0 } from '../store/samples.js';

function told(settings: readonly TellSetting[], kind: EventDocument['kind']): readonly string[] {
  const made = event('e', T0);
  if (made.kind !== 'event') throw new Error('no event');
  const tellers = tellersOf(settings);
  return addressing(tellers, wallClock('UTC'))({ ...made.event, kind }, T0).map(({ teller }) =>
    String(tellers.findIndex(({ id }) => id === teller)),
  );
}

test('two entries that lead to one place, each with times of its own, tell each event once', () => {
  const to = { kind: 'webhook', url: 'https://chat.example/hook' } as const;
  const settings: readonly TellSetting[] = [
    { to, when: ['fault'] },
    { to, when: ['supply', 'fault'], quiet: '20:00-07:00' },
  ];
  expect(new Set(tellersOf(settings).map(({ id }) => id)).size).toBe(2);
  expect(told(settings, 'fault')).toEqual(['0']);
  expect(told(settings, 'cleared')).toEqual(['0']);
  expect(told(settings, 'supply')).toEqual(['1']);
});

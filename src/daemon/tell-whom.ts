import type { TellSetting } from '../config/config.js';
import type { EventDocument } from '../model/event.js';
import { digest } from './digest.js';
import { endOfQuiet, type WallClock } from './hours.js';

/** One way of telling people. The id stays the same as long as it leads to the same place. */
export interface TellerSetting extends TellSetting {
  readonly id: string;
}

export type Addressed = (
  event: EventDocument,
  now: number,
) => readonly { readonly teller: string; readonly dueAt: number }[];

/**
 * Names each teller after where it leads, so that another order in the configuration changes nothing. Several that lead to one place, each
 * with limits of its own, are told apart: what is to be told by one must not be told by the other too.
 */
export function tellersOf(settings: readonly TellSetting[]): readonly TellerSetting[] {
  const count = new Map<string, number>();
  return settings.map((setting) => {
    const place = `${setting.to.kind}:${digest(JSON.stringify(placeOf(setting)))}`;
    const nth = (count.get(place) ?? 0) + 1;
    count.set(place, nth);
    return { ...setting, id: nth === 1 ? place : `${place}/${nth}` };
  });
}

function placeOf({ to }: TellSetting): unknown {
  if (to.kind === 'webhook') return to.url;
  return to.kind === 'mail' ? [to.smtp, to.to] : [to.run, to.args];
}

/** Whom to tell of an event, and from when on: `fault` brings its `cleared` with it. One place is told once. */
export function addressing(tellers: readonly TellerSetting[], clock: WallClock): Addressed {
  return (event, now) => {
    const wanting = tellers.filter(
      ({ when }) => when.includes(event.kind) || (event.kind === 'cleared' && when.includes('fault')),
    );
    const first = new Map([...wanting].reverse().map((one) => [placeIn(one.id), one.id]));
    return wanting
      .filter(({ id }) => first.get(placeIn(id)) === id)
      .map(({ id, quiet }) => ({ teller: id, dueAt: endOfQuiet(clock, quiet, now) }));
  };
}

function placeIn(id: string): string {
  return id.split('/', 1)[0] ?? id;
}

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

/** Names each teller after where it leads, so that another order in the configuration changes nothing. */
export function tellersOf(settings: readonly TellSetting[]): readonly TellerSetting[] {
  return settings.map((setting) => ({
    ...setting,
    id: `${setting.to.kind}:${digest(JSON.stringify(placeOf(setting)))}`,
  }));
}

function placeOf({ to }: TellSetting): unknown {
  if (to.kind === 'webhook') return to.url;
  return to.kind === 'mail' ? [to.smtp, to.to] : [to.run, to.args];
}

/** Whom to tell of an event, and from when on: `fault` brings its `cleared` with it. */
export function addressing(tellers: readonly TellerSetting[], clock: WallClock): Addressed {
  return (event, now) =>
    tellers
      .filter(({ when }) => when.includes(event.kind) || (event.kind === 'cleared' && when.includes('fault')))
      .map(({ id, quiet }) => ({ teller: id, dueAt: endOfQuiet(clock, quiet, now) }));
}

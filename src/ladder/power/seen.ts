import type { OperatorFact } from '../../facts/operator.js';

/** What a person at the printer saw of its power. */
export interface SeenPower {
  readonly on: boolean;
  readonly evidence: readonly string[];
}

/** Answers that only a printer with power can give, and the one that only a printer without gives. */
const SHOWS_POWER: Readonly<Record<string, readonly string[]>> = {
  'panel-lit': ['lit'],
  'display-text': ['ready', 'message', 'paused'],
  'panel-own-page': ['yes'],
  'usb-print': ['yes'],
};

/** Undefined when nobody looked, or what was seen says nothing of power. One sign of power outweighs a dark lamp. */
export function seenPower(operator: OperatorFact | undefined): SeenPower | undefined {
  const answers = operator ?? [];
  const on = answers.filter(({ check, outcome }) => SHOWS_POWER[check]?.includes(outcome));
  if (on.length > 0) return { on: true, evidence: on.map(({ id }) => id) };
  const dark = answers.filter(({ check, outcome }) => check === 'panel-lit' && outcome === 'dark');
  return dark.length > 0 ? { on: false, evidence: dark.map(({ id }) => id) } : undefined;
}

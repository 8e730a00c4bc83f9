import { readTime } from '../forecast/time.js';
import { badOption } from './options.js';
import type { SuppliesArgs } from './supplies.js';

/** What holds unless somebody says otherwise. */
export const USUAL_SUPPLIES = { interval: 0.9, leadDays: 7, risk: 0.05 } as const;

/** The options of `supplies` that no other command has, with what holds when they are not given. */
export function suppliesArgs(given: Readonly<Record<string, unknown>>): Omit<SuppliesArgs, 'targets' | 'options'> {
  const { history, asOf, interval, leadDays, risk, csv } = given;
  return {
    interval: number(interval, USUAL_SUPPLIES.interval),
    leadDays: number(leadDays, USUAL_SUPPLIES.leadDays),
    risk: number(risk, USUAL_SUPPLIES.risk),
    ...(typeof history === 'string' ? { history } : {}),
    ...(typeof asOf === 'number' ? { asOf } : {}),
    ...(typeof csv === 'string' ? { csv } : {}),
  };
}

function number(given: unknown, usual: number): number {
  return typeof given === 'number' ? given : usual;
}

/** Reads `--as-of`: milliseconds since 1970. */
export function asOfTime(text: string): number {
  const at = readTime(text);
  if (at === undefined)
    throw badOption('--as-of', 'an ISO 8601 time from 1970 to 2999 such as 2026-01-31T08:00:00Z', text);
  return at;
}

/** A reader of probabilities, as `0.9` or `90%`. */
export function share(name: string): (text: string) => number {
  return (text) => {
    const match = /^(\d{0,3}(?:\.\d{1,6})?)(%?)$/.exec(text.trim());
    const value = match === null || match[1] === '' ? Number.NaN : Number(match[1]) / (match[2] === '%' ? 100 : 1);
    if (value >= 0.001 && value <= 0.999) return value;
    throw badOption(name, 'a probability from 0.001 to 0.999, or a percentage with its sign', text);
  };
}

/** What a person should know beside the figures. */
import { RECEPTACLE } from '../facts/printer/supply-state.js';
import type { SupplyHistory } from '../model/history.js';
import { FARTHEST_DAYS, type Yield } from '../model/supplies.js';
import { DAY } from './calendar.js';
import type { Estimated } from './estimate.js';
import { isColourant } from './yield.js';

export interface Noted {
  readonly history: SupplyHistory;
  readonly made: Estimated;
  readonly yields: Yield | null;
  readonly asOf: number;
  readonly level: number | null;
}

/** Steps below this are as good as none. Percent. */
const COARSE_STEP = 5;
const STALE_DAYS = 3;
/** A cartridge that gives so much less than expected, and beyond doubt, is pointed out. */
const TOO_EARLY = 1.6;
const DOUBT = 2.5;
/** Coverage that hardly any office has on the mean (common practice, no published source). Percent. */
const HEAVY_COVERAGE = 20;

/** Sentences, none where there is nothing to say. */
export function notesOf(noted: Noted): readonly string[] {
  return [...reading(noted), ...yielding(noted)];
}

function reading({ history, made, asOf, level }: Noted): readonly string[] {
  const { fit } = made;
  const last = history.readings.findLast(({ at }) => at <= asOf);
  const days = last === undefined ? 0 : (asOf - last.at) / DAY;
  const down = (fit.roundings[2] ?? 0) > 0.8 || (fit.roundings[0] ?? 1) < 0.1;
  return [
    ...(fit.step >= COARSE_STEP ? [`the printer counts in steps of ${Number(fit.step.toFixed(1))} %`] : []),
    ...(level === 0 && down && fit.step >= COARSE_STEP ? ['earlier ones printed on after they read 0 %'] : []),
    ...(days > STALE_DAYS ? [`last read ${Math.round(days)} days before`] : []),
    ...(made.daysUntil(0.5) >= FARTHEST_DAYS ? ['lasts longer than three years at this pace'] : []),
  ];
}

function yielding({ history, made, yields }: Noted): readonly string[] {
  const { own, before } = made.fit;
  const notes: string[] = [];
  if (own !== undefined && before !== undefined && history.supply.class !== RECEPTACLE) {
    const times = own.mean / before.mean;
    const off = (own.mean - before.mean) / Math.sqrt(own.variance + before.variance);
    if (times > TOO_EARLY && off > DOUBT) notes.push(tooEarly(times, made.pace !== undefined, history.supply.type));
  }
  if (yields !== null && yields.coverage !== null && yields.coverage > HEAVY_COVERAGE) {
    notes.push(
      `a page takes as much as ${Math.round(yields.coverage)} % coverage would: a leak, a counterfeit, or pictures printed by somebody`,
    );
  }
  return notes;
}

function tooEarly(times: number, byPages: boolean, type: string): string {
  const colourant = isColourant(type);
  const share = `${colourant ? 'empties' : 'wears'} ${times.toFixed(1)} times as fast${byPages ? ' for each page' : ''} as the ones before`;
  return `${share}: ${byPages ? '' : 'more is printed, '}${colourant ? colourantCauses(byPages) : PART_CAUSES}`;
}

/** Each job turns a part before and after its pages (common practice, no published source). */
const PART_CAUSES = 'many short jobs, or a used or counterfeit part';

function colourantCauses(byPages: boolean): string {
  return byPages ? 'a leak, a counterfeit, or one heavy user' : 'it leaks, or it is a counterfeit';
}

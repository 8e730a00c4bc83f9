import type { Visit } from '../model/snapshot.js';
import { presentAt, questionsFor } from './attendance.js';
import { bringList, type Known, runsOut } from './bring.js';
import { planStops } from './stops.js';

const DAY = 86_400_000;
/** Days until the next visit where nobody says when it is. Common practice, no published source. */
const USUAL_DAYS = 30;

export interface VisitPlan {
  /** ISO 8601, UTC. */
  readonly madeAt: string;
  /** Target → how many people print there. */
  readonly people?: Readonly<Record<string, number>>;
  /** ISO 8601 date; absent: 30 days after `madeAt`. */
  readonly nextVisit?: string;
  /** ISO 8601, UTC; null: none is known. */
  readonly lastVisit?: string | null;
}

/** The visit: what to do in which order, what to carry, who has to be there, what to find out. Pure. */
export function planVisit(known: readonly Known[], plan: VisitPlan): Required<Visit> {
  const printers = known.map(({ entry }) => entry);
  const nextVisit = plan.nextVisit ?? dayAfter(plan.madeAt, USUAL_DAYS);
  const order = planStops(printers, plan.people ?? {});
  const places = new Map(printers.map(({ why, knownAs }) => [why.target, knownAs?.location ?? null]));
  return {
    order,
    bring: bringList(known, order, nextVisit),
    present: presentAt(order, places),
    questions: questionsFor(printers, order),
    runsOut: runsOut(printers, nextVisit),
    nextVisit,
    lastVisit: plan.lastVisit ?? null,
  };
}

function dayAfter(iso: string, days: number): string {
  return new Date(Date.parse(iso) + days * DAY).toISOString().slice(0, 10);
}

import type { KeptIncident, Reliability } from '../model/incident.js';

/** Since when a printer is watched, in milliseconds since 1970. */
export interface Watching {
  readonly printer: string;
  readonly since: number;
}

/**
 * How reliable each printer was between two moments. Availability is the share of the watched time in which it was not silent; mean time
 * between faults the time that it worked for each fault, null without one (IEC 60050-192, 192-05-11 and 192-08-01, from memory).
 * Incidents that overlap count as one silence.
 */
export function reliabilityOf(
  watched: readonly Watching[],
  incidents: readonly KeptIncident[],
  { from, to }: { readonly from: number; readonly to: number },
): readonly Reliability[] {
  return watched
    .flatMap(({ printer, since }) => {
      const start = Math.max(from, since);
      if (start >= to) return [];
      const own = incidents.filter(({ affects }) => affects.includes(printer));
      const silences = merged(own.map((incident) => spanOf(incident, start, to)).filter(([a, b]) => b > a));
      const silentMs = silences.reduce((sum, [a, b]) => sum + b - a, 0);
      const workedMs = to - start - silentMs;
      const faults = own.filter(({ startedAt }) => Date.parse(startedAt) >= start).length;
      return [
        {
          printer,
          watchedSeconds: Math.round((to - start) / 1000),
          silentSeconds: Math.round(silentMs / 1000),
          availability: Number((workedMs / (to - start)).toFixed(5)),
          faults,
          meanSecondsBetweenFaults: faults === 0 ? null : Math.round(workedMs / faults / 1000),
        },
      ];
    })
    .sort((a, b) => a.availability - b.availability || (a.printer < b.printer ? -1 : 1));
}

type Span = readonly [from: number, to: number];

function spanOf({ startedAt, endedAt }: KeptIncident, from: number, to: number): Span {
  return [Math.max(from, Date.parse(startedAt)), Math.min(to, endedAt === null ? to : Date.parse(endedAt))];
}

function merged(spans: readonly Span[]): readonly Span[] {
  const out: Span[] = [];
  for (const [from, to] of [...spans].sort((a, b) => a[0] - b[0])) {
    const last = out.at(-1);
    if (last !== undefined && from <= last[1]) out[out.length - 1] = [last[0], Math.max(last[1], to)];
    else out.push([from, to]);
  }
  return out;
}

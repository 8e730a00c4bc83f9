import type { Incident } from '../model/snapshot.js';
import type { FoundSign } from './evidence.js';

/** What of a remembered incident bears on bad pages. */
export type PastIncident = Pick<Incident, 'cause' | 'component'>;

/** Once is chance, more is a place that wears. Common practice, no published source. */
const JAMS_TELL = 2;
const MISMATCHES_TELL = 2;
const INPUT = /tray|input|bypass|feeder|cassette|drawer|manual/i;
const OUTPUT = /output|exit|\bbin\b|stacker|finish|deliver/i;

/** Signs of what an agent remembers of one printer's last three months: where it jammed, and which tray held another paper than was asked for. */
export function pastSigns(past: readonly PastIncident[]): readonly FoundSign[] {
  const jams = counted(past.filter(({ cause }) => cause === 'media-jam'));
  const mismatches = counted(past.filter(({ cause }) => cause === 'media-needed'));
  return [
    ...jams.filter(({ count }) => count >= JAMS_TELL).map(jamSign),
    ...mismatches
      .filter(({ count }) => count >= MISMATCHES_TELL)
      .slice(0, 1)
      .map(({ place, count }) => ({ when: 'media-needed-before', part: place ?? 'a tray', value: `${count} times` })),
  ];
}

interface Counted {
  readonly place: string | null;
  readonly count: number;
}

/** By place, most first. */
function counted(past: readonly PastIncident[]): readonly Counted[] {
  const places = new Map<string | null, number>();
  for (const { component } of past) places.set(component, (places.get(component) ?? 0) + 1);
  return [...places].map(([place, count]) => ({ place, count })).sort((a, b) => b.count - a.count);
}

function jamSign({ place, count }: Counted): FoundSign {
  const when = placeOf(place);
  return { when, part: place ?? 'a place it does not name', value: `${count} times` };
}

function placeOf(place: string | null): string {
  if (place !== null && OUTPUT.test(place)) return 'jams-output-before';
  return place !== null && INPUT.test(place) ? 'jams-input-before' : 'jams-path-before';
}

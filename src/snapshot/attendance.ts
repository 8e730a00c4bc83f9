import type { PresentItem, SnapshotPrinter, VisitQuestion } from '../model/snapshot.js';
import { errandOf, ROLES, type Role } from './errands.js';
import type { PlannedStop } from './stops.js';

/** Who has to be there or within call, for which printers, in the order in which they are first needed. */
export function presentAt(
  stops: readonly PlannedStop[],
  places: ReadonlyMap<string, string | null>,
): readonly PresentItem[] {
  const roles = new Map<Role, PlannedStop[]>();
  for (const stop of stops) {
    // Who is needed is not guessed at: for a mere guess nobody is called.
    if (stop.certainty === 'possible') continue;
    for (const role of errandOf(stop.layer, stop.cause).present) roles.set(role, [...(roles.get(role) ?? []), stop]);
  }
  const called = [...roles].map(([role, needing]) => ({
    who: ROLES[role],
    for: namesOf(needing),
    because: [...new Set(needing.map(({ cause }) => cause))].join(', '),
  }));
  return [...keyHolder(stops, places), ...called];
}

function namesOf(stops: readonly PlannedStop[]): readonly string[] {
  return [...new Set(stops.flatMap(({ printer, alsoFor }) => [printer, ...alsoFor]))];
}

function keyHolder(stops: readonly PlannedStop[], places: ReadonlyMap<string, string | null>): readonly PresentItem[] {
  const visited = stops.filter(({ remote }) => !remote);
  if (visited.length === 0) return [];
  const rooms = visited.flatMap(({ printer }) => places.get(printer) ?? []).filter((place) => place !== '');
  const where = rooms.length === 0 ? 'where the printers stand is not recorded' : [...new Set(rooms)].join('; ');
  return [{ who: 'somebody who opens the rooms and knows the alarm', for: namesOf(visited), because: where }];
}

/**
 * What only a person on site can tell: the checks of whatever is not sure, what a fault leaves open, and what the printer
 * does not say of itself.
 */
export function questionsFor(
  printers: readonly SnapshotPrinter[],
  stops: readonly PlannedStop[],
): readonly VisitQuestion[] {
  return printers.flatMap((entry) => {
    const { target, checks, silent } = entry.why;
    const own = stops.filter((stop) => stop.printer === target);
    const open = silent === false ? [] : checks.map(({ id, ask, outcomes }) => ({ ask, answers: outcomes, check: id }));
    const record = own
      .filter(({ certainty }) => certainty !== 'possible')
      .flatMap(({ layer, cause }) => errandOf(layer, cause).asks)
      .map(toWrite);
    return [...open, ...unique(record), ...unsaid(entry)].map((question) => ({ printer: target, ...question }));
  });
}

type Unplaced = Omit<VisitQuestion, 'printer'>;

const toWrite = (ask: string): Unplaced => ({ ask, answers: [], check: null });

function unique(questions: readonly Unplaced[]): readonly Unplaced[] {
  return questions.filter(({ ask }, at) => questions.findIndex((one) => one.ask === ask) === at);
}

const isMissing = (text: string | null | undefined): boolean => (text ?? '').trim() === '';

/** Particulars that a printer does not tell and its plate does. */
function unsaid({ printer, knownAs }: SnapshotPrinter): readonly Unplaced[] {
  return [
    isMissing(knownAs?.location) ? 'Where it stands: building, floor, room' : null,
    isMissing(knownAs?.model) ? 'Maker and model on its plate' : null,
    isMissing(knownAs?.serial) ? 'Serial number on its plate' : null,
    (printer?.counters.lifePages ?? null) === null ? 'Page counter in its menu' : null,
  ]
    .filter((ask) => ask !== null)
    .map(toWrite);
}

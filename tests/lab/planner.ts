/**
 * How soon the planner's questions lead to the fault, over many drawn ones: beside asking in fixed layer order, and beside
 * the bound that entropy sets. A fault is drawn by its probability at the start, each answer by the table of chances.
 */
import { readFacts } from '../../src/facts/facts.js';
import type { OperatorCheck } from '../../src/ladder/checks.js';
import { climb } from '../../src/ladder/ladder.js';
import { likelihoodOf, OPERATOR_CHECKS } from '../../src/ladder/likelihood.js';
import type { LayerId } from '../../src/model/layers.js';
import type { Suspect } from '../../src/model/why.js';
import { entropy, expectedBits, nextChecks } from '../../src/verdict/checks.js';
import { suspectsOf } from '../../src/verdict/suspects.js';
import { bundleOf, type Site } from '../ladder/bundle.js';
import { REFUSED } from '../ladder/sites.js';
import { type Draw, generator } from './draw.js';

/** A probability from which a layer or cause counts as found. */
const FOUND = 0.9;

/** The checks by the layer that they look at, lowest first: how somebody asks who works through the ladder. */
const LAYER_ORDER: readonly string[] = [
  'panel-lit',
  'link-light',
  'others-on-network',
  'other-cable-or-port',
  'ask-switch',
  'network-page-address',
  'page-straight-to-address',
  'sign-in-asked',
  'display-text',
  'message-about',
  'covers-and-jam',
  'panel-own-page',
  'usb-print',
  'open-tray',
  'cartridge-message',
  'job-list-empty',
  'queue-test-page',
  'other-user-same-queue',
  'other-application',
];

/** Picks the next check, or none when there is nothing left to ask. `key` stands for all answers so far. */
type Asker = (suspects: readonly Suspect[], asked: readonly string[], key: string) => OperatorCheck | undefined;

interface Spent {
  readonly checks: number;
  readonly minutes: number;
  /** Whether what counted as found was the fault that was drawn; false when nothing was found before the questions ended. */
  readonly right: boolean;
  readonly found: boolean;
}

interface Walk {
  readonly layer: Spent;
  readonly cause: Spent;
}

const checkById = new Map(OPERATOR_CHECKS.map((check) => [check.id, check]));

/** The program's own planner. The same answers lead to the same next question, so each is worked out once. */
function planned(): Asker {
  const known = new Map<string, OperatorCheck | undefined>();
  return (suspects, asked, key) => {
    if (!known.has(key)) known.set(key, checkById.get(nextChecks(suspects, asked, 1)[0]?.id ?? ''));
    return known.get(key);
  };
}

const inOrder: Asker = (_suspects, asked) => {
  const next = LAYER_ORDER.find((id) => !asked.includes(id));
  return next === undefined ? undefined : checkById.get(next);
};

/** The fixed order without the checks that tell nothing any more, by the planner's own measure. */
function inOrderThatTell(): Asker {
  const known = new Map<string, OperatorCheck | undefined>();
  return (suspects, asked, key) => {
    if (!known.has(key)) {
      const telling = nextChecks(suspects, asked, OPERATOR_CHECKS.length).map(({ id }) => id);
      known.set(key, checkById.get(LAYER_ORDER.find((id) => telling.includes(id)) ?? ''));
    }
    return known.get(key);
  };
}

function layerMass(suspects: readonly Suspect[]): { layer: LayerId; mass: number } {
  const masses = new Map<LayerId, number>();
  for (const { layer, probability } of suspects) masses.set(layer, (masses.get(layer) ?? 0) + probability);
  const [layer, mass] = [...masses].reduce((best, one) => (one[1] > best[1] ? one : best));
  return { layer, mass };
}

const top = (suspects: readonly Suspect[]): Suspect =>
  suspects.reduce((best, one) => (one.probability > best.probability ? one : best));

function updated(suspects: readonly Suspect[], check: string, outcome: string): Suspect[] {
  const weighed = suspects.map((s) => s.probability * likelihoodOf(check, outcome, s.layer, s.cause));
  const sum = weighed.reduce((a, b) => a + b, 0);
  return suspects.map((s, i) => ({ ...s, probability: (weighed[i] ?? 0) / sum }));
}

function drawOutcome(check: OperatorCheck, fault: Suspect, draw: Draw): string {
  const chances = check.outcomes.map((outcome) => likelihoodOf(check.id, outcome, fault.layer, fault.cause));
  return check.outcomes[draw.index(chances)] ?? '';
}

/** Asks until both the layer and the cause are found, or there is nothing left to ask. */
function walk(start: readonly Suspect[], fault: Suspect, ask: Asker, draw: Draw): Walk {
  let suspects = start;
  let key = '';
  let minutes = 0;
  const asked: string[] = [];
  let layer: Spent | undefined;
  let cause: Spent | undefined;
  for (;;) {
    const spent = { checks: asked.length, minutes };
    const mass = layerMass(suspects);
    const first = top(suspects);
    if (mass.mass >= FOUND) layer ??= { ...spent, found: true, right: mass.layer === fault.layer };
    if (first.probability >= FOUND) cause ??= { ...spent, found: true, right: first.cause === fault.cause };
    const check = layer && cause ? undefined : ask(suspects, asked, key);
    if (check === undefined) {
      const unfound = { ...spent, found: false, right: false };
      return { layer: layer ?? unfound, cause: cause ?? unfound };
    }
    const outcome = drawOutcome(check, fault, draw);
    asked.push(check.id);
    key += `${check.id}=${outcome} `;
    minutes += check.minutes;
    suspects = updated(suspects, check.id, outcome);
  }
}

/** Entropy of the start over the most bits that any check gives for a minute: no way of asking is quicker on average. */
function bound(start: readonly Suspect[]): number {
  const best = Math.max(...OPERATOR_CHECKS.map((check) => expectedBits(check, start) / check.minutes));
  return entropy(start.map((s) => s.probability)) / best;
}

/** The same for the layer alone: causes of a layer count as one. */
function layerBound(start: readonly Suspect[]): number {
  const masses = [...new Set(start.map((s) => s.layer))].map((layer) => ({
    layer,
    members: start.filter((s) => s.layer === layer),
  }));
  const weight = (members: readonly Suspect[]): number => members.reduce((sum, s) => sum + s.probability, 0);
  const whole = entropy(masses.map(({ members }) => weight(members)));
  const bits = (check: OperatorCheck): number =>
    expectedBits(check, start) -
    masses.reduce((sum, { members }) => {
      const total = weight(members);
      const inside = members.map((s) => ({ ...s, probability: s.probability / total }));
      return sum + (total > 0 ? total * expectedBits(check, inside) : 0);
    }, 0);
  return whole / Math.max(...OPERATOR_CHECKS.map((check) => bits(check) / check.minutes));
}

const STARTS: Readonly<Record<string, Site | null>> = {
  'nothing known': null,
  'only the raw port answers': { tcp: { ...REFUSED, 9100: 'open' }, snmp: 'silent', ipp: 'refused' },
  'silent, nothing to compare with': {
    tcp: { 631: 'EHOSTUNREACH', 9100: 'EHOSTUNREACH', 515: 'EHOSTUNREACH' },
    snmp: 'silent',
    ipp: 'silent',
  },
};

function startOf(site: Site | null): readonly Suspect[] {
  const bundle = site === null ? { ...bundleOf({ address: null }), evidence: [] } : bundleOf(site);
  const rungs = climb(readFacts(bundle));
  const first = rungs.flatMap(({ layer, findings }) =>
    findings.filter((f) => f.severity === 'fault').map((finding) => ({ layer, finding })),
  )[0];
  return suspectsOf(rungs, first ?? null, []);
}

interface Means {
  readonly checks: number;
  readonly minutes: number;
  readonly right: number;
  readonly found: number;
}

function means(spent: readonly Spent[]): Means {
  const mean = (of: (one: Spent) => number): number => spent.reduce((sum, one) => sum + of(one), 0) / spent.length;
  return {
    checks: mean((s) => s.checks),
    minutes: mean((s) => s.minutes),
    right: mean((s) => (s.right ? 1 : 0)),
    found: mean((s) => (s.found ? 1 : 0)),
  };
}

const line = (who: string, { checks, minutes, right, found }: Means): string =>
  `  ${who.padEnd(22)}${checks.toFixed(2).padStart(7)} checks ${minutes.toFixed(2).padStart(7)} minutes   found ${(100 * found).toFixed(1)} %, rightly ${(100 * right).toFixed(1)} %`;

/** Share of the fixed order's minutes that the planner must save. */
const SAVING = 0.3;

/** Draws `faults` for each start and says what both ways of asking cost. True when the target is met everywhere. */
export function runPlanner(seed: number, faults: number, say: (text: string) => void): boolean {
  say(`planner against fixed layer order, ${faults} drawn faults for each start, seed ${seed}`);
  return Object.entries(STARTS)
    .map(([name, site]) => simulate(name, startOf(site), seed, faults, say))
    .every(Boolean);
}

function simulate(
  name: string,
  start: readonly Suspect[],
  seed: number,
  faults: number,
  say: (text: string) => void,
): boolean {
  const draw = generator(seed);
  const ask = planned();
  const drawn = Array.from({ length: faults }, () => start[draw.index(start.map((s) => s.probability))] ?? top(start));
  const ours = drawn.map((fault) => walk(start, fault, ask, draw));
  const fixed = drawn.map((fault) => walk(start, fault, inOrder, draw));
  const telling = inOrderThatTell();
  const skipping = drawn.map((fault) => walk(start, fault, telling, draw));
  say('');
  say(`${name}: ${entropy(start.map((s) => s.probability)).toFixed(2)} bits over ${start.length} causes`);
  return (['layer', 'cause'] as const)
    .map((what) => {
      const planner = means(ours.map((one) => one[what]));
      const order = means(fixed.map((one) => one[what]));
      const skipped = means(skipping.map((one) => one[what]));
      const least = what === 'layer' ? layerBound(start) : bound(start);
      const saved = 1 - planner.minutes / order.minutes;
      say(` ${what} at ${100 * FOUND} % or more`);
      say(line('planner', planner));
      say(line('fixed layer order', order));
      say(line('fixed order, skipping', skipped));
      say(
        `  ${(100 * saved).toFixed(1)} % fewer minutes; entropy bound ${least.toFixed(2)} minutes, planner ${(planner.minutes / least).toFixed(2)} × bound`,
      );
      return saved >= SAVING;
    })
    .every(Boolean);
}

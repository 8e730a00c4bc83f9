import { readFacts } from '../facts/facts.js';
import type { Observation } from '../model/evidence.js';
import type { PrinterDocument } from '../model/printer.js';
import type { Target } from '../model/target.js';
import type { EvidenceBundle, WhyDocument } from '../model/why.js';
import type { Net } from '../net/net.js';
import { collectEvidence, withEvidence } from '../probes/collect.js';
import type { Limits, Probe } from '../probes/probe.js';
import { PROBES } from '../probes/probes.js';
import { judgeFacts } from '../verdict/verdict.js';
import type { Depth } from './schedule.js';

/** One look at a printer. */
export interface Reading {
  readonly why: WhyDocument;
  readonly bundle: EvidenceBundle;
  /** What it says of itself; null when it said nothing. */
  readonly document: PrinterDocument | null;
  /** Something at its address answered. */
  readonly alive: boolean;
  /** It sleeps, by its own word. */
  readonly asleep: boolean;
  /** Asked the card of a sleeping printer only, and it sleeps on: what was known of it still holds. */
  readonly unchanged: boolean;
}

export type ReadPrinter = (target: Target, depth: Depth) => Promise<Reading>;

/** What the past adds to a look that found no sign of life. */
export type WithPast = (bundle: EvidenceBundle, printer: string) => Promise<EvidenceBundle>;

/** What print hosts have reported of late. */
export type Reported = () => readonly Observation[];

/** Left out of a usual look: they start programs, listen for seconds or read the kernel's tables. */
const ONLY_WHEN_IN_DOUBT = new Set(['neighbour', 'icmp', 'http', 'dns-sd']);
const USUAL = PROBES.filter(({ id }) => !ONLY_WHEN_IN_DOUBT.has(id));
const CARD = PROBES.filter(({ id }) => id === 'snmp');

/**
 * Looks at printers the way the daemon does: little for one that is well, all there is for one that gives a riddle, and at one
 * that sleeps only what its network card answers by itself.
 */
export function reader(net: Net, limits: () => Limits, withPast: WithPast, reported: Reported = () => []): ReadPrinter {
  const look = async (target: Target, probes: readonly Probe[]): Promise<Reading> =>
    readingOf(withEvidence(await collectEvidence(target, net, limits(), probes), reported()));
  return async (target, depth) => {
    if (depth === 'card') {
      const sleeping = await look(target, CARD);
      if (sleeping.asleep && sleeping.alive) return { ...sleeping, unchanged: true };
    }
    const usual = await look(target, USUAL);
    if (isPlain(usual)) return usual;
    const whole = await look(target, PROBES);
    if (whole.alive) return whole;
    return readingOf(await withPast(whole.bundle, target.label));
  };
}

/** Nothing is left to find out: it can print, or what stops it is beyond doubt. */
function isPlain({ why, alive }: Reading): boolean {
  return alive && (why.silent === false || (why.silent === true && why.verdict.certainty === 'sure'));
}

export function readingOf(bundle: EvidenceBundle): Reading {
  const facts = readFacts(bundle);
  const why = judgeFacts(bundle, facts);
  return {
    why,
    bundle,
    document: facts.printer?.document ?? null,
    alive: facts.life?.alive === true,
    asleep: why.warnings.some(({ cause }) => cause === 'asleep'),
    unchanged: false,
  };
}

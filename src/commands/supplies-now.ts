import type { Config } from '../config/config.js';
import { readPrinter } from '../facts/printer/printer.js';
import type { Present } from '../forecast/site.js';
import type { SupplyHistory } from '../model/history.js';
import type { PrinterDocument, Supply } from '../model/printer.js';
import type { Target } from '../model/target.js';
import { collectEvidence } from '../probes/collect.js';
import { READING_PROBES } from '../probes/probes.js';
import type { Io } from './io.js';
import { limitsOf } from './limits.js';
import type { CommonOptions } from './options.js';
import { targetsForSnapshot } from './snapshot-targets.js';

/** Printers that are asked at the same time. */
const AT_ONCE = 8;

export interface SuppliesNow {
  readonly histories: readonly SupplyHistory[];
  /** Names of the printers that were asked. */
  readonly asked: readonly string[];
  readonly present: Present;
  /** Printers that told nothing, a sentence each. */
  readonly problems: readonly string[];
}

/** Looks at the printers once: a past of one reading, and the state as the printers tell it. */
export async function lookAtSupplies(
  typed: readonly string[],
  options: CommonOptions,
  config: Config,
  io: Io,
): Promise<SuppliesNow> {
  const targets = await targetsForSnapshot(typed, options, config, io);
  const documents = await readAll(targets, options, config, io);
  const stands = new Map<SupplyHistory, Supply>();
  const problems: string[] = targets.length === 0 ? ['no printer was found to ask'] : [];
  targets.forEach(({ label }, i) => {
    const document = documents[i];
    if (document === undefined || !document.isPrinter) {
      problems.push(`${label} tells nothing of its supplies; "outfeed why ${label}" finds out more`);
      return;
    }
    if (document.supplies.length === 0) problems.push(`${label} names no supplies`);
    for (const supply of document.supplies) stands.set(oneReading(label, document, supply), supply);
  });
  const asked = targets.map(({ label }) => label);
  return { histories: [...stands.keys()], asked, present: (history) => stand(stands.get(history)), problems };
}

function stand(supply: Supply | undefined): ReturnType<Present> {
  return supply === undefined ? undefined : { percent: supply.percent, state: supply.state };
}

async function readAll(
  targets: readonly Target[],
  options: CommonOptions,
  config: Config,
  io: Io,
): Promise<readonly (PrinterDocument | undefined)[]> {
  const limits = await limitsOf(options, config, io);
  const net = await io.net();
  const documents: (PrinterDocument | undefined)[] = [];
  const waiting = targets.entries();
  const worker = async (): Promise<void> => {
    for (const [i, target] of waiting) {
      const { address, deviceIndex, evidence, askedAt } = await collectEvidence(target, net, limits, READING_PROBES);
      const about = { address: address ?? target.label, readAt: askedAt };
      documents[i] = readPrinter(evidence, deviceIndex === undefined ? about : { ...about, deviceIndex })?.document;
    }
  };
  await Promise.all(Array.from({ length: Math.min(AT_ONCE, targets.length) }, worker));
  return documents;
}

/** A past of one look. */
export function oneReading(
  printer: string,
  document: Pick<PrinterDocument, 'readAt' | 'identity' | 'counters'>,
  supply: Supply,
): SupplyHistory {
  const { index, name, type, class: kind, colour, level, capacity, unit } = supply;
  const at = Date.parse(document.readAt);
  return {
    printer,
    model: document.identity.model,
    supply: { index, name, type, class: kind, colour },
    readings: [{ at, level: level ?? -2, capacity, unit, pages: document.counters.lifePages }],
  };
}

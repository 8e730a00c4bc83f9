import type { Buffer } from 'node:buffer';
import { readPrinter } from '../../src/facts/printer/printer.js';
import { type Evidence, type Observation, OUTCOMES } from '../../src/model/evidence.js';
import { EVIDENCE_SCHEMA, type EvidenceBundle } from '../../src/model/why.js';
import { renderShow } from '../../src/render/show-text.js';
import { renderWhy } from '../../src/render/why-text.js';
import { judge } from '../../src/verdict/verdict.js';
import type { Draw } from './mutate.js';

export const ADDRESS = '192.0.2.21';
export const AT = '2026-01-31T09:00:00.000Z';

/** What one case may use: its numbers, and a place for the replies it served, so that a failure can be shown. */
export interface Case {
  readonly draw: Draw;
  readonly served: Buffer[];
}

/** One kind of reply. A case serves at least one mutated reply to the program and throws when anything is amiss. */
export interface FuzzTarget {
  readonly name: string;
  /** How much of a whole run is its, beside the shares of the others. */
  readonly share: number;
  readonly run: (one: Case) => Promise<void> | void;
}

const CONTROL = /[\0-\x08\x0b-\x1f\x7f-\x9f]/;

/**
 * What must hold of the records of a probe, whatever it was told: known outcomes, plain JSON of a bounded size, and a
 * reading, a judgement and words for the terminal that can be made of them.
 */
export function mustBeSound(records: readonly Observation[]): void {
  for (const { outcome } of records) if (!OUTCOMES.includes(outcome)) throw new Error(`outcome ${outcome}`);
  const text = JSON.stringify(records);
  if (text.length > 8 * 1024 * 1024) throw new Error(`records of ${text.length} characters`);
  const evidence = (JSON.parse(text) as Observation[]).map((each, at) => ({ id: `e${at + 1}`, ...each }) as Evidence);
  const read = readPrinter(evidence, { address: ADDRESS, readAt: AT });
  const shown = read === undefined ? '' : renderShow(read.document, { color: false, columns: 80 });
  mustBePlain(shown);
  mustBeJudged({ schema: EVIDENCE_SCHEMA, target: ADDRESS, address: ADDRESS, askedAt: AT, tookMs: 1, evidence });
}

/** What must hold of evidence, wherever it comes from: a judgement can be made of it, and words for the terminal. */
export function mustBeJudged(bundle: EvidenceBundle): void {
  mustBePlain(renderWhy(judge(bundle), { color: false, columns: 80, verbose: true }));
}

export function mustBePlain(words: string): void {
  if (CONTROL.test(words)) throw new Error('a control character reached the terminal');
}

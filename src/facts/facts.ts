import type { Evidence } from '../model/evidence.js';
import type { PrinterDocument } from '../model/printer.js';

/** One reading of a printer, with the evidence behind it. */
export interface PrinterFact {
  readonly document: PrinterDocument;
  /** Evidence ids by topic: `state`, `alerts`, `supplies`, `trays`, `outputs`, `covers`, `identity`. */
  readonly evidence: Readonly<Record<string, readonly string[]>>;
}

/** Everything that several layers need to know, each computed once from evidence. Undefined: no evidence. */
export interface Facts {
  readonly printer: PrinterFact | undefined;
}

export type FactReader<K extends keyof Facts> = (evidence: readonly Evidence[]) => Facts[K];

import type { Evidence, Source } from '../model/evidence.js';
import type { PrinterDocument } from '../model/printer.js';
import type { EvidenceBundle } from '../model/why.js';

/** What a reader of facts is given: the records, and what was asked of whom. */
export type Asked = Omit<EvidenceBundle, 'schema' | 'tookMs'>;

/** One reading of a printer, with the evidence behind it. */
export interface PrinterFact {
  readonly document: PrinterDocument;
  /** Evidence ids by topic: `state`, `alerts`, `supplies`, `trays`, `outputs`, `covers`, `identity`. */
  readonly evidence: Readonly<Record<string, readonly string[]>>;
  /** A sentence: the device that was asked for is not behind this address. */
  readonly missing?: string;
}

/** Records of one source, typed by it. */
export function from<S extends Source>(evidence: readonly Evidence[], source: S): Extract<Evidence, { source: S }>[] {
  return evidence.filter((record): record is Extract<Evidence, { source: S }> => record.source === source);
}

/** Ids of some records. */
export function idsOf(records: readonly Evidence[]): string[] {
  return records.map((record) => record.id);
}

import type { Evidence } from '../model/evidence.js';
import { PRINT_HOST_SCHEMA, type PrintHostReport } from '../model/print-host.js';
import { printHostSchema } from '../model/schemas/print-host.js';

/** A report, or in one clause why the text is none. */
export type ReportReading = { readonly report: PrintHostReport } | { readonly wrong: string };

/** Reads what the collector wrote (JSON). Keys that a later version adds are let through. */
export function readPrintHostReport(text: string): ReportReading {
  let data: unknown;
  try {
    data = JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch {
    return { wrong: text.trim() === '' ? 'it is empty' : 'it is not JSON, or cut short' };
  }
  const schema = (data as { readonly schema?: unknown } | null)?.schema;
  if (schema !== PRINT_HOST_SCHEMA) return { wrong: wrongSchema(schema) };
  try {
    const [issue] = printHostSchema.safeParse(data).error?.issues ?? [];
    if (issue === undefined) return { report: data as PrintHostReport };
    return { wrong: `${issue.path.join('.') || 'its top'}: ${issue.message}` };
  } catch (error) {
    if (error instanceof RangeError) return { wrong: 'it is nested too deeply' };
    throw error;
  }
}

function wrongSchema(schema: unknown): string {
  if (typeof schema === 'string' && schema.startsWith('outfeed.print-host/')) {
    return `it is of version ${schema.slice('outfeed.print-host/'.length)}, and this program knows version 1`;
  }
  return `it is not what config/print-host-report.ps1 writes (${PRINT_HOST_SCHEMA})`;
}

/** A report among the evidence, with the id of its record. */
export interface ReportRecord {
  readonly id: string;
  readonly report: PrintHostReport;
}

/** The reports of print hosts that a bundle holds. */
export function reportsOf(evidence: readonly Evidence[]): readonly ReportRecord[] {
  return evidence.flatMap((record) => {
    if (record.source !== 'spooler' || record.value === null || !('kind' in record.value)) return [];
    return record.value.kind === 'report' ? [{ id: record.id, report: record.value.report }] : [];
  });
}

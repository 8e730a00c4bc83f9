import type { Observation } from '../model/evidence.js';
import { readEventXml } from './event-xml.js';
import { readPrintHostReport } from './report.js';

/** What a file of a print host says, as evidence, or in one clause why it says nothing. */
export type FileReading = { readonly record: Observation } | { readonly wrong: string };

/** The collector's report. `readAt` is an ISO time; the record bears the time at which the report was made. */
export function reportObservation(text: string, readAt: string): FileReading {
  const reading = readPrintHostReport(text);
  if ('wrong' in reading) return reading;
  const { report } = reading;
  const at = new Date(report.madeAt).toISOString();
  return { record: { ...about('print-host report', report.host, readAt), at, value: { kind: 'report', report } } };
}

/** An export of events as XML; `name` says which. */
export function eventsObservation(text: string, name: string, readAt: string): FileReading {
  const reading = readEventXml(text);
  if ('wrong' in reading) return reading;
  return { record: { ...about('event export', name, readAt), value: { kind: 'events', ...reading } } };
}

function about(what: string, subject: string, at: string) {
  return { source: 'spooler', what, about: 'queue', subject, outcome: 'answered', at, tookMs: 0 } as const;
}

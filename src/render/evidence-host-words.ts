import { isExchange, type SpoolerEvidence } from '../model/evidence.js';
import { isDenied, type Readable } from '../model/print-host.js';

/** A print host's report, or its exported events, in a few words. */
export function printHostWords(e: SpoolerEvidence): string {
  const { value } = e;
  if (isExchange(e) || value === null || !('kind' in value)) return 'nothing that could be read';
  if (value.kind === 'events') return value.events.length === 1 ? '1 event' : `${value.events.length} events`;
  const { report } = value;
  const service = isDenied(report.spooler) ? 'print service not readable' : `print service ${report.spooler.state}`;
  const parts = [count(report.queues, 'queue'), count(report.jobs, 'job'), count(report.events, 'event')];
  return [`${report.host}, made ${report.madeAt}`, service, ...parts].join(', ');
}

function count(list: Readable<readonly unknown[]>, noun: string): string {
  if (isDenied(list)) return `${noun}s not readable`;
  return list.length === 1 ? `1 ${noun}` : `${list.length} ${noun}s`;
}

import { readFacts } from '../facts/facts.js';
import type { JobFact } from '../facts/jobs.js';
import type { SnapshotDocument, SnapshotPrinter } from '../model/snapshot.js';
import { forCsv } from './escape.js';

type Cell = string | number | boolean | null;

/** Name of each table of a snapshot → its text: one header line, then one line a thing. CSV as in RFC 4180, CRLF line ends. */
export function snapshotTables(snapshot: SnapshotDocument): Readonly<Record<string, string>> {
  const { printers } = snapshot;
  return {
    'printers.csv': table(PRINTER_COLUMNS, printers.map(printerRow)),
    'supplies.csv': table(SUPPLY_COLUMNS, printers.flatMap(supplyRows)),
    'alerts.csv': table(ALERT_COLUMNS, printers.flatMap(alertRows)),
    'jobs.csv': table(JOB_COLUMNS, printers.flatMap(jobRows)),
  };
}

function table(columns: readonly string[], rows: readonly (readonly Cell[])[]): string {
  return [columns, ...rows].map((row) => `${row.map((cell) => forCsv(cell)).join(',')}\r\n`).join('');
}

const PRINTER_COLUMNS = [
  'printer',
  'address',
  'model',
  'serial',
  'location',
  'silent',
  'layer',
  'cause',
  'component',
  'certainty',
  'summary',
  'next_step',
  'minutes',
  'life_pages',
  'asked_at',
];

function printerRow({ why, printer, counters }: SnapshotPrinter): readonly Cell[] {
  const { verdict } = why;
  const step = verdict.next[0];
  return [
    why.target,
    why.printer.address,
    why.printer.model,
    why.printer.serial,
    printer?.identity.location ?? null,
    why.silent,
    verdict.layer,
    verdict.cause,
    verdict.component ?? null,
    verdict.certainty,
    verdict.summary,
    step?.step ?? null,
    step?.minutes ?? null,
    counters?.lifePages ?? null,
    why.askedAt,
  ];
}

const SUPPLY_COLUMNS = [
  'printer',
  'index',
  'name',
  'type',
  'class',
  'colour',
  'level',
  'capacity',
  'unit',
  'percent',
  'meaning',
  'state',
];

function supplyRows({ why, printer }: SnapshotPrinter): readonly (readonly Cell[])[] {
  return (printer?.supplies ?? []).map((supply) => [
    why.target,
    supply.index,
    supply.name,
    supply.type,
    supply.class,
    supply.colour,
    supply.level,
    supply.capacity,
    supply.unit,
    supply.percent,
    supply.meaning,
    supply.state,
  ]);
}

const ALERT_COLUMNS = [
  'printer',
  'source',
  'index',
  'severity',
  'group',
  'group_index',
  'component',
  'code',
  'code_number',
  'training_level',
  'location',
  'description',
  'reason',
  'raised_at_ticks',
];

function alertRows({ why, printer }: SnapshotPrinter): readonly (readonly Cell[])[] {
  return (printer?.alerts ?? []).map((alert) => [
    why.target,
    alert.source,
    alert.index,
    alert.severity,
    alert.group,
    alert.groupIndex,
    alert.component,
    alert.code,
    alert.codeNumber,
    alert.trainingLevel,
    alert.location,
    alert.description,
    alert.reason,
    alert.raisedAtTicks,
  ]);
}

const JOB_COLUMNS = [
  'printer',
  'queue',
  'job',
  'state',
  'reasons',
  'name',
  'user',
  'k_octets',
  'created_at',
  'waiting_seconds',
];

/** Jobs that wait or are being printed, in every print queue that was asked. */
function jobRows({ why }: SnapshotPrinter): readonly (readonly Cell[])[] {
  const { queues } = readFacts({
    target: why.target,
    address: why.printer.address,
    askedAt: why.askedAt,
    evidence: why.evidence,
  });
  return (queues ?? []).flatMap((queue) => queue.jobs.map((job) => jobRow(why.target, queue.uri, job)));
}

function jobRow(printer: string, queue: string, job: JobFact): readonly Cell[] {
  return [
    printer,
    queue,
    job.id,
    job.state,
    job.reasons.join(' '),
    job.name,
    job.user,
    job.kOctets,
    job.createdAt,
    job.waitingSeconds,
  ];
}

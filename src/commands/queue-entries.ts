import { type Facts, readFacts } from '../facts/facts.js';
import type { QueueFact } from '../facts/queues.js';
import type { Observation } from '../model/evidence.js';
import type { QueueEntry } from '../model/queue.js';
import type { EvidenceBundle } from '../model/why.js';
import { leadsTo } from '../verdict/leads-to.js';
import { queueEntry } from '../verdict/queue-entry.js';
import { printerFinding } from '../verdict/queue-findings.js';
import { judge } from '../verdict/verdict.js';
import { askedAs, bundleOf, type Read, type Site } from './queue-reading.js';

type Bundles = ReadonlyMap<string, EvidenceBundle>;

/** Every queue as an entry of the document: a spooler that is not there, those asked over IPP, those of a report. */
export function entriesOf(site: Site, read: readonly Read[], bundles: Bundles): readonly QueueEntry[] {
  return withMembers([...silentEntries(site), ...ippEntries(site, read, bundles), ...reportEntries(site, bundles)]);
}

function ippEntries(
  site: Site,
  read: readonly Read[],
  bundles: ReadonlyMap<string, EvidenceBundle>,
): readonly QueueEntry[] {
  return read.flatMap((one) => {
    const label = askedAs(one, site);
    const printer = label === null ? undefined : bundles.get(label);
    const facts = readFacts(bundleOf(site, printer ?? null, one.records));
    const queue = facts.queues?.find(({ uri }) => uri === one.queue.uri);
    return queue === undefined
      ? []
      : [queueEntry({ queue, facts, leadsTo: one.leadsTo, user: site.limits.user ?? null, printer: faultOf(printer) })];
  });
}

/** A spooler that was named and is not there stops all its queues. */
function silentEntries(site: Site): readonly QueueEntry[] {
  const { silentSpooler } = site.found;
  if (silentSpooler === null) return [];
  const record: Observation = {
    source: 'spooler',
    what: 'Get-Printer-Attributes',
    about: 'queue',
    subject: silentSpooler,
    outcome: 'refused',
    value: { uri: silentSpooler, httpStatus: null, version: null, status: null, attributes: {}, problems: [] },
    at: site.askedAt,
    tookMs: 0,
  };
  const facts = readFacts(bundleOf(site, null, [record]));
  return (facts.queues ?? []).map((queue) => queueEntry({ queue, facts, leadsTo: null, user: null, printer: null }));
}

/** Queues of a print host's report, each judged with the printer behind it where that is known. */
function reportEntries(site: Site, bundles: ReadonlyMap<string, EvidenceBundle>): readonly QueueEntry[] {
  const host = hostFacts(site);
  if (host === undefined) return [];
  const { about } = site.found;
  return (host.queues ?? []).flatMap((queue) => {
    const label = reportedPrinter(queue, site);
    if (about.length > 0 && (label === null || !about.includes(label))) return [];
    const printer = label === null ? undefined : bundles.get(label);
    const facts = printer === undefined ? host : readFacts(bundleOf(site, printer, site.files));
    const own = facts.queues?.find(({ uri }) => uri === queue.uri) ?? queue;
    const way = { leadsTo: leadsTo(queue, site.known), user: site.limits.user ?? null };
    return [queueEntry({ queue: own, facts, ...way, printer: faultOf(printer) })];
  });
}

/** A class leads where its members lead, when they all lead to one printer. */
function withMembers(entries: readonly QueueEntry[]): readonly QueueEntry[] {
  return entries.map((entry) => {
    const members = entries.filter(({ name, server }) => server === entry.server && entry.members.includes(name));
    const to = new Set(members.map((member) => member.leadsTo));
    const [only] = to;
    return entry.members.length > 0 && to.size === 1 && only != null ? { ...entry, leadsTo: only } : entry;
  });
}

function hostFacts(site: Site): Facts | undefined {
  const report = site.files.find(({ what }) => what === 'print-host report');
  return report === undefined ? undefined : readFacts({ ...bundleOf(site, null, site.files), target: report.subject });
}

/** Labels of the printers that a report's queues lead to. */
export function reportLabels(site: Site): readonly string[] {
  return (hostFacts(site)?.queues ?? []).flatMap((queue) => reportedPrinter(queue, site) ?? []);
}

function reportedPrinter(queue: QueueFact, { known }: Site): string | null {
  const named = known.find(({ label }) => label.toLowerCase() === queue.name.toLowerCase())?.label;
  return leadsTo(queue, known) ?? named ?? null;
}

/** What stops the printer behind a queue, where it was asked. */
function faultOf(printer: EvidenceBundle | undefined) {
  return printer === undefined ? null : printerFinding(judge(printer));
}

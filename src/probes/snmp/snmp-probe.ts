import type { Observation, SnmpSessionValue, SnmpTableValue } from '../../model/evidence.js';
import type { Target } from '../../model/target.js';
import type { Net } from '../../net/net.js';
import type { Limits, Probe } from '../probe.js';
import { BATCHES, type Batch, IDENTITY_BATCHES, SCALAR_GROUPS } from './plan.js';
import { TableReader } from './reader.js';
import { type Opening, type Openings, openSession } from './session.js';
import { ReadTable } from './table.js';
import { inOrder, remember } from './worked.js';

/** The groups of scalars as tables of one row, `0`. */
function scalarTables(opening: Opening): ReadTable[] {
  return Object.entries(SCALAR_GROUPS).map(([what, names]) => {
    const table = new ReadTable(what);
    table.at = opening.startedAt;
    table.startedMs = opening.startedMs;
    table.endedMs = opening.endedMs;
    for (const name of names) {
      const binding = opening.scalars.values.get(name);
      if (binding !== undefined) table.put('0', name, binding);
    }
    return table;
  });
}

function tableRecord(table: ReadTable, subject: string, fallbackAt: string): Observation {
  const value: SnmpTableValue = {
    kind: 'table',
    rows: table.rows,
    ...(table.cut ? { cut: true } : {}),
    problems: table.problems,
  };
  const empty = Object.keys(table.rows).length === 0;
  return {
    source: 'snmp',
    what: table.what,
    about: 'target',
    subject,
    outcome: empty ? (table.failure ?? 'answered') : 'answered',
    value,
    at: table.at ?? fallbackAt,
    tookMs: Math.round(Math.max(0, table.endedMs - table.startedMs)),
  };
}

interface Timing {
  readonly at: string;
  readonly tookMs: number;
}

function sessionRecord(target: Target, openings: Openings, timing: Timing, extra: readonly string[]): Observation {
  const { winner } = openings;
  const value: SnmpSessionValue = {
    kind: 'session',
    port: target.snmpPort,
    version: winner?.credential.version ?? null,
    label: winner?.credential.label ?? null,
    attempts: openings.attempts,
    requests: openings.requests,
    problems: [...openings.problems, ...extra],
  };
  const { outcome } = openings;
  return { source: 'snmp', what: 'session', about: 'target', subject: target.host, outcome, value, ...timing };
}

async function readTables(
  opening: Opening,
  net: Net,
  batches: readonly Batch[],
  stopped: AbortSignal,
): Promise<TableReader> {
  const seen = new Set(opening.scalars.values.keys());
  const reader = new TableReader(opening.client, net, seen, opening.endedMs - opening.startedMs, batches);
  const stop = () => reader.stop('the time for the reading ran out', 'silent');
  stopped.addEventListener('abort', stop, { once: true });
  const reading = reader.run();
  if (stopped.aborted) stop();
  await reading;
  return reader;
}

async function read(
  target: Target,
  net: Net,
  limits: Limits,
  batches: readonly Batch[],
): Promise<readonly Observation[]> {
  if (limits.credentials.length === 0) return [];
  const at = net.now().toISOString();
  const startedMs = net.monotonic();
  const deadline = new AbortController();
  const timer = setTimeout(() => deadline.abort(), limits.deadlineMs);
  try {
    const tried = { ...limits, credentials: inOrder(target, limits) };
    const openings = await openSession(target, net, tried, deadline.signal);
    const opened = { at, tookMs: Math.round(net.monotonic() - startedMs) };
    const { winner } = openings;
    if (winner === null) return [sessionRecord(target, openings, opened, [])];
    remember(target, limits, winner.credential);
    const before = winner.client.requests;
    const reader = await readTables(winner, net, batches, deadline.signal).finally(() => winner.client.close());
    const requests = openings.requests + winner.client.requests - before;
    return [
      sessionRecord(target, { ...openings, requests }, opened, reader.problems),
      ...[...scalarTables(winner), ...reader.tables.values()].map((table) => tableRecord(table, target.host, at)),
    ];
  } finally {
    clearTimeout(timer);
  }
}

/** Reads a printer over SNMP: `session` always, and one record for each group and table when an agent answered. */
export const snmpProbe: Probe = { id: 'snmp', run: (target, net, limits) => read(target, net, limits, BATCHES) };

/** Only who it is and whether it is a printer: a few columns in three questions, for a sweep that meets many hosts. */
export const snmpIdentityProbe: Probe = {
  id: 'snmp',
  run: (target, net, limits) => read(target, net, limits, IDENTITY_BATCHES),
};

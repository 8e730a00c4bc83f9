import type { Facts } from '../../facts/facts.js';
import type { PortFact } from '../../facts/ports.js';
import type { Certainty, Finding, LayerJudgement } from '../../model/layers.js';
import { type BusyPort, busyPorts } from './busy.js';

type Needs = Pick<Facts, 'life' | 'ports' | 'loss' | 'snmp' | 'ipp' | 'queues' | 'rawChannel' | 'pjl' | 'condition'>;

const list = (ports: readonly PortFact[]): string => ports.map((p) => String(p.port)).join(', ');

/**
 * Where other answers came late or not at all, silence may be loss; where some ports refuse, that firewall is an odd one; and who
 * sleeps may be slow to wake for a call.
 */
function howSure(filtered: boolean, refused: boolean, { life, loss, snmp, condition }: Needs): Certainty {
  if (!filtered) return 'sure';
  if (loss || snmp?.partial) return 'possible';
  return refused || life?.doubtful || condition?.word.standby ? 'likely' : 'sure';
}

function noneOpen(print: readonly PortFact[], facts: Needs): LayerJudgement {
  const swallowed = print.filter((p) => p.state === 'filtered');
  const filtered = swallowed.length > 0;
  const refused = print.filter((p) => p.state === 'refused');
  const finding: Finding = {
    cause: filtered ? 'print-ports-filtered' : 'print-ports-closed',
    severity: 'fault',
    certainty: howSure(filtered, refused.length > 0, facts),
    detail: { port: list(filtered ? swallowed : print) },
    evidence: print.map((p) => p.id),
  };
  return { findings: [finding], clearedBy: [] };
}

/** No port was tried but the one that IPP was asked on. */
function onlyIppRefused({ ipp }: Needs): Finding[] {
  if (ipp?.read.result !== 'no-connection') return [];
  const detail = { uri: ipp.read.uri, code: ipp.read.code };
  return [{ cause: 'print-ports-closed', severity: 'fault', certainty: 'likely', detail, evidence: ipp.read.evidence }];
}

/** A queue sends to a port of this printer that does not take calls and is not merely busy, whatever other ports do. */
function closedForQueue({ queues, ports }: Needs, busy: readonly BusyPort[]): Finding[] {
  const open = (ports?.print ?? []).filter((p) => p.state === 'open');
  const takes = open.length === 1 ? `port ${list(open)} takes` : `ports ${list(open)} take`;
  return (queues ?? []).flatMap((queue) => {
    const device = queue.device;
    if (!device?.leadsHere || device.port === null) return [];
    const port = ports?.all.find((p) => p.port === device.port);
    if (!port || port.state === 'open' || busy.some((b) => b.port === port.port)) return [];
    return [
      {
        cause: port.state === 'refused' ? 'print-ports-closed' : 'print-ports-filtered',
        severity: 'fault' as const,
        certainty: 'likely' as const,
        detail: {
          port: String(port.port),
          queue: queue.name,
          ...(open.length > 0 ? { but: `the print queue ${queue.name} sends there, while ${takes} calls` } : {}),
        },
        evidence: [port.id, queue.evidence.read],
      },
    ];
  });
}

/** Whoever opens a port that nobody serves answers in the printer's place: its open ports show nothing. */
function takenForIt(takesAll: PortFact, open: readonly PortFact[]): LayerJudgement {
  const evidence = [...open.map((p) => p.id), takesAll.id];
  const detail = { port: list([takesAll]) };
  return {
    findings: [{ cause: 'every-port-open', severity: 'fault', certainty: 'likely', detail, evidence }],
    clearedBy: [],
  };
}

/** Port: does any port that carries print data take a call? */
export function judge(facts: Needs): LayerJudgement {
  const { ports, ipp, life } = facts;
  const open = ports?.print.filter((p) => p.state === 'open') ?? [];
  const spoken = ipp && !['no-connection', 'silent'].includes(ipp.read.result) ? ipp.read.evidence : [];
  const busy = busyPorts(facts);
  const taken = busy.map((b) => b.finding);
  if (ports?.takesAll && spoken.length === 0) return takenForIt(ports.takesAll, open);
  if (open.length > 0 || spoken.length > 0) {
    const ids = [...open.map((p) => p.id), ...(open.length === 0 ? spoken : [])];
    const summary = open.length > 0 ? `Takes calls on port ${list(open)}.` : 'Its print service takes calls.';
    return { findings: [...taken, ...closedForQueue(facts, busy)], clearedBy: ids, summary };
  }
  if (taken.length > 0) {
    const now = taken.some((finding) => finding.severity === 'warning') ? (facts.pjl?.evidence ?? []) : [];
    return { findings: taken, clearedBy: now };
  }
  const asked = ports?.print.filter((p) => p.state !== 'unreachable') ?? [];
  if (!life?.alive) return { findings: [], clearedBy: [], summary: 'Could not be tried.' };
  return asked.length > 0
    ? noneOpen(asked, facts)
    : { findings: onlyIppRefused(facts), clearedBy: [], summary: 'Not tried.' };
}

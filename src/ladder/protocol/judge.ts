import type { Facts } from '../../facts/facts.js';
import type { IppFact, IppResult } from '../../facts/ipp.js';
import type { Certainty, Finding, LayerJudgement } from '../../model/layers.js';

type Needs = Pick<Facts, 'life' | 'ports' | 'path' | 'loss' | 'ipp' | 'snmp' | 'queues'>;

const BY_RESULT: Partial<Record<IppResult, readonly [cause: string, certainty: Certainty]>> = {
  garbled: ['ipp-garbled', 'sure'],
  'path-unknown': ['ipp-path-unknown', 'sure'],
  'version-refused': ['ipp-version-refused', 'sure'],
  'tls-failed': ['tls-failed', 'sure'],
  'http-error': ['http-error', 'sure'],
  error: ['http-error', 'likely'],
};

/** Results in which the service spoke IPP, whatever it said. */
const SPOKE: ReadonlySet<IppResult> = new Set([
  'ok',
  'sign-in-needed',
  'user-refused',
  'account-limit',
  'format-refused',
  'not-accepting',
  'not-supported',
]);

/** Every known queue reaches the printer by a way that does not need IPP. */
function ippUnused({ queues }: Needs): boolean {
  const here = (queues ?? []).filter((q) => q.device?.leadsHere);
  return here.length > 0 && here.every((q) => q.device?.scheme === 'socket' || q.device?.scheme === 'lpd');
}

/** Error codes of a connection that was made and then cut off by the printer. */
const HUNG_UP: ReadonlySet<string> = new Set(['ECONNRESET', 'EPIPE']);

/** Cause of what the reading came to. Without a reply the port must be seen open, or it is a matter of the port layer. */
function causeOf(
  { read }: IppFact,
  { ports, path, loss, snmp }: Needs,
): readonly [cause: string, certainty: Certainty] | undefined {
  const port = ports?.print.find((p) => read.uri.includes(`:${p.port}/`)) ?? ports?.print.find((p) => p.port === 631);
  const open = port?.state === 'open';
  if (read.result === 'no-connection' && HUNG_UP.has(read.code)) return open ? ['ipp-silent', 'likely'] : undefined;
  if (read.result !== 'silent') return BY_RESULT[read.result];
  // Said already: long packets don't come through, or whoever takes the call takes every call.
  if (path || ports?.takesAll) return undefined;
  // Where other answers get lost, this one may have been lost too.
  return open ? ['ipp-silent', loss || snmp?.partial ? 'possible' : 'likely'] : undefined;
}

function ippFinding(facts: Needs): Finding[] {
  const { ipp } = facts;
  const known = ipp && causeOf(ipp, facts);
  if (!ipp || !known) return [];
  const [cause, certainty] = known;
  return [
    {
      cause,
      severity: ippUnused(facts) ? 'warning' : 'fault',
      certainty,
      detail: { uri: ipp.read.uri, code: ipp.read.code },
      evidence: ipp.read.evidence,
    },
  ];
}

/** It reads well and answers the trial of a job with something that is no IPP: jobs sent over IPP can not be trusted. */
function trialFinding(facts: Needs): Finding[] {
  const { ipp } = facts;
  if (ipp?.validate?.result !== 'garbled' || ipp.read.result !== 'ok') return [];
  const { uri, code, evidence } = ipp.validate;
  const severity = ippUnused(facts) ? 'warning' : 'fault';
  return [{ cause: 'ipp-garbled', severity, certainty: 'likely', detail: { uri, code }, evidence }];
}

function certificateFinding({ ipp }: Needs): Finding[] {
  if (!ipp?.certificateExpired) return [];
  return [
    {
      cause: 'certificate-expired',
      severity: 'warning',
      certainty: 'sure',
      detail: { since: ipp.certificateEnds?.slice(0, 10) ?? '' },
      evidence: ipp.certificateEvidence,
    },
  ];
}

function snmpFinding({ snmp, life }: Needs): Finding[] {
  if (!snmp || !life?.speaks) return [];
  const causes = { silent: 'snmp-silent', refused: 'snmp-silent', garbled: 'snmp-garbled' } as const;
  const cause = snmp.outcome in causes ? causes[snmp.outcome as keyof typeof causes] : null;
  if (cause === null) return [];
  return [{ cause, severity: 'warning', certainty: 'sure', evidence: snmp.evidence }];
}

/** Protocol: does the printer speak what its ports promise? IPP clears it; where IPP is not offered, SNMP does. */
export function judge(facts: Needs): LayerJudgement {
  const { ipp, snmp } = facts;
  const spoke = ipp && SPOKE.has(ipp.read.result) ? ipp.read.evidence : [];
  const snmpSpoke = snmp?.outcome === 'answered' ? snmp.evidence : [];
  const findings = [...ippFinding(facts), ...trialFinding(facts), ...certificateFinding(facts), ...snmpFinding(facts)];
  const words = [spoke.length > 0 ? 'IPP' : null, snmpSpoke.length > 0 ? 'SNMP' : null].filter((w) => w !== null);
  const summary = words.length > 0 ? `Speaks ${words.join(' and ')} properly.` : 'Neither IPP nor SNMP could be read.';
  return { findings, clearedBy: [...spoke, ...snmpSpoke], summary };
}

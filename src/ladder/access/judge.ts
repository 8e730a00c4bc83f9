import type { Facts } from '../../facts/facts.js';
import type { IppStep } from '../../facts/ipp.js';
import type { RightsFact } from '../../facts/queue-fact.js';
import type { Finding, LayerJudgement } from '../../model/layers.js';

type Needs = Pick<Facts, 'ipp' | 'snmp' | 'queues'>;

const CAUSES = {
  'sign-in-needed': 'sign-in-needed',
  'user-refused': 'user-refused',
  'account-limit': 'account-limit-reached',
} as const;

function stepFinding(step: IppStep | null, queue: string | null): Finding[] {
  const cause = step && step.result in CAUSES ? CAUSES[step.result as keyof typeof CAUSES] : null;
  if (!step || cause === null) return [];
  return [
    {
      cause,
      severity: 'fault',
      certainty: 'sure',
      detail: {
        uri: step.uri,
        code: step.code,
        ...(step.user ? { user: step.user } : {}),
        ...(queue ? { queue } : {}),
        ...(step.code === 'client-error-account-closed' ? { right: 'the account is closed' } : {}),
      },
      evidence: step.evidence,
    },
  ];
}

function queueFindings({ queues }: Needs): Finding[] {
  return (queues ?? []).flatMap((queue): Finding[] => {
    const steps = [...stepFinding(queue.read, queue.name), ...stepFinding(queue.validate, queue.name)];
    const first = steps[0];
    if (first) return [first];
    if (!queue.refusesUser) return [];
    return [
      {
        cause: 'user-refused',
        severity: 'fault',
        certainty: 'sure',
        detail: { queue: queue.name, uri: queue.uri, ...(queue.rights ? rightsDetail(queue.rights) : {}) },
        evidence: [queue.evidence.read],
      },
    ];
  });
}

/** Printing, managing documents and managing the printer are three rights: said is which of them the account has. */
function rightsDetail({ user, manageDocuments, managePrinter }: RightsFact): Record<string, string> {
  const may = [
    ...(manageDocuments === 'allowed' ? ['manage documents'] : []),
    ...(managePrinter === 'allowed' ? ['manage the printer'] : []),
  ];
  const other = may.length === 0 ? '' : `, though it may ${may.join(' and ')}`;
  return { user, right: `the account may not print there${other}` };
}

function snmpFinding({ snmp }: Needs): Finding[] {
  if (snmp?.outcome !== 'denied') return [];
  return [
    {
      cause: 'snmp-credentials-refused',
      severity: 'warning',
      certainty: snmp.denialIsOurs ? 'sure' : 'likely',
      detail: { code: snmp.denial ?? 'denied' },
      evidence: snmp.evidence,
    },
  ];
}

/** Access: would a job be taken from this user? Validate-Job asks exactly this and costs no paper (RFC 8011 4.2.3). */
export function judge(facts: Needs): LayerJudgement {
  const { ipp, queues } = facts;
  const own = ipp ? [...stepFinding(ipp.read, null), ...stepFinding(ipp.validate, null)].slice(0, 1) : [];
  const findings = [...own, ...queueFindings(facts), ...snmpFinding(facts)];
  const tested = [ipp?.validate, ...(queues ?? []).map((q) => q.validate)].filter((s) => s?.result === 'ok');
  const clearedBy = tested.flatMap((s) => s?.evidence ?? []);
  const who = ipp?.validate?.user;
  const summary =
    clearedBy.length > 0
      ? `A job would be taken${who ? ` from ${who}` : ''}.`
      : 'Whether a job would be taken was not tested.';
  return { findings, clearedBy, summary };
}

import type { Facts } from '../../facts/facts.js';
import type { Finding, LayerJudgement } from '../../model/layers.js';

type Needs = Pick<Facts, 'life' | 'name' | 'expected' | 'route' | 'printer' | 'elsewhere' | 'ports' | 'ipp'>;

const SELF_ASSIGNED = /^(169\.254\.|fe80:)/i;

function nameFinding({ name }: Needs): Finding[] {
  if (!name || name.resolved) return [];
  const detail = { name: name.name, ...(name.code ? { code: name.code } : {}) };
  return [
    {
      cause: 'name-unresolved',
      severity: 'fault',
      certainty: name.resolverSilent ? 'likely' : 'sure',
      detail,
      evidence: name.evidence,
    },
  ];
}

function identityFinding({ expected, name }: Needs): Finding[] {
  if (expected?.verdict !== 'other') return [];
  return [
    {
      cause: name?.resolved ? 'name-points-elsewhere' : 'another-device-here',
      severity: 'fault',
      certainty: 'sure',
      detail: {
        ...(expected.expected ? { expected: expected.expected } : {}),
        ...(expected.found ? { other: expected.found } : {}),
        ...(name ? { name: name.name } : {}),
      },
      evidence: [...expected.evidence, ...(name?.evidence ?? [])],
    },
  ];
}

/** Something answers and says what it is, and that is no printer: the printer is elsewhere, or never was here. */
function strangerFinding({ printer, ports, ipp, expected }: Needs): Finding[] {
  const document = printer?.document;
  if (!document || document.isPrinter || expected?.verdict === 'same' || ipp?.read.result === 'ok') return [];
  if (ports?.print.some((p) => p.state === 'open')) return [];
  const other = document.identity.model ?? document.identity.name;
  return [
    {
      cause: 'another-device-here',
      severity: 'fault',
      certainty: 'likely',
      detail: other ? { other } : {},
      evidence: printer.evidence.identity ?? [],
    },
  ];
}

/** The hardware address that the link shows is none of those the device says it has. A proxy on the way does the same. */
function conflictFinding({ life, printer, route, expected }: Needs): Finding[] {
  const macs = printer?.document.identity.macs ?? [];
  if (!life?.mac || route?.reach !== 'onlink' || macs.length === 0 || macs.includes(life.mac)) return [];
  if (expected?.verdict === 'other') return [];
  return [
    {
      cause: 'address-conflict',
      severity: 'fault',
      certainty: 'likely',
      detail: { other: life.mac, expected: macs[0] ?? '' },
      evidence: [...life.evidence, ...(printer?.evidence.identity ?? [])],
    },
  ];
}

function movedFinding({ elsewhere, life }: Needs): Finding[] {
  const found = elsewhere?.[0];
  if (!found || life?.alive) return [];
  return [
    {
      cause: SELF_ASSIGNED.test(found.address) ? 'self-assigned' : 'moved',
      severity: 'fault',
      certainty: 'sure',
      detail: { other: found.address },
      evidence: found.evidence,
    },
  ];
}

function selfAssignedFinding({ printer, life }: Needs): Finding[] {
  const address = printer?.document.address;
  if (!address || !life?.alive || !SELF_ASSIGNED.test(address)) return [];
  return [
    { cause: 'self-assigned', severity: 'fault', certainty: 'likely', detail: { address }, evidence: life.evidence },
  ];
}

/** Address: does the name lead here, is this the device meant, and does nobody else claim the address? */
export function judge(facts: Needs): LayerJudgement {
  const findings = [
    ...nameFinding(facts),
    ...movedFinding(facts),
    ...(facts.expected?.verdict === 'other' ? identityFinding(facts) : strangerFinding(facts)),
    ...conflictFinding(facts),
    ...selfAssignedFinding(facts),
  ];
  const { expected, life, name } = facts;
  if (expected?.verdict === 'same') {
    return { findings, clearedBy: expected.evidence, summary: 'The device that answers is the one expected here.' };
  }
  const ids = [...(life?.alive ? life.evidence : []), ...(life?.alive && name?.resolved ? name.evidence : [])];
  return { findings, clearedBy: ids, summary: ids.length > 0 ? 'Something answers at this address.' : 'Not shown.' };
}

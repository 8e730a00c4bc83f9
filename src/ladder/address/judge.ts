import type { Facts } from '../../facts/facts.js';
import type { Finding, LayerJudgement } from '../../model/layers.js';

type Needs = Pick<Facts, 'life' | 'name' | 'expected' | 'route' | 'printer' | 'elsewhere' | 'ports' | 'ipp' | 'snmp'>;

/** RFC 3927; and the IPv6 addresses that every interface has, beside whatever else it was given (RFC 4291 2.8). */
const SELF_ASSIGNED = /^(169\.254\.|fe80:)/i;
const BY_DEFAULT = /^fe80:/i;

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
      // A network card may have been changed: its hardware address alone proves less.
      certainty: expected.kind === 'mac' ? 'likely' : 'sure',
      detail: {
        ...(expected.expected ? { expected: expected.expected } : {}),
        ...(expected.found ? { other: expected.found } : {}),
        ...(name ? { name: name.name } : {}),
      },
      evidence: [...expected.evidence, ...(name?.evidence ?? [])],
    },
  ];
}

/**
 * Something answers and says what it is, and that is no printer: the printer is elsewhere, or never was here. Of one whose answers came
 * in part only, what is missing may be just what shows a printer.
 */
function strangerFinding({ printer, ports, ipp, expected, snmp }: Needs): Finding[] {
  const document = printer?.document;
  if (snmp?.partial) return [];
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

/**
 * Two hardware addresses stand for this one: the link showed one after the other, or shows one that is none of those the
 * device says it has. A device with two sockets may answer by both; a proxy on the way does the same.
 */
function conflictFinding({ life, printer, route, expected }: Needs): Finding[] {
  const own = printer?.document.identity.macs ?? [];
  if (!life || route?.reach !== 'onlink') return [];
  const foreign = life.macs.filter((mac) => !own.includes(mac));
  const changed = life.macs.length > 1 && foreign.length > 0;
  // Of the printer that is meant, as its serial number shows, another address of the link is a repeater's or that of an
  // interface it does not list: it is there, and alone.
  const meant = expected?.verdict === 'same' && expected.kind !== 'mac';
  const settled = meant || expected?.verdict === 'other';
  const lent = own.length > 0 && foreign.length > 0 && !settled;
  if (!changed && !lent) return [];
  const [first = '', second = own[0] ?? ''] = changed ? life.macs : foreign;
  return [
    {
      cause: 'address-conflict',
      severity: 'fault',
      certainty: 'likely',
      detail: { other: first, expected: second },
      evidence: [...life.evidence, ...(lent ? (printer?.evidence.identity ?? []) : [])],
    },
  ];
}

/** Whoever is meant does not answer here: nobody does, or somebody else, or somebody who prints nothing. */
function isAway({ life, expected, printer, ports, ipp }: Needs): boolean {
  if (!life?.alive || expected?.verdict === 'other') return true;
  if (expected?.verdict === 'same' || ipp?.read.result === 'ok') return false;
  return printer?.document.isPrinter !== true && !ports?.print.some((p) => p.state === 'open');
}

function movedFinding(facts: Needs): Finding[] {
  const { elsewhere, life, expected, name } = facts;
  const found = elsewhere?.find(({ address }) => !SELF_ASSIGNED.test(address)) ?? elsewhere?.[0];
  if (!found || !isAway(facts)) return [];
  const cause = SELF_ASSIGNED.test(found.address)
    ? 'self-assigned'
    : name?.resolved
      ? 'name-points-elsewhere'
      : 'moved';
  return [
    {
      cause,
      severity: 'fault',
      certainty: !life?.alive || expected?.verdict === 'other' ? 'sure' : 'likely',
      detail: { other: found.address, ...(name ? { name: name.name } : {}) },
      evidence: [...found.evidence, ...(name?.evidence ?? [])],
    },
  ];
}

function selfAssignedFinding({ printer, life }: Needs): Finding[] {
  const address = printer?.document.address;
  if (!address || !life?.alive || !SELF_ASSIGNED.test(address) || BY_DEFAULT.test(address)) return [];
  return [
    { cause: 'self-assigned', severity: 'fault', certainty: 'likely', detail: { address }, evidence: life.evidence },
  ];
}

/** One matter, said once: where the printer is, or that two devices share its place, or who is here in its stead. */
function whoIsHere(facts: Needs): Finding[] {
  const known = [...movedFinding(facts), ...conflictFinding(facts)];
  if (known.length > 0) return known.slice(0, 1);
  return facts.expected?.verdict === 'other' ? identityFinding(facts) : strangerFinding(facts);
}

/** Address: does the name lead here, is this the device meant, and does nobody else claim the address? */
export function judge(facts: Needs): LayerJudgement {
  const findings = [...nameFinding(facts), ...whoIsHere(facts), ...selfAssignedFinding(facts)];
  const { expected, life, name } = facts;
  if (expected?.verdict === 'same') {
    return { findings, clearedBy: expected.evidence, summary: 'The device that answers is the one expected here.' };
  }
  const ids = [...(life?.alive ? life.evidence : []), ...(life?.alive && name?.resolved ? name.evidence : [])];
  return { findings, clearedBy: ids, summary: ids.length > 0 ? 'Something answers at this address.' : 'Not shown.' };
}

import { isIP } from 'node:net';
import type { Evidence, Observation, Source } from '../model/evidence.js';
import type { Target } from '../model/target.js';
import { readDeviceUri } from '../model/uri.js';
import { EVIDENCE_SCHEMA, type EvidenceBundle } from '../model/why.js';
import type { Net } from '../net/net.js';
import { dnsProbe } from './dns/dns.js';
import type { Limits, Probe } from './probe.js';
import { PROBES } from './probes.js';
import { spoolerProbe } from './spooler/spooler.js';
import { connectRecord } from './tcp/tcp.js';

/** A probe past its own limit by this much is given up: nothing may hang, whatever went wrong inside. */
const GRACE_MS = 250;

/** What the configuration or the past expects, as evidence like any other. */
function expectedRecord(target: Target, net: Net): Observation[] {
  if (target.expected === undefined) return [];
  return [
    {
      source: 'history',
      what: 'expected',
      about: 'target',
      subject: target.host,
      outcome: 'answered',
      value: { ...target.expected },
      at: net.now().toISOString(),
      tookMs: 0,
    },
  ];
}

function gaveUp(probe: Probe, target: Target, at: string, tookMs: number): Observation {
  const source = probe.id as Source;
  return { source, what: probe.id, about: 'target', subject: target.host, outcome: 'failed', value: null, at, tookMs };
}

/** Runs one probe within its limit. A probe that throws or overruns is a record like any other, and the rest go on. */
async function runBounded(
  probe: Probe,
  target: Target,
  net: Net,
  limits: Limits,
  seen: readonly Observation[] = [],
): Promise<readonly Observation[]> {
  const started = net.monotonic();
  const at = net.now().toISOString();
  let timer: NodeJS.Timeout | undefined;
  const overrun = new Promise<'overrun'>((resolve) => {
    timer = setTimeout(() => resolve('overrun'), limits.deadlineMs + GRACE_MS);
  });
  try {
    const result = await Promise.race([probe.run(target, net, limits, seen), overrun]);
    if (result !== 'overrun') return result;
  } catch {
    // The probe's own fault, not the network's: it is recorded as failed below.
  } finally {
    clearTimeout(timer);
  }
  return [gaveUp(probe, target, at, Math.round(net.monotonic() - started))];
}

/** A queue has one device, a target few queues: whoever names more ports would have the printer scanned. */
const MOST_UNTRIED = 8;

/** Ports of this target that its queues send to and that no probe has tried. */
function untriedPorts(records: readonly Observation[], target: Target): number[] {
  const uris = records.flatMap((r) =>
    r.source === 'spooler' && r.value !== null && !('kind' in r.value)
      ? (r.value.attributes['device-uri'] ?? []).map((v) => String(v.value))
      : [],
  );
  const wanted = uris.flatMap((uri) => {
    const device = readDeviceUri(uri);
    return 'wrong' in device || device.host !== target.host ? [] : [device.port];
  });
  const tried = new Set(records.flatMap((r) => (r.source === 'tcp' ? [r.what] : [])));
  return [...new Set(wanted)].filter((port) => !tried.has(`${port}/tcp`)).slice(0, MOST_UNTRIED);
}

const ORDER: readonly Source[] = [
  'history',
  'dns',
  'neighbour',
  'icmp',
  'tcp',
  'http',
  'dns-sd',
  'snmp',
  'ipp',
  'spooler',
  'lpd',
  'pjl',
  'switch',
];
const rank = (record: Observation): number => (ORDER.indexOf(record.source) + ORDER.length + 1) % (ORDER.length + 1);

/**
 * Gives ids in an order that does not depend on which answer came first, so that two runs over the same site compare.
 * Within a source the order of its probe is kept.
 */
function numbered(records: readonly Observation[]): Evidence[] {
  return records
    .map((record, index) => ({ record, index }))
    .sort((a, b) => rank(a.record) - rank(b.record) || a.index - b.index)
    .map(({ record }, index) => ({ id: `e${index + 1}`, ...record }) as Evidence);
}

async function addressOf(target: Target, found: readonly Observation[]): Promise<string | null> {
  if (isIP(target.host) !== 0) return target.host;
  const dns = found.find((r) => r.source === 'dns');
  return (dns?.source === 'dns' && dns.value?.addresses[0]) || null;
}

async function askAll(
  target: Target,
  net: Net,
  limits: Limits,
  probes: readonly Probe[],
): Promise<readonly Observation[]> {
  const runAll = async (some: readonly Probe[], seen: readonly Observation[]): Promise<Observation[]> =>
    (await Promise.all(some.map((probe) => runBounded(probe, target, net, limits, seen)))).flat();
  const early = probes.filter(({ late }) => late === undefined);
  const records = await runAll(early, []);
  const more = await Promise.all(untriedPorts(records, target).map((port) => connectRecord(target, port, net, limits)));
  const seen = [...records, ...more];
  const late = probes.filter((probe) => probe.late?.(target, seen));
  return [...seen, ...(await runAll(late, seen))];
}

/** A bundle with more records at its end. */
export function withEvidence(bundle: EvidenceBundle, more: readonly Observation[]): EvidenceBundle {
  const taken = bundle.evidence.length;
  const added = more.map((record, index) => ({ ...record, id: `e${taken + index + 1}` }) as Evidence);
  return more.length === 0 ? bundle : { ...bundle, evidence: [...bundle.evidence, ...added] };
}

/**
 * Asks everything about one target: first its name, where it has one, then all probes together, each with its own limit.
 * Gives a bundle that can be judged, saved and judged again. Never throws for what the network did.
 */
export async function collectEvidence(
  target: Target,
  net: Net,
  limits: Limits,
  probes: readonly Probe[] = PROBES,
): Promise<EvidenceBundle> {
  const askedAt = net.now().toISOString();
  const started = net.monotonic();
  const named = await runBounded(dnsProbe, target, net, limits);
  const address = await addressOf(target, named);
  const reached: Target = address === null ? target : { ...target, host: address };
  const asked = address === null ? probes.filter((p) => p === spoolerProbe) : probes;
  const records = await askAll(reached, net, limits, asked);
  return {
    schema: EVIDENCE_SCHEMA,
    target: target.label,
    address,
    ...(target.deviceIndex === undefined ? {} : { deviceIndex: target.deviceIndex }),
    ...(limits.user === undefined ? {} : { user: limits.user }),
    askedAt,
    tookMs: Math.round(net.monotonic() - started),
    evidence: numbered([...expectedRecord(reached, net), ...named, ...records]),
  };
}

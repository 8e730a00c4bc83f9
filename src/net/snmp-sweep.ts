import type { Outcome, SnmpVersion } from '../model/evidence.js';
import { OBJECTS } from '../registry/objects.generated.js';
import type { RawVarbind, SnmpClient, SnmpCredential } from './net.js';
import { openSnmpOver } from './snmp-guard.js';
import { SharedSocket } from './snmp-shared-socket.js';

export interface SweepTarget {
  readonly address: string;
  readonly port: number;
}

export interface SweepOptions {
  /** One answer. Milliseconds. */
  readonly timeoutMs: number;
  readonly retries: number;
  /** Targets that may be asked at once. About 100 lose nothing; a thousand lose replies. */
  readonly maxInFlight: number;
  /** Called once for each target, in the order in which they end. */
  readonly onReply: (reply: SweepReply) => void;
  readonly signal?: AbortSignal;
}

/** What one target said of itself. Octets may be in any character set. */
export interface SweepReply {
  readonly address: string;
  readonly port: number;
  /** `answered`: an agent is there. Nothing else tells an absent agent from a wrong community. */
  readonly outcome: Outcome;
  readonly version: SnmpVersion;
  readonly error?: string;
  /**
   * First instance of each object that the agent has: `sysDescr`, `sysObjectID`, `sysName`, `hrPrinterStatus`, `hrDeviceDescr` of
   * the printer's device, `prtGeneralPrinterName`, `prtGeneralSerialNumber`. A printer has `hrPrinterStatus` or a
   * `prtGeneral…` object.
   */
  readonly values: Readonly<Record<string, RawVarbind>>;
  readonly problems: readonly string[];
}

/** Asked by GETNEXT, so that one question finds the first row whatever its index is, in every version. */
const OBJECT_NAMES = [
  'sysDescr',
  'sysObjectID',
  'sysName',
  'hrPrinterStatus',
  'prtGeneralPrinterName',
  'prtGeneralSerialNumber',
] as const;

function oidOf(name: string): string {
  return OBJECTS[name]?.oid ?? '';
}

interface Answer {
  readonly outcome: Outcome;
  readonly error?: string;
  readonly values: Record<string, RawVarbind>;
  readonly problems: string[];
}

/** Version 1 answers noSuchName for the object behind which there is nothing: the others are asked again without it. */
async function firstRows(client: SnmpClient): Promise<Answer> {
  let names: readonly string[] = OBJECT_NAMES;
  const problems: string[] = [];
  const values: Record<string, RawVarbind> = {};
  for (;;) {
    const reply = await client.getNext(names.map(oidOf));
    problems.push(...reply.problems);
    for (const [i, binding] of reply.varbinds.entries()) {
      const name = names[i] ?? '';
      const below = binding.oid.startsWith(`${oidOf(name)}.`);
      if (below && !/^(NoSuch|EndOfMibView)/.test(binding.type)) values[name] = binding;
    }
    const missing = reply.error === 'noSuchName' ? names[(reply.errorIndex ?? names.length) - 1] : undefined;
    if (missing === undefined || names.length === 1) {
      const { outcome, error } = reply;
      return { outcome, values, problems, ...(error === undefined || outcome === 'answered' ? {} : { error }) };
    }
    names = names.filter((name) => name !== missing);
  }
}

/** The description of the very device that is a printer, which need not be the first. */
async function addDescription(client: SnmpClient, values: Record<string, RawVarbind>): Promise<void> {
  const status = values.hrPrinterStatus?.oid;
  if (status === undefined) return;
  const device = status.slice(oidOf('hrPrinterStatus').length);
  const reply = await client.get([`${oidOf('hrDeviceDescr')}${device}`]);
  const [description] = reply.varbinds;
  if (description?.type === 'OctetString') values.hrDeviceDescr = description;
}

async function ask(target: SweepTarget, credential: SnmpCredential, shared: SharedSocket, options: SweepOptions) {
  const { timeoutMs, retries } = options;
  const client = openSnmpOver({ ...target, credential, timeoutMs, retries }, (address, port) =>
    shared.channel(address, port),
  );
  const abort = () => client.close();
  options.signal?.addEventListener('abort', abort, { once: true });
  try {
    const answer = await firstRows(client);
    if (answer.outcome === 'answered') await addDescription(client, answer.values);
    options.onReply({ ...target, version: credential.version, ...answer });
  } finally {
    options.signal?.removeEventListener('abort', abort);
    client.close();
  }
}

/**
 * Asks many addresses for what they are, with one credential, over one UDP socket for each address family. Targets are taken from the
 * list as places become free, so that the caller sets the pace by yielding slowly. Resolves when the last one has ended
 * or the signal aborted.
 */
export async function sweepSnmp(
  targets: AsyncIterable<SweepTarget> | Iterable<SweepTarget>,
  credential: SnmpCredential,
  options: SweepOptions,
): Promise<void> {
  const shared = new SharedSocket();
  const busy = new Set<Promise<void>>();
  try {
    for await (const target of targets) {
      if (options.signal?.aborted) break;
      const asking: Promise<void> = ask(target, credential, shared, options).finally(() => busy.delete(asking));
      busy.add(asking);
      if (busy.size >= options.maxInFlight) await Promise.race(busy);
    }
    await Promise.all(busy);
  } finally {
    shared.close();
  }
}

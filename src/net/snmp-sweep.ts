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
   * First instance of each object that the agent has: `sysDescr`, `sysObjectID`, `sysName`, `hrPrinterStatus`,
   * `hrDeviceDescr` of the printer's device, `prtGeneralPrinterName`, `prtGeneralSerialNumber`. A printer has
   * `hrPrinterStatus` or a `prtGeneral…` object.
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

/**
 * Version 1 answers noSuchName for the object behind which there is nothing: the others are asked again without it.
 */
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

/** A sweep under way: its socket and the sessions over it. */
class Sweep {
  readonly shared = new SharedSocket();
  readonly clients = new Set<SnmpClient>();

  constructor(
    private readonly credential: SnmpCredential,
    private readonly options: SweepOptions,
  ) {}

  async ask(target: SweepTarget): Promise<void> {
    const { timeoutMs, retries } = this.options;
    const client = openSnmpOver({ ...target, credential: this.credential, timeoutMs, retries }, (address, port) =>
      this.shared.channel(address, port),
    );
    this.clients.add(client);
    try {
      const answer = await firstRows(client);
      if (answer.outcome === 'answered') await addDescription(client, answer.values);
      this.options.onReply({ ...target, version: client.version, ...answer });
    } finally {
      this.clients.delete(client);
      client.close();
    }
  }

  stop(): void {
    for (const client of this.clients) client.close();
  }
}

/**
 * Asks many addresses for what they are, with one credential, over one UDP socket for each address family. Targets
 * are taken from the list as places become free, so that the caller sets the pace by yielding slowly. Resolves when
 * the last one has ended or the signal aborted. Rejects only with what `onReply` or the list of targets threw.
 */
export async function sweepSnmp(
  targets: AsyncIterable<SweepTarget> | Iterable<SweepTarget>,
  credential: SnmpCredential,
  options: SweepOptions,
): Promise<void> {
  const sweep = new Sweep(credential, options);
  const busy = new Set<Promise<void>>();
  const stop = () => sweep.stop();
  let failure: { readonly error: unknown } | undefined;
  options.signal?.addEventListener('abort', stop, { once: true });
  try {
    for await (const target of targets) {
      if (options.signal?.aborted) break;
      if (failure !== undefined) break;
      const asking: Promise<void> = sweep
        .ask(target)
        .catch((error: unknown) => {
          failure ??= { error };
        })
        .finally(() => busy.delete(asking));
      busy.add(asking);
      if (busy.size >= options.maxInFlight) await Promise.race(busy);
    }
    await Promise.all(busy);
  } finally {
    options.signal?.removeEventListener('abort', stop);
    sweep.stop();
    sweep.shared.close();
  }
  if (failure !== undefined) throw failure.error;
}

import type { Outcome } from '../../model/evidence.js';
import type { RawVarbind, SnmpClient, SnmpReply } from '../../net/net.js';
import { instanceOf } from './oid.js';
import { objectNamed } from './plan.js';

/** Questions that the scalars may take: one, unless the agent is odd. */
const MAX_QUESTIONS = 24;

export interface Scalars {
  /** `answered` when the agent answered at all, else what the first question came to. */
  readonly outcome: Outcome;
  readonly error?: string;
  readonly values: ReadonlyMap<string, RawVarbind>;
  readonly problems: readonly string[];
}

/** One pass over the scalars: what is still to ask and what has come. */
class Pass {
  readonly values = new Map<string, RawVarbind>();
  readonly problems: string[] = [];
  pending: readonly string[];
  size: number;

  constructor(
    private readonly client: SnmpClient,
    names: readonly string[],
  ) {
    this.pending = names;
    this.size = names.length;
  }

  /** Version 1 has no exception values, so one missing object would spoil a GET; GETNEXT steps over it. */
  ask(names: readonly string[]): Promise<SnmpReply> {
    const oids = names.map((name) => objectNamed(name).oid);
    return this.client.version === '1' ? this.client.getNext(oids) : this.client.get(oids.map((oid) => `${oid}.0`));
  }

  drop(names: readonly (string | undefined)[]): void {
    this.pending = this.pending.filter((name) => !names.includes(name));
  }

  take(asked: readonly string[], varbinds: readonly RawVarbind[]): void {
    const got: string[] = [];
    for (const [i, binding] of varbinds.entries()) {
      const byOid = asked.find((name) => instanceOf(objectNamed(name).oid, binding.oid) === '0');
      const name = byOid ?? (this.client.version === '1' ? asked[i] : undefined);
      if (name === undefined) continue;
      got.push(name);
      if (byOid !== undefined && !/^(NoSuch|EndOfMibView|Null)/.test(binding.type)) this.values.set(name, binding);
    }
    if (got.length === 0) this.shrink(asked, 'no value');
    else this.drop(got);
  }

  /** Smaller questions; a single object that still fails is left out. */
  shrink(asked: readonly string[], problem: string): void {
    if (asked.length === 1) {
      if (problem !== 'noSuchName') this.problems.push(`${asked[0]}: ${problem}`);
      this.drop(asked);
    }
    this.size = Math.max(1, Math.ceil(asked.length / 2));
  }

  refused(asked: readonly string[], reply: SnmpReply): void {
    const blamed = reply.errorIndex === undefined ? undefined : asked[reply.errorIndex - 1];
    if (reply.error === 'tooBig' || blamed === undefined) this.shrink(asked, reply.error ?? reply.outcome);
    else {
      if (reply.error !== 'noSuchName') this.problems.push(`${blamed}: answered ${reply.error}`);
      this.drop([blamed]);
    }
  }
}

/**
 * Reads scalars by name with as few questions as the agent allows. The first one also shows whether it answers at
 * all. `told` hears what each question came to, for a reading that is cut off before its end.
 */
export async function readScalars(
  client: SnmpClient,
  names: readonly string[],
  told: (outcome: Outcome) => void = () => {},
): Promise<Scalars> {
  const pass = new Pass(client, names);
  for (let i = 0; i < MAX_QUESTIONS && pass.pending.length > 0; i++) {
    const asked = pass.pending.slice(0, pass.size);
    const reply = await pass.ask(asked);
    told(reply.outcome);
    pass.problems.push(...reply.problems);
    if (reply.outcome === 'answered' && reply.error === undefined) pass.take(asked, reply.varbinds);
    else if (reply.outcome === 'answered') pass.refused(asked, reply);
    else if (reply.outcome === 'garbled' && asked.length > 1) pass.shrink(asked, 'undecodable');
    else if (pass.values.size === 0)
      return {
        outcome: reply.outcome,
        ...(reply.error ? { error: reply.error } : {}),
        values: pass.values,
        problems: pass.problems,
      };
    else pass.shrink(asked, reply.outcome);
  }
  return { outcome: 'answered', values: pass.values, problems: pass.problems };
}

import { setTimeout as delay } from 'node:timers/promises';
import type { Outcome, SnmpAttempt } from '../../model/evidence.js';
import type { Target } from '../../model/target.js';
import type { Net, SnmpClient, SnmpCredential } from '../../net/net.js';
import type { Limits } from '../probe.js';
import { SCALAR_GROUPS } from './plan.js';
import { readScalars, type Scalars } from './scalars.js';

/** Between the starts of two attempts, so that a good first credential spares the others. Milliseconds. */
const STAGGER_MS = 60;
/** How long all credentials together have before it is asked whether an agent is there at all. */
const PATIENCE_MS = 250;
/**
 * Nobody's credential: a version 3 agent tells its engine to everybody (RFC 3414 4) and then names the user as unknown.
 * That shows an agent whose community is another one, where a wrong community and no agent at all are both silence.
 */
const NOBODY: SnmpCredential = { version: '3', user: '', level: 'noAuthNoPriv', label: 'without a name' };

/** One credential tried: the open session and the scalars it gave. */
export interface Opening {
  readonly credential: SnmpCredential;
  readonly client: SnmpClient;
  readonly scalars: Scalars;
  readonly startedAt: string;
  /** Milliseconds, on the clock of `Net.monotonic`. */
  readonly startedMs: number;
  readonly endedMs: number;
}

export interface Openings {
  readonly winner: Opening | null;
  readonly attempts: readonly SnmpAttempt[];
  readonly outcome: Outcome;
  readonly requests: number;
  readonly problems: readonly string[];
}

/** What says most about the agent first. */
const WEIGHT: readonly Outcome[] = ['answered', 'denied', 'garbled', 'refused', 'failed', 'silent'];

/**
 * The outcome of several attempts: the one that says most. Silence is all that a wrong community and an absent agent
 * share.
 */
function together(attempts: readonly SnmpAttempt[]): Outcome {
  return WEIGHT.find((outcome) => attempts.some((attempt) => attempt.outcome === outcome)) ?? 'silent';
}

async function open(
  credential: SnmpCredential,
  client: SnmpClient,
  net: Net,
  told: (outcome: Outcome) => void,
): Promise<Opening> {
  const startedAt = net.now().toISOString();
  const startedMs = net.monotonic();
  const scalars = await readScalars(client, Object.values(SCALAR_GROUPS).flat(), told);
  return { credential, client, scalars, startedAt, startedMs, endedMs: net.monotonic() };
}

function attemptOf({ credential, scalars }: Opening): SnmpAttempt {
  const { error, problems } = scalars;
  // It told its engine and then left the question of nobody unanswered: that is a no, too.
  const told = credential === NOBODY && error === 'no-answer-after-discovery';
  const outcome = told ? 'denied' : scalars.outcome;
  const detail = error ?? (outcome === 'answered' ? undefined : problems[0]);
  const { version, label } = credential;
  return { version, label, outcome, ...(detail === undefined ? {} : { detail }) };
}

/** One credential on trial: its reading once that ended, and until then what its last question came to. */
interface Trial {
  readonly credential: SnmpCredential;
  opening?: Opening;
  heard?: Outcome;
}

const answeredAt = (trials: readonly Trial[]): number =>
  trials.findIndex(({ opening }) => opening?.scalars.outcome === 'answered');

/** Answered attempts by the order of their credentials, once an earlier one has had its chance too. */
async function preferred(started: readonly Promise<Opening>[], trials: readonly Trial[]): Promise<number> {
  const index = answeredAt(trials);
  const earlier = started.slice(0, index).filter((_, i) => trials[i]?.opening === undefined);
  if (earlier.length === 0) return index;
  await Promise.race([Promise.all(earlier), delay(STAGGER_MS)]);
  return answeredAt(trials);
}

/**
 * Attempts that ended; without a winner also those that the deadline cut off, as far as anything had been heard. Nobody's
 * stands among them only when it was answered in some way.
 */
function attemptsOf(trials: readonly Trial[]): readonly SnmpAttempt[] {
  const won = answeredAt(trials) >= 0;
  return trials.flatMap(({ credential, opening, heard }): SnmpAttempt[] => {
    if (opening === undefined && won) return [];
    const { version, label } = credential;
    const attempt = opening === undefined ? { version, label, outcome: heard ?? 'silent' } : attemptOf(opening);
    return credential === NOBODY && attempt.outcome !== 'denied' && attempt.outcome !== 'answered' ? [] : [attempt];
  });
}

/** The trials of one session: begun one by one, looked at together. */
class Trials {
  readonly all: Trial[] = [];
  readonly started: Promise<Opening>[] = [];
  readonly clients: SnmpClient[] = [];

  constructor(
    private readonly target: Target,
    private readonly net: Net,
    private readonly limits: Limits,
  ) {}

  begin(credential: SnmpCredential): void {
    const { timeoutMs, retries } = this.limits;
    const { host: address, snmpPort: port } = this.target;
    const client = this.net.snmp({ address, port, credential, timeoutMs, retries });
    const trial: Trial = { credential };
    this.clients.push(client);
    this.all.push(trial);
    const told = (outcome: Outcome) => {
      trial.heard = outcome;
    };
    const attempt = open(credential, client, this.net, told).then((opening) => {
      trial.opening = opening;
      return opening;
    });
    this.started.push(attempt);
  }

  /** The first answer, or the end of all that were begun. */
  settled(): Promise<unknown> {
    const answer = new Promise<void>((resolve) => {
      for (const attempt of this.started)
        void attempt.then(({ scalars }) => scalars.outcome === 'answered' && resolve());
    });
    return Promise.race([answer, Promise.all(this.started)]);
  }

  get answered(): boolean {
    return answeredAt(this.all) >= 0;
  }

  /** Whether nothing but silence has come so far: then even the question of nobody may tell something. */
  get onlySilence(): boolean {
    return this.all.every(({ opening, heard }) => (opening?.scalars.outcome ?? heard ?? 'silent') === 'silent');
  }
}

/** Tries all credentials, each a little after the one before it, and keeps the first in order that is answered. */
export async function openSession(target: Target, net: Net, limits: Limits, stopped: AbortSignal): Promise<Openings> {
  const { credentials } = limits;
  const trials = new Trials(target, net, limits);
  const aborted = new Promise<void>((resolve) => stopped.addEventListener('abort', () => resolve(), { once: true }));
  for (const credential of credentials) {
    if (trials.answered || stopped.aborted) break;
    trials.begin(credential);
    await Promise.race([trials.started.at(-1), delay(STAGGER_MS), aborted]);
  }
  if (credentials.every(({ version }) => version !== '3')) {
    await Promise.race([trials.settled(), delay(PATIENCE_MS), aborted]);
    if (trials.onlySilence && !stopped.aborted) trials.begin(NOBODY);
  }
  await Promise.race([trials.settled(), aborted]);
  const { all, clients, started } = trials;
  const index = trials.answered ? await preferred(started, all) : -1;
  const winner = all[index]?.opening ?? null;
  const attempts = attemptsOf(all);
  const problems = all.flatMap(({ opening }) => opening?.scalars.problems ?? []);
  for (const client of clients) if (client !== winner?.client) client.close();
  return {
    winner,
    attempts,
    outcome: together(attempts),
    requests: clients.reduce((sum, { requests }) => sum + requests, 0),
    problems: [...new Set(problems)],
  };
}

import { setTimeout as delay } from 'node:timers/promises';
import type { Outcome, SnmpAttempt } from '../../model/evidence.js';
import type { Target } from '../../model/target.js';
import type { Net, SnmpClient, SnmpCredential } from '../../net/net.js';
import type { Limits } from '../probe.js';
import { SCALAR_GROUPS } from './plan.js';
import { readScalars, type Scalars } from './scalars.js';

/** Between the starts of two attempts, so that a good first credential spares the others. Milliseconds. */
const STAGGER_MS = 60;

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

function attemptOf(opening: Opening): SnmpAttempt {
  const { outcome, error, problems } = opening.scalars;
  const detail = error ?? (outcome === 'answered' ? undefined : problems[0]);
  const { version, label } = opening.credential;
  return { version, label, outcome, ...(detail === undefined ? {} : { detail }) };
}

/** One credential on trial: its reading once that ended, and until then what its last question came to. */
interface Trial {
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

/** Attempts that ended; without a winner also those that the deadline cut off, as far as anything had been heard. */
function attemptsOf(credentials: readonly SnmpCredential[], trials: readonly Trial[]) {
  const won = answeredAt(trials) >= 0;
  return trials.flatMap(({ opening, heard }, i): SnmpAttempt[] => {
    const credential = credentials[i];
    if (opening !== undefined) return [attemptOf(opening)];
    if (won || credential === undefined) return [];
    const { version, label } = credential;
    return [{ version, label, outcome: heard ?? 'silent' }];
  });
}

/** Tries all credentials, each a little after the one before it, and keeps the first in order that is answered. */
export async function openSession(target: Target, net: Net, limits: Limits, stopped: AbortSignal): Promise<Openings> {
  const { timeoutMs, retries, credentials } = limits;
  const clients: SnmpClient[] = [];
  const trials: Trial[] = [];
  const started: Promise<Opening>[] = [];
  const answered = () => answeredAt(trials) >= 0;
  const aborted = new Promise<void>((resolve) => stopped.addEventListener('abort', () => resolve(), { once: true }));
  for (const credential of credentials) {
    if (answered() || stopped.aborted) break;
    const client = net.snmp({ address: target.host, port: target.snmpPort, credential, timeoutMs, retries });
    clients.push(client);
    const trial: Trial = {};
    trials.push(trial);
    const told = (outcome: Outcome) => {
      trial.heard = outcome;
    };
    const attempt = open(credential, client, net, told).then((opening) => {
      trial.opening = opening;
      return opening;
    });
    started.push(attempt);
    await Promise.race([attempt, delay(STAGGER_MS), aborted]);
  }
  const anyAnswer = new Promise<void>((resolve) => {
    for (const attempt of started) void attempt.then(({ scalars }) => scalars.outcome === 'answered' && resolve());
  });
  await Promise.race([anyAnswer, Promise.all(started), aborted]);
  const index = answered() ? await preferred(started, trials) : -1;
  const winner = trials[index]?.opening ?? null;
  const attempts = attemptsOf(credentials, trials);
  const problems = trials.flatMap(({ opening }) => opening?.scalars.problems ?? []);
  for (const client of clients) if (client !== winner?.client) client.close();
  return {
    winner,
    attempts,
    outcome: together(attempts),
    requests: clients.reduce((sum, { requests }) => sum + requests, 0),
    problems: [...new Set(problems)],
  };
}

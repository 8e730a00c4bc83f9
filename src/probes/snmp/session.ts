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

async function open(credential: SnmpCredential, client: SnmpClient, net: Net): Promise<Opening> {
  const startedAt = net.now().toISOString();
  const startedMs = net.monotonic();
  const scalars = await readScalars(client, Object.values(SCALAR_GROUPS).flat());
  return { credential, client, scalars, startedAt, startedMs, endedMs: net.monotonic() };
}

function attemptOf(opening: Opening): SnmpAttempt {
  const { outcome, error, problems } = opening.scalars;
  const detail = error ?? (outcome === 'answered' ? undefined : problems[0]);
  const { version, label } = opening.credential;
  return { version, label, outcome, ...(detail === undefined ? {} : { detail }) };
}

/** Answered attempts by the order of their credentials, once an earlier one has had its chance too. */
async function preferred(
  started: readonly Promise<Opening>[],
  done: readonly (Opening | undefined)[],
): Promise<number> {
  const index = done.findIndex((opening) => opening?.scalars.outcome === 'answered');
  const earlier = started.slice(0, index).filter((_, i) => done[i] === undefined);
  if (earlier.length === 0) return index;
  await Promise.race([Promise.all(earlier), delay(STAGGER_MS)]);
  return done.findIndex((opening) => opening?.scalars.outcome === 'answered');
}

/** Attempts that ended; without a winner also those that the deadline cut off, for which nothing had been heard. */
function attemptsOf(credentials: readonly SnmpCredential[], started: number, done: readonly (Opening | undefined)[]) {
  const won = done.some((opening) => opening?.scalars.outcome === 'answered');
  return credentials.slice(0, started).flatMap(({ version, label }, i): SnmpAttempt[] => {
    const opening = done[i];
    if (opening !== undefined) return [attemptOf(opening)];
    return won ? [] : [{ version, label, outcome: 'silent' }];
  });
}

/** Tries all credentials, each a little after the one before it, and keeps the first in order that is answered. */
export async function openSession(target: Target, net: Net, limits: Limits, stopped: AbortSignal): Promise<Openings> {
  const { timeoutMs, retries, credentials } = limits;
  const clients: SnmpClient[] = [];
  const done: (Opening | undefined)[] = [];
  const started: Promise<Opening>[] = [];
  const answered = () => done.some((opening) => opening?.scalars.outcome === 'answered');
  const aborted = new Promise<void>((resolve) => stopped.addEventListener('abort', () => resolve(), { once: true }));
  for (const [i, credential] of credentials.entries()) {
    if (answered() || stopped.aborted) break;
    const client = net.snmp({ address: target.host, port: target.snmpPort, credential, timeoutMs, retries });
    clients.push(client);
    const attempt = open(credential, client, net).then((opening) => {
      done[i] = opening;
      return opening;
    });
    started.push(attempt);
    await Promise.race([attempt, delay(STAGGER_MS), aborted]);
  }
  const anyAnswer = new Promise<void>((resolve) => {
    for (const attempt of started) void attempt.then(({ scalars }) => scalars.outcome === 'answered' && resolve());
  });
  await Promise.race([anyAnswer, Promise.all(started), aborted]);
  const index = answered() ? await preferred(started, done) : -1;
  const winner = done[index] ?? null;
  const attempts = attemptsOf(credentials, started.length, done);
  const problems = done.flatMap((opening) => opening?.scalars.problems ?? []);
  for (const client of clients) if (client !== winner?.client) client.close();
  return {
    winner,
    attempts,
    outcome: together(attempts),
    requests: clients.reduce((sum, { requests }) => sum + requests, 0),
    problems: [...new Set(problems)],
  };
}

import { setTimeout as sleep } from 'node:timers/promises';
import type { ServiceInstance } from '../model/evidence.js';
import { type Ear, openEar } from './dns-sd/ear.js';
import { HeardRecords, type Question } from './dns-sd/records.js';
import type { Listening } from './net.js';
import { ownLinks } from './subnets.js';

/** What is missing is asked for this often; the same question at most three times. */
const ROUND_MS = 150;
const MOST_ASKED = 3;
const MOST_IN_ONE_PACKET = 12;
/** A browse question is repeated a second after the first, then after twice that (RFC 6762 5.2). */
const AGAIN_MS = 1000;

/**
 * Listens for service instances of these types (`_ipp._tcp`, `_printer._sub._http._tcp` …) for `listenMs` on every interface,
 * over IPv4 and link-local IPv6, and asks for what an announcement left out. A machine without multicast, or with the port
 * taken, hears nothing: that is no error. Link-local IPv6 addresses come with their zone.
 */
export async function browse(
  types: readonly string[],
  listenMs: number,
  listening: Listening<ServiceInstance> = {},
): Promise<readonly ServiceInstance[]> {
  const talk = new Talk(types);
  await talk.listen(listenMs, listening.signal, (now) => {
    talk.askFor(talk.records.missing(types, now, talk.found()));
    listening.onHeard?.(talk.instances(now));
    return false;
  });
  return talk.instances(performance.now());
}

/** The addresses of a `.local` name by multicast DNS, as soon as one is heard, at most `timeoutMs` later. */
export async function resolveLocal(name: string, timeoutMs: number): Promise<readonly string[]> {
  const talk = new Talk([]);
  await talk.listen(timeoutMs, undefined, (now) => {
    talk.askFor([
      { name, type: 'A' },
      { name, type: 'AAAA' },
    ]);
    return talk.records.addresses(name, now).length > 0;
  });
  // A zone counts on this machine only, and a name is resolved to keep its address: without one it leads nowhere.
  return talk.records.addresses(name, performance.now()).filter((address) => !/^fe[89ab]/i.test(address));
}

/** One conversation with the links: an ear on each, and the records heard by all of them. */
class Talk {
  readonly records = new HeardRecords();
  private readonly ears: readonly Ear[];
  private readonly asked = new Map<string, number>();

  constructor(private readonly types: readonly string[]) {
    const onAnswers = (answers: Parameters<HeardRecords['hear']>[0]): void =>
      this.records.hear(answers, performance.now());
    this.ears = ownLinks().flatMap((link) => {
      const addresses = [...link.ipv4, ...(link.hasIpv6 ? [null] : [])];
      return addresses.map((address) => openEar({ link, address, types, onAnswers }));
    });
  }

  found(): readonly { readonly type: string; readonly full: string }[] {
    return this.ears.flatMap((ear) => ear.found());
  }

  instances(now: number): readonly ServiceInstance[] {
    return this.records.instances(this.types, now, this.found());
  }

  askFor(questions: readonly Question[]): void {
    const open = questions.filter((question) => this.countUp(question) <= MOST_ASKED);
    for (let first = 0; first < open.length; first += MOST_IN_ONE_PACKET) {
      for (const ear of this.ears) ear.ask(open.slice(first, first + MOST_IN_ONE_PACKET));
    }
  }

  /** Until the time is up, the signal aborts or `round` says that it is enough. */
  async listen(listenMs: number, signal: AbortSignal | undefined, round: (now: number) => boolean): Promise<void> {
    const start = performance.now();
    let again = AGAIN_MS;
    try {
      for (let now = start; this.ears.length > 0 && now - start < listenMs; now = performance.now()) {
        if (now - start >= again) {
          for (const ear of this.ears) ear.browseAgain();
          again = again * 2 + AGAIN_MS;
        }
        if (round(now) || signal?.aborted === true) break;
        await sleep(Math.max(1, Math.min(ROUND_MS, listenMs - (now - start))), undefined, { signal }).catch(
          () => undefined,
        );
      }
    } finally {
      for (const ear of this.ears) ear.close();
    }
  }

  private countUp(question: Question): number {
    const key = `${question.type} ${question.name}`;
    const count = (this.asked.get(key) ?? 0) + 1;
    this.asked.set(key, count);
    return count;
  }
}

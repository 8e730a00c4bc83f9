import { randomBytes } from 'node:crypto';
import { Tokens } from '@fastify/csrf';

/** Somebody who gave the token by the form. */
export interface Session {
  /** The first letters of a number that only the log knows; not what the cookie holds. */
  readonly shown: string;
  /** What the tokens of its forms are made with. */
  readonly secret: string;
  readonly until: number;
}

const HOURS = 12;
/** A working day; then the token is asked for again. */
export const SESSION_SECONDS = HOURS * 3_600;
const MOST_SESSIONS = 1_000;
const tokens = new Tokens({ algorithm: 'sha256' });

/** Who is signed in. In memory only: a restart signs everybody out. `now` in milliseconds, from a clock that never jumps. */
export class Sessions {
  private readonly open = new Map<string, Session>();

  constructor(private readonly now: () => number) {}

  /** Gives what the cookie holds: 192 random bits. */
  begin(): string {
    this.letGo();
    const id = randomBytes(24).toString('base64url');
    this.open.set(id, {
      shown: randomBytes(3).toString('hex'),
      secret: tokens.secretSync(),
      until: this.now() + SESSION_SECONDS * 1_000,
    });
    return id;
  }

  of(id: string | undefined): Session | undefined {
    const session = id === undefined ? undefined : this.open.get(id);
    return session !== undefined && session.until > this.now() ? session : undefined;
  }

  end(id: string | undefined): void {
    if (id !== undefined) this.open.delete(id);
  }

  private letGo(): void {
    for (const [id, { until }] of this.open) if (until <= this.now()) this.open.delete(id);
    // The oldest stands first.
    for (const id of this.open.keys()) {
      if (this.open.size < MOST_SESSIONS) break;
      this.open.delete(id);
    }
  }
}

/** A secret for a browser that nobody signed in with. */
export function newSecret(): string {
  return tokens.secretSync();
}

export function csrfToken(secret: string): string {
  return tokens.create(secret);
}

export function isCsrfToken(secret: string | undefined, token: string | null | undefined): boolean {
  return secret !== undefined && secret !== '' && typeof token === 'string' && tokens.verify(secret, token);
}

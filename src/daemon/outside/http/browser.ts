import type { FastifyReply, FastifyRequest } from 'fastify';
import { csrfToken, isCsrfToken, newSecret, SESSION_SECONDS, type Session, Sessions } from './sessions.js';

/**
 * What this server keeps in browsers: who is signed in, and what proves that a form came from a page of ours. Ports of one host share
 * their cookies (RFC 6265, section 8.5), so the port is in the names.
 */
export class Browsers {
  private readonly sessions = new Sessions(() => performance.now());
  private readonly sessionCookie: string;
  private readonly formCookie: string;

  constructor(
    port: number,
    private readonly tls: boolean,
  ) {
    // A prefix that no plain connection and no neighbouring domain can set (RFC 6265bis, section 4.1.3.2).
    const prefix = tls ? '__Host-' : '';
    this.sessionCookie = `${prefix}outfeed-${port}`;
    this.formCookie = `${prefix}outfeed-form-${port}`;
  }

  sessionOf(request: FastifyRequest): Session | undefined {
    return this.sessions.of(request.cookies[this.sessionCookie]);
  }

  /** A cookie of ours came along, by itself as cookies do: it proves nothing of who wrote the request. */
  hasCookie(request: FastifyRequest): boolean {
    return request.cookies[this.sessionCookie] !== undefined || request.cookies[this.formCookie] !== undefined;
  }

  /** For the forms of a page. Sets a cookie where there is nothing yet to make it with. */
  tokenFor(request: FastifyRequest, reply: FastifyReply): string {
    return csrfToken(this.secretOf(request) ?? this.giveSecret(request, reply));
  }

  isRight(request: FastifyRequest, token: string | null | undefined): boolean {
    return isCsrfToken(this.secretOf(request), token);
  }

  signIn(request: FastifyRequest, reply: FastifyReply): void {
    const id = this.sessions.begin();
    request.cookies[this.sessionCookie] = id;
    reply.setCookie(this.sessionCookie, id, { ...this.cookie(), maxAge: SESSION_SECONDS });
    reply.clearCookie(this.formCookie, this.cookie());
  }

  signOut(request: FastifyRequest, reply: FastifyReply): void {
    this.sessions.end(request.cookies[this.sessionCookie]);
    reply.clearCookie(this.sessionCookie, this.cookie());
  }

  private secretOf(request: FastifyRequest): string | undefined {
    return this.sessionOf(request)?.secret ?? request.cookies[this.formCookie];
  }

  private giveSecret(request: FastifyRequest, reply: FastifyReply): string {
    const secret = newSecret();
    request.cookies[this.formCookie] = secret;
    reply.setCookie(this.formCookie, secret, this.cookie());
    return secret;
  }

  private cookie() {
    return { path: '/', httpOnly: true, sameSite: 'strict' as const, secure: this.tls };
  }
}

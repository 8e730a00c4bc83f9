import { type IncomingHttpHeaders, request } from 'node:http';
import { connect } from 'node:net';
import { setTimeout as delay } from 'node:timers/promises';
import { type RunningServer, type ServerOptions, serve } from '../../src/daemon/outside/http/server.js';
import { type KeptLog, keptLog } from './worlds.js';

export interface Answered {
  readonly status: number;
  readonly headers: IncomingHttpHeaders;
  readonly body: Buffer;
  readonly text: string;
}

export interface Sent {
  readonly method?: string;
  readonly headers?: Readonly<Record<string, string>>;
  readonly body?: string;
}

/** By hand, so that any header can be sent, a wrong one too. */
export function ask(port: number, path: string, { method = 'GET', headers = {}, body }: Sent = {}): Promise<Answered> {
  return new Promise((resolve, reject) => {
    const asked = request({ host: '127.0.0.1', port, path, method, headers, agent: false }, (answer) => {
      const parts: Buffer[] = [];
      answer.on('data', (part: Buffer) => parts.push(part));
      answer.on('end', () => {
        const whole = Buffer.concat(parts);
        resolve({ status: answer.statusCode ?? 0, headers: answer.headers, body: whole, text: whole.toString() });
      });
    });
    asked.on('error', reject);
    asked.end(body);
  });
}

/** What a browser keeps and sends along by itself. */
export class Browser {
  readonly cookies = new Map<string, string>();
  /** Each `Set-Cookie` as it came. */
  readonly given: string[] = [];

  constructor(
    readonly port: number,
    readonly origin = `http://127.0.0.1:${port}`,
  ) {}

  async get(path: string, headers: Readonly<Record<string, string>> = {}): Promise<Answered> {
    return this.keep(await ask(this.port, path, { headers: { Accept: 'text/html', ...this.own(), ...headers } }));
  }

  async post(path: string, fields: Readonly<Record<string, string>>, more: Readonly<Record<string, string>> = {}) {
    const headers = {
      'Content-Type': 'application/x-www-form-urlencoded',
      Origin: this.origin,
      'Sec-Fetch-Site': 'same-origin',
      'Sec-Fetch-Mode': 'navigate',
      ...this.own(),
      ...more,
    };
    const body = new URLSearchParams(fields).toString();
    return this.keep(await ask(this.port, path, { method: 'POST', headers, body }));
  }

  private own(): Record<string, string> {
    if (this.cookies.size === 0) return {};
    return { Cookie: [...this.cookies].map(([name, value]) => `${name}=${value}`).join('; ') };
  }

  private keep(answered: Answered): Answered {
    for (const line of answered.headers['set-cookie'] ?? []) {
      this.given.push(line);
      const [, name = '', value = ''] = /^([^=]+)=([^;]*)/.exec(line) ?? [];
      if (value === '') this.cookies.delete(name);
      else this.cookies.set(name, value);
    }
    return answered;
  }
}

/** The value of a hidden field. */
export function hidden(page: string, name: string): string {
  return new RegExp(`name="${name}" value="([^"]*)"`).exec(page)?.[1] ?? '';
}

export function problemIn({ status, headers, text }: Answered) {
  return { ...(JSON.parse(text) as { title: string; detail: string }), status, media: headers['content-type'] };
}

export async function serveTest(options: Partial<ServerOptions>): Promise<RunningServer & { readonly log: KeptLog }> {
  const log = keptLog();
  const server = await serve({ address: '127.0.0.1', port: 0, token: undefined, routes: [], log, ...options });
  return { ...server, log };
}

/** Writes octets as they are and gives what came back until the other side hung up. */
export function talk(port: number, ...parts: readonly string[]): Promise<string> {
  return new Promise((resolve) => {
    const socket = connect({ host: '127.0.0.1', port }, async () => {
      for (const part of parts) {
        socket.write(part);
        await delay(20);
      }
    });
    let heard = '';
    socket.on('data', (part) => {
      heard += part.toString('latin1');
    });
    socket.on('error', () => undefined);
    socket.on('close', () => resolve(heard));
  });
}

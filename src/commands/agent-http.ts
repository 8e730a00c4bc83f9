import type { Config } from '../config/config.js';
import { readNamedFile, readSecret } from '../config/load.js';
import type { TlsFiles } from '../daemon/outside/http/framework.js';
import type { ServerOptions } from '../daemon/outside/http/server.js';
import type { Log } from '../daemon/world.js';
import { ProgramProblem } from '../model/problem.js';
import type { Io } from './io.js';

/** The page, the API and the metrics, being served. */
export interface OpenPage {
  /** Reads the certificate's files again. Throws ProgramProblem when they can't be used; the old certificate holds then. */
  readonly renew: () => Promise<void>;
  readonly close: () => Promise<void>;
}

/** A token that somebody thought of, below this length, can be guessed. */
const SHORT_TOKEN = 16;

/** Serves what is asked over HTTP at `page.listen`. Throws ProgramProblem for a port or a file that can't be had. */
export async function openPage(
  config: Pick<Config, 'page' | 'folder'>,
  served: Pick<ServerOptions, 'routes' | 'open' | 'signInPage' | 'refusedPage'>,
  log: Log,
  io: Pick<Io, 'cwd' | 'env'>,
): Promise<OpenPage> {
  const { page } = config;
  const folder = config.folder ?? io.cwd;
  const token = page.token && (await readSecret(page.token, 'the token of the page', folder, io.env));
  const tls = await tlsFiles(page.tls, folder);
  const at = place(page.listen);
  // Only a running agent pays for loading it.
  const { serve } = await import('../daemon/outside/http/server.js');
  const parts = {
    ...at,
    token,
    hosts: page.hosts,
    ...served,
    log,
    ...(tls === undefined ? {} : { tls }),
  };
  const server = await serve(parts).catch((error: unknown) => {
    throw openProblem(page, error);
  });
  log.info({ address: at.address, port: server.port, tls: tls !== undefined }, 'the page is served');
  if (token !== undefined && tls === undefined && !/^(127\.|::1$|localhost$)/.test(at.address)) {
    log.warn({}, 'beyond this machine the token can be read on its way: set page.certFile and page.keyFile');
  }
  if (token !== undefined && token.length < SHORT_TOKEN) {
    log.warn(
      {},
      'the token of the page is so short that it can be guessed: "outfeed agent --new-token FILE" makes a better one',
    );
  }
  return {
    close: server.close,
    renew: async () => {
      const files = await tlsFiles(page.tls, folder);
      try {
        if (files !== undefined) server.renew(files);
      } catch (error) {
        throw openProblem(page, error);
      }
    },
  };
}

async function tlsFiles(tls: Config['page']['tls'], folder: string): Promise<TlsFiles | undefined> {
  if (tls === undefined) return undefined;
  const cert = await readNamedFile(tls.certFile, 'the certificate of the page', folder);
  return { cert, key: await readNamedFile(tls.keyFile, "the private key of the page's certificate", folder) };
}

function openProblem({ listen, tls }: Config['page'], error: unknown): ProgramProblem {
  if (error instanceof ProgramProblem) return error;
  const code = String((error as { code?: unknown }).code ?? '');
  if (tls !== undefined && /^ERR_(OSSL|SSL|CRYPTO)/.test(code)) {
    const why = code.endsWith('KEY_VALUES_MISMATCH')
      ? 'they do not belong together'
      : 'one of them is not what it should be';
    return new ProgramProblem(
      'page-certificate',
      `page.certFile ${tls.certFile} and page.keyFile ${tls.keyFile} can't be used: ${why} (PEM, the key without a passphrase).`,
    );
  }
  return portProblem('page.listen', listen, error);
}

/** `ADDRESS:PORT` in its parts. */
export function place(listen: string): { readonly address: string; readonly port: number } {
  const at = listen.lastIndexOf(':');
  return { address: listen.slice(0, at).replace(/^\[(.*)\]$/, '$1'), port: Number(listen.slice(at + 1)) };
}

const PORT_REASONS: Readonly<Record<string, string>> = {
  EADDRINUSE: 'something else has it',
  EACCES: 'ports below 1024 need rights; take a higher one, or the unit in config/ that gives them',
  EADDRNOTAVAIL: 'this machine has no such address',
};

/** The sentence for a port that can't be had. */
export function portProblem(key: string, listen: string, error: unknown): ProgramProblem {
  const code = String((error as { code?: unknown }).code ?? error);
  return new ProgramProblem('agent-port', `Can't listen on ${listen} (${key}): ${PORT_REASONS[code] ?? code}.`);
}

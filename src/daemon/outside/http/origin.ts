import type { IncomingHttpHeaders } from 'node:http';
import { isIP } from 'node:net';
import { hostname } from 'node:os';

/**
 * What is wrong with where a request comes from; undefined when nothing is. A page from elsewhere that a browser on this machine shows
 * must not get at what is served here: its name may have been made to point here (so only addresses, `localhost`, this machine's own
 * name and those of the configuration are taken for a host), and it may send what it can't read (so an action from another origin is
 * refused, and so is whatever another site's page wants to load into itself: Fetch Metadata).
 */
export function strangeness(
  acts: boolean,
  headers: IncomingHttpHeaders,
  hosts: readonly string[] = [],
): string | undefined {
  const { host, origin } = headers;
  if (!isOwnHost(host ?? '', hosts)) {
    return 'The Host header names another machine: ask by address, by "localhost" or by the name of this machine; "page.hosts" in the configuration takes further names.';
  }
  if (acts && origin !== undefined && originHost(origin) !== host?.toLowerCase())
    return 'An action may only come from here.';
  const site = headers['sec-fetch-site'];
  const foreign = site === 'cross-site' || site === 'same-site';
  if (foreign && (acts || headers['sec-fetch-mode'] !== 'navigate')) {
    return acts ? 'An action may only come from here.' : 'The page of another site may not load this.';
  }
  return undefined;
}

function isOwnHost(header: string, hosts: readonly string[]): boolean {
  const name = hostOf(header).toLowerCase();
  if (name === '') return false;
  if (isIP(name) !== 0 || /^(.+\.)?localhost$/.test(name)) return true;
  return [hostname(), ...hosts].some((own) => own.toLowerCase() === name);
}

/** The host of `name:port` or `[address]:port`. */
function hostOf(header: string): string {
  return header.replace(/:\d+$/, '').replace(/^\[(.*)\]$/, '$1');
}

/** As in a Host header: without the port that is usual. */
function originHost(origin: string): string | undefined {
  try {
    return new URL(origin).host;
  } catch {
    return undefined;
  }
}

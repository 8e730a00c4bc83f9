import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import type { IppAttributes, IppValue } from '../../src/model/evidence.js';
import { PRINTER_STATE_NAMES } from '../../src/registry/ipp.generated.js';

const execute = promisify(execFile);

/** Asks for all attributes and expects nothing, so that no printer's own manners make it fail. */
export const GET_ALL = `{
  OPERATION Get-Printer-Attributes
  GROUP operation-attributes-tag
  ATTR charset attributes-charset utf-8
  ATTR naturalLanguage attributes-natural-language en
  ATTR uri printer-uri $uri
  ATTR keyword requested-attributes all
}
`;

/**
 * What the reference client shows of a printer: attribute → its type and value as it prints them. It calls a loopback
 * server `localhost`, which then calls itself so: `rewrite` may undo that.
 */
export async function ipptoolAttributes(
  uri: string,
  rewrite: (stdout: string) => string = (stdout) => stdout,
): Promise<ReadonlyMap<string, { type: string; text: string }>> {
  const folder = mkdtempSync(join(tmpdir(), 'outfeed-ipptool-'));
  const file = join(folder, 'get.test');
  writeFileSync(file, GET_ALL);
  try {
    // It reconnects for ever on a reset, so `timeout` ends it. Exit code 1 only says that its own rules failed.
    const { stdout } = await execute('timeout', ['10', 'ipptool', '-tv', uri, file]).catch(
      (error: { stdout?: string }) => ({ stdout: error.stdout ?? '' }),
    );
    return parseIpptool(rewrite(stdout));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

export function parseIpptool(stdout: string): ReadonlyMap<string, { type: string; text: string }> {
  const reply = stdout.slice(stdout.indexOf('RECEIVED:'));
  const line = /^ {8}([a-z0-9.-]+) \((?:1setOf )?([A-Za-z-]+)\) = (.*)$/gm;
  return new Map([...reply.matchAll(line)].map(([, name = '', type = '', text = '']) => [name, { type, text }]));
}

/** Types that the reference client prints in a plain way; of the others only the type is compared. */
const PLAIN =
  /^(integer|boolean|keyword|uri|uriScheme|mimeMediaType|charset|naturalLanguage|(text|name)WithoutLanguage)$/;

/** Our reading of one attribute in the same words. */
export function asIpptool(name: string, values: readonly IppValue[]): { type: string; text: string | null } {
  const type = (values[0]?.tag ?? '').replace('begCollection', 'collection');
  if (name === 'printer-state') return { type, text: PRINTER_STATE_NAMES[Number(values[0]?.value)] ?? '' };
  const plain = values.every((each) => PLAIN.test(each.tag));
  return { type, text: plain ? values.map((each) => String(each.value)).join(',') : null };
}

/** What differs between the two readings, as lines; clocks that run on between the two questions are left out. */
export function differences(
  ours: IppAttributes,
  theirs: ReadonlyMap<string, { type: string; text: string }>,
): string[] {
  const running = /^printer-(up-time|current-time)$/;
  return Object.entries(ours).flatMap(([name, values]) => {
    const other = theirs.get(name);
    if (other === undefined) return [`${name}: not shown by ipptool`];
    const { type, text } = asIpptool(name, values);
    if (type !== other.type) return [`${name}: ${type}, ipptool ${other.type}`];
    return text === null || running.test(name) || text === other.text
      ? []
      : [`${name}: ${text}, ipptool ${other.text}`];
  });
}

import { accessSync, constants } from 'node:fs';
import { delimiter, join } from 'node:path';
import { describe, test } from 'vitest';

/** Finds a program on PATH or in the system folders where daemons live; null when this machine has none. */
export function findProgram(name: string): string | null {
  const folders = [...(process.env.PATH ?? '').split(delimiter), '/usr/sbin', '/sbin', '/usr/local/sbin'];
  for (const folder of folders) {
    const candidate = join(folder, name);
    try {
      accessSync(candidate, constants.X_OK);
      return candidate;
    } catch {
      // not in this folder
    }
  }
  return null;
}

/** True when this process may make network namespaces. */
export function mayMakeNamespaces(): boolean {
  return process.getuid?.() === 0 && findProgram('ip') !== null;
}

/** What a suite may need that is no program, and whether it is here. */
const RIGHTS: Readonly<Record<string, () => boolean>> = {
  namespaces: mayMakeNamespaces,
  /** Ports below 1024, which Unix keeps for root. */
  'low ports': () => process.getuid?.() === 0,
};

/**
 * A suite that needs programs nobody here wrote. Where one is missing the suite is skipped and its name says what was
 * missing; in CI a missing peer is a failure, so that a green run has met all of them.
 */
export function describeWithPeers(name: string, programs: readonly string[], body: () => void): void {
  const missing = programs.filter((program) => !(RIGHTS[program]?.() ?? findProgram(program) !== null));
  if (missing.length === 0) {
    describe(name, body);
    return;
  }
  const reason = `needs ${missing.join(', ')}`;
  if (process.env.CI === 'true') {
    describe(name, () => {
      test(`peer present: ${missing.join(', ')}`, () => {
        throw new Error(`${reason}: in CI every peer must be installed`);
      });
    });
    return;
  }
  describe.skip(`${name} (${reason})`, body);
}

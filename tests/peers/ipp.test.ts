import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { beforeAll, expect, test } from 'vitest';
import type { IppExchangeValue, Observation } from '../../src/model/evidence.js';
import { lines } from '../probes/ipp/office.js';
import { differences } from './ipptool.js';
import { describeWithPeers } from './peer.js';

interface Seen {
  readonly idle: readonly Observation[];
  readonly identified: IppExchangeValue;
  readonly ipptool: Readonly<Record<string, { type: string; text: string }>>;
  readonly jammed: readonly Observation[];
  readonly supplied: readonly Observation[];
}

const PROGRAMS = ['ippeveprinter', 'ipptool', 'avahi-daemon', 'dbus-daemon', 'unshare', 'timeout', 'namespaces'];

describeWithPeers('the IPP reference printer', PROGRAMS, () => {
  let seen: Seen;
  beforeAll(async () => {
    const folder = mkdtempSync(join(tmpdir(), 'outfeed-ipp-'));
    const here = (name: string): string => fileURLToPath(new URL(name, import.meta.url));
    const reader = [process.execPath, '--import', 'tsx', here('ipp-reader.ts'), folder];
    const namespace = ['--net', '--mount', '--pid', '--fork', '--kill-child', 'bash', here('ipp-namespace.sh'), folder];
    try {
      const { stdout, stderr } = await promisify(execFile)('timeout', ['90', 'unshare', ...namespace, ...reader], {
        maxBuffer: 16 * 1024 * 1024,
      });
      if (stdout === '') throw new Error(`the reference printer could not be read: ${stderr}`);
      seen = JSON.parse(stdout);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  }, 100_000);

  function exchange(all: readonly Observation[], index: number): IppExchangeValue {
    const found = all[index];
    if (found?.source !== 'ipp' || found.value === null) throw new Error(`no IPP record at ${index}`);
    return found.value;
  }

  const valuesOf = (all: readonly Observation[], name: string): unknown[] =>
    (exchange(all, 0).attributes[name] ?? []).map((each) => each.value);

  test('is found on port 631 with nothing configured', () => {
    expect(lines(seen.idle)).toEqual([
      'ipp Get-Printer-Attributes answered',
      'ipp Validate-Job answered',
      'ipp Get-Jobs answered',
      'ipp Validate-Job text/plain answered',
    ]);
    expect(exchange(seen.idle, 0)).toMatchObject({
      uri: 'ipp://localhost/ipp/print',
      httpStatus: 200,
      version: '2.0',
      status: 'successful-ok',
      problems: [],
    });
    expect(exchange(seen.idle, 1)).toMatchObject({ status: 'successful-ok', user: 'ana' });
  });

  test('identifies itself when asked', () => {
    expect(seen.identified).toMatchObject({ httpStatus: 200, status: 'successful-ok', problems: [] });
  });

  test('is asked on over TLS, which it offers, and shows its certificate there', () => {
    const { uri, tls } = exchange(seen.idle, 1);
    expect(uri).toBe('ipps://localhost/ipp/print');
    expect(tls).toMatchObject({
      trusted: false,
      fingerprint: expect.stringMatching(/^([0-9a-f]{2}:){31}[0-9a-f]{2}$/),
    });
    expect(Date.parse(tls?.validTo ?? '')).toBeGreaterThan(Date.parse(tls?.validFrom ?? ''));
  });

  test('is read as the reference client reads it', () => {
    const { attributes } = exchange(seen.idle, 0);
    expect(Object.keys(attributes).length).toBeGreaterThan(30);
    expect(differences(attributes, new Map(Object.entries(seen.ipptool)))).toEqual([]);
  });

  test('tells a jam and an open cover', () => {
    // It words the severity by its own state: once idle again, all is a report (RFC 8011 5.4.12 has the suffixes).
    const reasons = valuesOf(seen.jammed, 'printer-state-reasons');
    expect(reasons).toEqual(expect.arrayContaining(['cover-open-report', 'media-jam-report']));
  });

  test('tells levels of its supplies, unknown ones too', () => {
    expect(valuesOf(seen.supplied, 'marker-levels')).toEqual([3, -2]);
    expect(valuesOf(seen.supplied, 'marker-names')).toEqual(['black', 'waste']);
    for (const each of exchange(seen.supplied, 0).attributes['marker-levels'] ?? []) expect(each.tag).toBe('integer');
  });
});

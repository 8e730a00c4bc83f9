import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import type { EvidenceBundle, WhyDocument } from '../../src/model/why.js';
import { outfeed } from './captured-io.js';

let folder: string;
let well: RunningDevice;
let jammed: RunningDevice;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-why-'));
  well = await startDevice({ name: 'tower' }, { address: '127.35.2.1' });
  jammed = await startDevice(
    {
      name: 'stair',
      state: 'stopped',
      alerts: [{ group: 'mediaPath', index: 1, code: 'jam', description: 'Paper jam behind the rear door' }],
    },
    { address: '127.35.2.2' },
  );
  const printers = [well, jammed].map(
    ({ name, address, snmpPort, ippUri, rawPort }) =>
      `  - { name: ${name}, address: ${address}, snmpPort: ${snmpPort}, ippUri: "${ippUri}", rawPort: ${rawPort} }\n`,
  );
  writeFileSync(join(folder, 'outfeed.yaml'), `read: { timeout: 2s }\nprinters:\n${printers.join('')}`);
});
afterAll(async () => {
  await Promise.all([well.close(), jammed.close()]);
  rmSync(folder, { recursive: true, force: true });
});

const why = (...argv: string[]) => outfeed(['why', ...argv], { cwd: folder });

/** All that may differ between asking and judging again. */
function timeless(text: string): unknown {
  const { askedAt: _at, tookMs: _took, ...rest } = JSON.parse(text) as WhyDocument;
  return rest;
}

describe('asking', () => {
  test('nothing wrong: exit 0', async () => {
    const { code, out, err } = await why('tower', '--json');
    expect({ code, err }).toEqual({ code: 0, err: '' });
    expect(JSON.parse(out)).toMatchObject({ silent: false, verdict: { cause: 'nothing-wrong-found' } });
  });

  test('a fault: exit 1, the sentence first', async () => {
    const { code, out } = await why('stair');
    expect(code).toBe(1);
    expect(out.split('\n')[0]).toContain('stair is silent');
    expect(out).toContain('media-jam');
  });
});

describe('a name that is nearly right', () => {
  const quick = ['--timeout', '200', '--retries', '0'];

  test('is asked for as it stands, with a remark', async () => {
    expect((await why('towr', ...quick)).err).toContain('did you mean "tower"?');
    expect((await why('towr', '--quiet', ...quick)).err).toBe('');
    expect((await why('tower', ...quick)).err).toBe('');
  });
});

test('a device that is not behind the address is told of', async () => {
  const { err } = await why('tower#3', '--json', '--save', 'third.json');
  expect(err).toBe('Device 3 was asked for, but has no Printer-MIB rows; devices that have: 1.\n');
  expect((await why('--from', 'third.json')).err).toBe(err);
  expect((await why('tower#3', '--quiet')).err).toBe('');
  expect((await why('tower#1')).err).toBe('');
});

test('a queue that was named and could not be read is told of', async () => {
  const server = createServer((_request, response) => response.writeHead(400).end());
  await new Promise<void>((listening) => server.listen(0, '127.35.2.3', listening));
  const uri = `ipp://127.35.2.3:${(server.address() as AddressInfo).port}/printers/hall`;
  const { err } = await why('tower', '--queue', uri);
  server.close();
  expect(err).toMatch(/^This queue could not be read: hall \(HTTP 400\)\./);
});

describe('evidence that is kept', () => {
  test('judged again it gives the same document', async () => {
    const asked = await why('stair', '--json', '--save', 'stair.json');
    const again = await why('--from', 'stair.json', '--json');
    expect(again.code).toBe(1);
    expect(timeless(again.out)).toEqual(timeless(asked.out));
  });

  test('judging it again touches no network', async () => {
    await why('stair', '--save', 'kept.json');
    const { code } = await outfeed(['why', '--from', 'kept.json'], {
      cwd: folder,
      net: () => Promise.reject(new Error('the network was asked for')),
    });
    expect(code).toBe(1);
  });

  test('no secret is in it', async () => {
    await why('tower', '--community', 'hidden-word', '--community', 'public', '--save', 'secret.json');
    expect(readFileSync(join(folder, 'secret.json'), 'utf8')).not.toContain('hidden-word');
  });

  test('it is written whole or not at all', async () => {
    const { code, err, out } = await why('tower', '--save', join('no', 'such', 'folder.json'));
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toContain('its folder does not exist');
    expect((await why('tower', '--save', '.')).code).toBe(2);
    expect(readdirSync(folder).filter((name) => name.startsWith('.'))).toEqual([]);
    expect(existsSync(join(folder, 'no'))).toBe(false);
  });
});

describe('what a person saw', () => {
  test('is evidence like any other, and is kept', async () => {
    const asked = await why('stair', '--answer', 'panel-lit=dark', '--answer', 'panel-lit=lit', '--save', 'seen.json');
    expect(asked.code).toBe(1);
    const kept = JSON.parse(readFileSync(join(folder, 'seen.json'), 'utf8')) as EvidenceBundle;
    const seen = kept.evidence.filter((record) => record.source === 'operator');
    expect(seen).toMatchObject([{ what: 'panel-lit', value: 'lit', outcome: 'answered' }]);
    expect(new Set(kept.evidence.map((record) => record.id)).size).toBe(kept.evidence.length);
  });

  test('--ask puts the best check first, takes numbers and words, and stops at q', async () => {
    const asked: string[] = [];
    const lines = ['9', '1', '', 'q'];
    const { code } = await outfeed(
      ['why', '127.35.2.99', '--ask', '--timeout', '200', '--retries', '0', '--save', 'asked.json'],
      {
        cwd: folder,
        ask: async (question) => {
          asked.push(question);
          return lines.shift();
        },
      },
    );
    expect([0, 1, 3]).toContain(code);
    const kept = JSON.parse(readFileSync(join(folder, 'asked.json'), 'utf8')) as EvidenceBundle;
    const answers = kept.evidence.filter((record) => record.source === 'operator');
    expect(answers).toHaveLength(asked.length > 0 ? 1 : 0);
  });

  test('--ask without a terminal is refused', async () => {
    const { code, err } = await why('stair', '--ask');
    expect(code).toBe(2);
    expect(err).toContain('--ask needs a terminal');
  });
});

describe('a file that is no evidence', () => {
  test.each<[string, string, string]>([
    ['empty.json', '', 'it is empty'],
    ['cut.json', '{"schema":"outfeed.evid', 'not JSON, or cut short'],
    ['other.json', '{"a":1}', 'not something that "outfeed why --save" wrote'],
    ['list.json', '[]', 'not something that'],
    ['null.json', 'null', 'not something that'],
    ['newer.json', '{"schema":"outfeed.evidence/2"}', 'it is of version 2'],
    ['printer.json', '{"schema":"outfeed.printer/1"}', 'it holds outfeed.printer/1'],
    ['half.json', '{"schema":"outfeed.evidence/1","target":"x"}', 'address'],
    [
      'odd.json',
      '{"schema":"outfeed.evidence/1","target":"x","address":null,"askedAt":"2026-01-31T09:00:00.000Z","tookMs":1,"evidence":[{"id":"e1","source":"crystal-ball"}]}',
      'evidence.0.source',
    ],
    [
      'deep.json',
      `{"schema":"outfeed.evidence/1","target":"x","address":null,"askedAt":"2026-01-31T09:00:00.000Z","tookMs":1,"evidence":[{"id":"e1","source":"ipp","what":"w","about":"target","subject":"s","outcome":"answered","at":"2026-01-31T09:00:00.000Z","tookMs":1,"value":{"uri":"u","httpStatus":200,"version":null,"status":null,"problems":[],"attributes":{"a":${'[{"tag":"begCollection","value":{"members":{"a":'.repeat(5000)}[]${'}}}]'.repeat(5000)}}}}]}`,
      'nested too deeply',
    ],
  ])('%s', async (name, text, words) => {
    writeFileSync(join(folder, name), text);
    const { code, out, err } = await why('--from', name);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toContain(words);
    expect(err.trimEnd().split('\n')).toHaveLength(1);
  });
});

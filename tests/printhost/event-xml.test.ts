import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, describe, expect, test } from 'vitest';
import { readEventXml } from '../../src/printhost/event-xml.js';
import { meaningOf } from '../../src/printhost/meaning.js';
import { textOfFile } from '../../src/printhost/text.js';
import { outfeed } from '../commands/captured-io.js';

/** Form of one event by the open event schema: System and EventData or UserData (MS-EVEN6 2.2; names of elements from memory). */
const NAMESPACE = 'http://schemas.microsoft.com/win/2004/08/events/event';
const event = (provider: string, id: number, at: string, data: string): string => `<Event xmlns="${NAMESPACE}">
  <System>
    <Provider Name="${provider}" Guid="{00000000-0000-0000-0000-000000000000}"/>
    <EventID Qualifiers="16384">${id}</EventID>
    <Level>2</Level>
    <TimeCreated SystemTime="${at}"/>
    <Computer>PRINTHOST-1</Computer>
  </System>
  ${data}
</Event>`;
const terminated = (at: string, count: number): string =>
  event(
    'Service Control Manager',
    7031,
    at,
    `<EventData><Data Name="param1">Print Spooler</Data><Data Name="param2">${count}</Data><Data Name="param3">60000</Data></EventData>`,
  );
const running = (at: string): string =>
  event(
    'Service Control Manager',
    7036,
    at,
    '<EventData><Data Name="param1">Print Spooler</Data><Data Name="param2">running</Data><Binary>530070006F006F006C00650072002F0034000000</Binary></EventData>',
  );
const userData = (id: number, at: string, inner: string): string =>
  event('Microsoft-Windows-PrintService', id, at, `<UserData><Wrapper xmlns="urn:x">${inner}</Wrapper></UserData>`);
const printing = (at: string, job: number): string => userData(801, at, `<JobId>${job}</JobId>`);
const printed = (at: string, job: number, title: string): string =>
  userData(
    307,
    at,
    `<Param1>${job}</Param1><Param2>${title}</Param2><Param3>jonas</Param3><Param4>\\\\DESK</Param4><Param5>front-desk</Param5>`,
  );

// Numbers of values from memory: the document comes first in 372, and no number of a job is among them.
test('a document that failed and is called "41" ends no job 41', () => {
  const data = { Param1: '41', Param2: 'mira', Param3: 'front-desk' };
  const at = '2026-01-31T08:00:00.000Z';
  expect(meaningOf({ provider: 'Microsoft-Windows-PrintService', id: 372, at, data })).toBeUndefined();
});

describe('an export of events', () => {
  const one = terminated('2026-01-31T08:00:00.1234567Z', 1);

  test.each([
    [
      'below Events',
      `<?xml version="1.0" encoding="utf-8" standalone="yes"?>\n<Events>${one}${running('2026-01-31T08:01:00Z')}</Events>`,
    ],
    ['one after the other', `${one}\n${running('2026-01-31T08:01:00Z')}`],
    ['with its declaration, one after the other', `<?xml version="1.0"?>${one}${running('2026-01-31T08:01:00Z')}`],
    [
      'with a prefix',
      `<e:Events xmlns:e="${NAMESPACE}">${one.replaceAll(/<(\/?)(\w)/g, '<$1e:$2').replace(' xmlns=', ' xmlns:e=')}${running('2026-01-31T08:01:00Z')}</e:Events>`,
    ],
  ])('%s', (_name, text) => {
    const reading = readEventXml(text);
    if ('wrong' in reading) throw new Error(reading.wrong);
    expect(reading.events.map(({ id }) => id)).toEqual([7031, 7036]);
    expect(reading.events[0]).toEqual({
      provider: 'Service Control Manager',
      id: 7031,
      at: '2026-01-31T08:00:00.123Z',
      data: { param1: 'Print Spooler', param2: '1', param3: '60000' },
    });
    expect(reading.events.map((each) => meaningOf(each)?.kind)).toEqual(['crash', 'service-start']);
  });

  test('text is text: entities of XML are resolved, markup in a name stays a name', () => {
    const reading = readEventXml(
      printed('2026-01-31T08:00:00Z', 7, '&lt;script&gt; &amp; &#x1b;[2J'.replace('&#x1b;', '&#x41;')),
    );
    if ('wrong' in reading) throw new Error(reading.wrong);
    expect(reading.events[0]?.data.Param2).toBe('<script> & A[2J');
    expect(meaningOf(reading.events[0] ?? { provider: '', id: 0, at: '', data: {} })).toMatchObject({
      kind: 'job-end',
      job: { id: 7, document: '<script> & A[2J', user: 'jonas', queue: 'front-desk' },
    });
  });

  test.each([
    ['nested entities', `<!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;&a;">]><Events>&b;</Events>`],
    [
      'an external entity',
      `<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/hostname">]>${event('x', 1, '2026-01-31T08:00:00Z', '<EventData><Data>&e;</Data></EventData>')}`,
    ],
    ['an entity nobody declared', event('x', 1, '2026-01-31T08:00:00Z', '<EventData><Data>&e;</Data></EventData>')],
    ['a depth without end', '<a>'.repeat(10_000)],
    ['half a file', terminated('2026-01-31T08:00:00Z', 1).slice(0, 300)],
    ['something else', '{"schema":"outfeed.print-host/1"}'],
    ['another schema', '<Events><Event><System><EventID>7031</EventID></System></Event></Events>'],
    ['nothing', ''],
  ])('%s is refused', (_name, text) => {
    expect(readEventXml(text)).toMatchObject({ wrong: expect.stringMatching(/./) });
  });

  test('an event without number or time is left out, and it is said', () => {
    const reading = readEventXml(`${terminated('no time', 1)}${one}`);
    expect(reading).toMatchObject({
      events: [{ id: 7031 }],
      problems: ['An event without a number or a time was left out.'],
    });
  });

  test('cut at any place: refused or read, never thrown', () => {
    const text = `<Events>${one.replaceAll(/\s+/g, ' ')}</Events>`;
    for (let at = 0; at < text.length; at += 1) expect(() => readEventXml(text.slice(0, at))).not.toThrow();
  });

  test('any text at all: never thrown', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 200 }), (text) => {
        readEventXml(text);
        readEventXml(`<Event xmlns="${NAMESPACE}">${text}</Event>`);
      }),
      { seed: 6, numRuns: 300 },
    );
  });

  test('text of files in each encoding', () => {
    const text = 'Ärger <x/>';
    expect(textOfFile(Buffer.from(text))).toBe(text);
    expect(textOfFile(Buffer.from(`\uFEFF${text}`, 'utf16le'))).toBe(text);
    expect(textOfFile(Buffer.from('<Events/>', 'utf16le'))).toBe('<Events/>');
    expect(textOfFile(Buffer.from(Buffer.from('\uFEFF<a/>', 'utf16le')).swap16())).toBe('<a/>');
  });
});

describe('the whole program on events alone', () => {
  const folder = mkdtempSync(join(tmpdir(), 'outfeed-events-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  const at = (minute: number, second = 0): string => new Date(Date.UTC(2026, 0, 31, 6, minute, second)).toISOString();

  test('the job that is there at every crash is named out of an export', async () => {
    const calm = Array.from(
      { length: 12 },
      (_, i) => printing(at(i * 5), 100 + i) + printed(at(i * 5, 15), 100 + i, `letter ${i}`),
    );
    const crashes = Array.from(
      { length: 6 },
      (_, i) => running(at(70 + 3 * i)) + printing(at(70 + 3 * i, 2), 41) + terminated(at(70 + 3 * i, 5), i + 1),
    );
    // Among the crashes another queue goes on printing.
    const between = [0, 1, 2].map(
      (i) => printing(at(71 + 6 * i), 200 + i) + printed(at(71 + 6 * i, 20), 200 + i, `rota ${i}`),
    );
    const file = join(folder, 'events.xml');
    writeFileSync(
      file,
      Buffer.from(`\uFEFF<Events>${[...calm, ...crashes, ...between].join('\n')}</Events>`, 'utf16le'),
    );
    const { code, out, err } = await outfeed(['queue', '--events', file, '--json'], {
      env: { OUTFEED_SPOOLER: 'none' },
    });
    expect(err).toBe('');
    const { crashLoop } = JSON.parse(out);
    expect(crashLoop).toMatchObject({ crashes: 6, explains: 6, suspect: { kind: 'job', job: 41 } });
    expect(crashLoop.byChance).toBeLessThan(0.02);
    expect(code).toBe(1);
    const shown = await outfeed(['queue', '--events', file], { env: { OUTFEED_SPOOLER: 'none' } });
    expect(shown.out).toContain('job 41');
  });

  test('a broken export is one sentence and exit 2', async () => {
    const file = join(folder, 'bomb.xml');
    writeFileSync(file, '<!DOCTYPE lol [<!ENTITY lol "lol">]><Events>&lol;</Events>');
    const { code, err } = await outfeed(['queue', '--events', file]);
    expect(code).toBe(2);
    expect(err).toContain('document type declaration');
    expect(err.trim().split('\n')).toHaveLength(1);
  });
});

import { describe, expect, test } from 'vitest';
import { readFacts } from '../../src/facts/facts.js';
import type { IppAttributes } from '../../src/model/evidence.js';
import { judge } from '../../src/verdict/verdict.js';
import { hostDriver, hostQueue, hostReport } from '../printhost/report-builder.js';
import { bool, bundleOf, enums, HEALTHY, integers, ippPrinter, keywords, texts } from './bundle.js';

const NOW = 1_769_850_000;
const URI = 'ipp://192.0.2.5/printers/front-desk';
const attributes = (more: IppAttributes = {}): IppAttributes => ({
  'printer-name': texts('front-desk'),
  'printer-state': enums(4),
  'printer-state-reasons': keywords('none'),
  'printer-is-accepting-jobs': bool(true),
  'printer-up-time': integers(NOW),
  'device-uri': [{ tag: 'uri', value: 'socket://192.0.2.21:9100' }],
  ...more,
});
const job = (id: number, state: number, more: IppAttributes = {}): IppAttributes => ({
  'job-id': integers(id),
  'job-state': enums(state),
  'job-state-reasons': keywords('none'),
  ...more,
});
const ended = (id: number, tookSeconds: number, agoSeconds: number): IppAttributes =>
  job(id, 9, {
    'time-at-creation': integers(NOW - agoSeconds - tookSeconds),
    'time-at-processing': integers(NOW - agoSeconds - tookSeconds),
    'time-at-completed': integers(NOW - agoSeconds),
  });

function summaries(jobs: IppAttributes[], more: IppAttributes = {}): string[] {
  const document = judge(bundleOf({ ...HEALTHY, queues: [{ uri: URI, attributes: attributes(more), jobs }] }));
  return [document.verdict, ...document.others, ...document.warnings].map(
    ({ cause, summary }) => `${cause}: ${summary}`,
  );
}
const running = (seconds: number): IppAttributes => job(50, 5, { 'time-at-processing': integers(NOW - seconds) });

describe('a first job that takes long', () => {
  const quick = [1, 2, 3, 4].map((id) => ended(id, 10 + id, 600 * id));
  const slow = [1, 2, 3, 4].map((id) => ended(id, 400, 900 * id));

  test('is measured by what is usual here', () => {
    expect(summaries([running(90), ...quick])[0]).toMatch(
      /head-job-stuck: .*hung for 90 s \(usual here: 13 s, 14 s at most\)/,
    );
    expect(summaries([running(50), ...quick]).join()).not.toContain('head-job-stuck');
    expect(summaries([running(1500), ...slow]).join()).not.toContain('head-job-stuck');
    expect(summaries([running(1700), ...slow])[0]).toContain('head-job-stuck');
  });

  test('and by five minutes where nothing is known of the queue', () => {
    expect(summaries([running(290)]).join()).not.toContain('head-job-stuck');
    expect(summaries([running(310)])[0]).toContain('head-job-stuck');
  });

  test('a message that names the device as out of reach shortens the wait and is no proof', () => {
    const said = { 'printer-state-message': texts('The printer may not exist or is unavailable at this time.') };
    expect(summaries([running(10)], said).join()).not.toContain('head-job-stuck');
    expect(summaries([running(25)], said)[0]).toContain('head-job-stuck');
    expect(summaries([], said).join()).not.toContain('head-job-stuck');
  });

  // As Debian's spooler 2.4.2 shows a class of one paused and one closed queue.
  test('that none of the queues of a class takes is no sign of health', () => {
    const idle = { 'printer-state': enums(3), 'member-names': texts('ground', 'attic') };
    const waits = (seconds: number, more: IppAttributes = {}) =>
      job(50, 3, { 'time-at-creation': integers(NOW - seconds), ...more });
    expect(summaries([waits(600)], idle)[0]).toMatch(
      /head-job-stuck: .*10 min, taken by none of the queues ground, attic/,
    );
    expect(summaries([waits(100)], idle).join()).not.toContain('head-job-stuck');
    expect(summaries([waits(600)], { 'printer-state': enums(3) }).join()).not.toContain('head-job-stuck');
    expect(summaries([waits(600), running(10)], { ...idle, 'printer-state': enums(4) }).join()).not.toContain('stuck');
  });

  // Both as Debian's spooler 2.4.2 shows them with a backend that fails.
  test('that is sent again and again has hung since it was made, whatever its time of processing', () => {
    const made = (seconds: number) => ({ 'time-at-creation': integers(NOW - seconds) });
    const policy = (word: string) => ({ 'printer-error-policy': texts(word) });
    const anew = (seconds: number) => job(50, 5, { ...made(seconds), 'time-at-processing': integers(NOW) });
    const told = 'head-job-stuck: .*hung for 10 min, sent again and again in vain';
    expect(summaries([anew(600)], policy('retry-current-job'))[0]).toMatch(new RegExp(told));
    expect(summaries([anew(600)], policy('stop-printer')).join()).not.toContain('head-job-stuck');
    expect(summaries([anew(600), ended(49, 5, 100)], policy('retry-current-job')).join()).not.toContain('hung');
    const putBack = job(50, 4, {
      ...made(600),
      'time-at-processing': integers(NOW - 200),
      'job-state-reasons': keywords('resources-are-not-ready'),
    });
    const idle = { 'printer-state': enums(3), ...policy('retry-job') };
    expect(summaries([putBack], idle)[0]).toMatch(new RegExp(told));
    expect(summaries([putBack], idle).join()).not.toMatch(/job-waits-for-media|job-held/);
    expect(summaries([putBack], { 'printer-state': enums(3) })[0]).toContain('job-waits-for-media');
  });
});

describe('who stopped the queue, and who holds the job', () => {
  const stopped = (more: IppAttributes) => ({
    'printer-state': enums(5),
    'printer-state-reasons': keywords('paused'),
    ...more,
  });

  test.each([
    [stopped({ 'printer-state-message': texts('back at noon') }), [job(7, 3)], /was paused by somebody/],
    [
      stopped({}),
      [job(7, 3, { 'job-state-reasons': keywords('printer-stopped') })],
      /stopped itself when job 7 could not be sent/,
    ],
    [
      stopped({ 'printer-state-message': texts('Paused') }),
      [job(7, 3, { 'job-state-reasons': keywords('printer-stopped') })],
      /was paused while job 7 was under way/,
    ],
    [stopped({}), [], /front-desk is paused/],
  ])('%#', (more, jobs, says) => {
    expect(summaries(jobs, more)[0]).toMatch(says);
  });

  test.each([
    ['indefinite', {}, /until somebody releases it/],
    ['18:00:00', {}, /until 18:00:00/],
    ['night', {}, /until the night/],
    ['indefinite', { 'printer-state-reasons': keywords('hold-new-jobs') }, /as this queue holds all new jobs/],
  ])('held: %s', (until, more, says) => {
    const held = job(7, 4, {
      'job-hold-until': keywords(until),
      'job-state-reasons': keywords('job-hold-until-specified'),
    });
    expect(summaries([held], more)[0]).toMatch(says);
  });
});

test('a class says nothing of where it leads', () => {
  const more = { 'member-names': texts('left', 'right'), 'device-uri': [{ tag: 'uri', value: 'file:///dev/null' }] };
  const facts = readFacts(bundleOf({ ...HEALTHY, queues: [{ uri: URI, attributes: attributes(more), jobs: [] }] }));
  expect(facts.queues).toMatchObject([{ device: null, members: ['left', 'right'] }]);
});

describe('the language that a driver’s name tells', () => {
  const ask = (driver: string, formats: string[]) => {
    const ipp = {
      attributes: ippPrinter({
        more: { 'document-format-supported': formats.map((value) => ({ tag: 'mimeMediaType', value })) },
      }),
    };
    const report = hostReport({ queues: [hostQueue({ driverName: driver })], drivers: [hostDriver({ name: driver })] });
    const document = judge(bundleOf({ ...HEALTHY, ipp, report }));
    return [document.verdict, ...document.others].map(({ layer, cause }) => `${layer}/${cause}`);
  };

  test.each([
    ['Sandpiper 300 PS', ['application/pdf', 'image/urf'], ['language/language-mismatch']],
    ['Sandpiper 300 PS', ['application/postscript'], ['application/nothing-wrong-found']],
    ['Sandpiper 300 PCL 6', ['application/vnd.hp-PCLXL'], ['application/nothing-wrong-found']],
    ['Sandpiper 300 PCL 6', ['application/postscript'], ['language/language-mismatch']],
    ['Sandpiper 300', ['application/postscript'], ['application/nothing-wrong-found']],
    ['Sandpiper 300 PS', ['application/octet-stream'], ['application/nothing-wrong-found']],
  ])('%s before a printer that takes %j', (driver, formats, causes) => {
    expect(ask(driver, formats)).toEqual(causes);
  });
});

describe('a queue that answers and tells nothing', () => {
  const layer = (queues: NonNullable<Parameters<typeof bundleOf>[0]['queues']>) =>
    judge(bundleOf({ ...HEALTHY, queues })).layers.find((one) => one.layer === 'queue');

  // Debian's spooler (2.4.2) asked by an address that its ServerAlias does not list.
  test('is named with its answer', () => {
    expect(layer([{ uri: URI, http: 400 }])).toMatchObject({
      state: 'unknown',
      summary: expect.stringMatching(
        /^This queue could not be read: \S+ \(HTTP 400\)\. A server that is asked by a name/,
      ),
    });
  });

  test('beside one that runs', () => {
    const other = 'ipp://192.0.2.6/printers/other';
    expect(
      layer([
        { uri: URI, attributes: attributes({}) },
        { uri: other, status: 'client-error-bad-request' },
      ]),
    ).toMatchObject({
      state: 'clear',
      summary: expect.stringMatching(
        /^Queue \S+ runs\. This queue could not be read: other \(client-error-bad-request\)\.$/,
      ),
    });
  });
});

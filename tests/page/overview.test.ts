import { gzipSync } from 'node:zlib';
import { describe, expect, test } from 'vitest';
import type { WhyDocument } from '../../src/model/why.js';
import { overviewPage } from '../../src/page/overview.js';
import { listHref, listPart, MOST_ROWS, readListQuery } from '../../src/page/overview-query.js';
import { type PrinterView, worstFirst } from '../../src/page/view.js';
import { frame, NOW, silent, textOf, unclear, view, well } from './views.js';

const show = (printers: readonly PrinterView[], query = '') =>
  overviewPage(
    { printers, query: readListQuery(new URLSearchParams(query)), sweep: { running: false, lastAt: null } },
    frame(),
  );
const names = (html: string): string[] => [...html.matchAll(/class="who"[^>]*><bdi>([^<]*)/g)].map((m) => m[1] ?? '');
const since = (at: number) => ({
  silent: true,
  layer: 'media' as const,
  cause: 'media-empty',
  summary: 'It waits for paper.',
  since: at,
});

describe('the list of printers', () => {
  test('the worst stand first: silent before not known before fine; among the silent whom most people miss', () => {
    const order = worstFirst([
      well('a'),
      unclear('b'),
      silent('c', { people: 2, known: since(NOW - 1_000) }),
      silent('d', { people: 9 }),
      silent('e', { people: 2, known: since(NOW - 9_000) }),
    ]);
    expect(order.map(({ name }) => name)).toEqual(['d', 'c', 'e', 'b', 'a']);
  });

  test('a first step that has cautions says so and leads to them', () => {
    const base = silent('front-desk');
    const why = base.why as WhyDocument;
    const next = [{ step: 'Take the sheet out whole.', minutes: 5, cautions: ['The fuser is hot.'] }];
    const html = show([{ ...base, why: { ...why, verdict: { ...why.verdict, next } } }]);
    expect(html).toContain('whole. <a href="/printers/front-desk">Care: read the cautions first</a>');
  });

  test('a silent printer has its reason and its next step in words; a fine one has neither', () => {
    const html = show([silent('front-desk'), well('studio')]);
    const text = textOf(html);
    expect(text).toContain('1 of 2 printers is silent.');
    expect(text).toContain('Tray 2 is empty, and no other tray can take its place.');
    expect(text).toContain('Next (2 min): Fan a stack of the paper');
    expect(text.match(/Next \(/g)).toHaveLength(1);
    expect(text.match(/Care: read the cautions first/g)).toHaveLength(1);
    expect(names(html)).toEqual(['front-desk', 'studio']);
  });

  test('where nothing is decided the question that helps most stands in place of the steps of a guess', () => {
    const [check] = unclear('lighthouse').why?.checks ?? [];
    const text = textOf(show([unclear('lighthouse')]));
    expect(text).toContain(`Find out: ${check?.ask}`);
  });

  test('what was seen once is not told as if it stood since the change before', () => {
    const known = { ...since(NOW - 3_600_000), silent: false, cause: 'nothing-wrong-found' };
    const text = textOf(show([silent('front-desk', { known })]));
    expect(text).toContain('Seen once; a second look will confirm it.');
    expect(text).not.toContain('since 09:00');
  });

  test('a printer that was not read yet says so, and what was remembered of it', () => {
    const text = textOf(show([view('cellar', { why: null, bundle: null, document: null, known: since(NOW - 1) })]));
    expect(text).toContain('Not read yet since the agent began. Before that: It waits for paper.');
    expect(text).toContain('The printer is silent.');
  });

  test('the marks are told in words to who cannot see them', () => {
    const html = show([silent('front-desk')]);
    expect(html).toContain(
      'aria-label="works: Power – Printer itself; fault: Paper; not reached: Supplies – Application"',
    );
  });
});

describe('finding', () => {
  const all = [silent('front-desk'), well('studio'), well('post-room', { address: '192.0.2.99' })];

  test('every word must be met, in a name, an address, a place, a model or the trouble', () => {
    expect(names(show(all, 'q=STUDIO'))).toEqual(['studio']);
    expect(names(show(all, 'q=192.0.2.99'))).toEqual(['post-room']);
    expect(names(show(all, 'q=tray+empty'))).toEqual(['front-desk']);
    expect(names(show(all, 'q=tray+studio'))).toEqual([]);
    expect(textOf(show(all, 'q=cellar'))).toContain('No printer for “cellar”.');
  });

  test('one kind at a time; the kinds keep what is searched for', () => {
    expect(names(show(all, 'show=well'))).toEqual(['post-room', 'studio']);
    expect(show(all, 'q=a+b')).toContain('href="/?q=a+b&amp;show=silent"');
  });

  test.each(['show=everything&page=x', 'page=-1', 'page=1e99', `q=${'x'.repeat(5_000)}`])(
    'an odd address is no trouble: %.20s',
    (query) => {
      expect(show(all, query)).toContain('<h1>');
    },
  );

  test('more printers than fit come in parts', () => {
    const many = Array.from({ length: MOST_ROWS + 5 }, (_, at) => well(`p${String(at).padStart(4, '0')}`));
    const last = listPart(many, { text: '', show: 'all', page: 2 });
    expect({ rows: last.rows.length, pages: last.pages }).toEqual({ rows: 5, pages: 2 });
    expect(listHref({ text: '', show: 'all', page: 1 }, { page: 2 })).toBe('/?page=2');
  });
});

// The limit of 100 kB is the project's own: a page that opens at once over a slow telephone.
test.each([
  ['one in twenty silent', (at: number) => at % 20 === 0],
  ['all silent', () => true],
])('a thousand printers, %s, weigh under 100 kB compressed', (_what, isSilent) => {
  const many = Array.from({ length: 1_000 }, (_, at) => {
    const known = since(NOW - at * 61_000);
    return isSilent(at) ? silent(`printer-${at}`, { known, people: at % 13 }) : well(`printer-${at}`);
  });
  const html = show(many);
  expect(gzipSync(html).length).toBeLessThan(100_000);
  expect(names(html)).toHaveLength(1_000);
});

import { clockOf } from '../../src/page/clock.js';
import type { Frame } from '../../src/page/frame.js';
import type { PrinterView } from '../../src/page/view.js';
import { ENGLISH } from '../../src/page/words.js';
import { samplePrinter } from '../render/site-samples.js';
import { sampleWhy, unsureWhy, wellWhy } from '../render/why-samples.js';

export const NOW = Date.parse('2026-01-31T10:00:00.000Z');

export function frame(over: Partial<Frame> = {}): Frame {
  const words = over.words ?? ENGLISH;
  return {
    words,
    clock: clockOf(NOW, 'UTC', words),
    site: 'Harbour annex',
    assets: { style: '/assets/page.css', script: '/assets/page.js' },
    csrf: 'token-1',
    ...over,
  };
}

export function view(name: string, over: Partial<PrinterView> = {}): PrinterView {
  const why = over.why === undefined ? sampleWhy({ target: name }) : over.why;
  return {
    name,
    address: '192.0.2.21',
    why,
    bundle:
      why === null
        ? null
        : {
            schema: 'outfeed.evidence/1',
            target: name,
            address: '192.0.2.21',
            askedAt: why.askedAt,
            tookMs: 1,
            evidence: why.evidence,
          },
    document: samplePrinter(),
    known: null,
    lastAnswerAt: NOW - 60_000,
    people: null,
    ...over,
  };
}

export const silent = (name: string, over: Partial<PrinterView> = {}): PrinterView =>
  view(name, { why: sampleWhy({ target: name, silent: true }), ...over });
export const well = (name: string, over: Partial<PrinterView> = {}): PrinterView =>
  view(name, { why: { ...wellWhy(), target: name, warnings: [], others: [] }, ...over });
export const unclear = (name: string, over: Partial<PrinterView> = {}): PrinterView =>
  view(name, { why: { ...unsureWhy(), target: name, silent: null }, document: null, ...over });

/** What a person reads: the text of a page without its tags. */
export function textOf(html: string): string {
  return html
    .replace(/<title>.*?<\/title>/s, '')
    .replace(/<[^>]*>/g, ' ')
    .replace(/&#(\d+);/g, (_all, code) => String.fromCodePoint(Number(code)))
    .replaceAll('&quot;', '"')
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&amp;', '&')
    .replace(/\s+/g, ' ');
}

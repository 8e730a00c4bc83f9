import { createHash } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { LAYERS } from '../../src/model/layers.js';
import { markup } from '../../src/render/markup.js';
import { renderSite } from '../../src/render/site-html.js';
import { layersInWords } from '../../src/render/svg.js';
import { buildSnapshot } from '../../src/snapshot/snapshot.js';
import { hostileSite, samplePrinter, sampleSite } from './site-samples.js';
import { sampleWhy, wellWhy } from './why-samples.js';

describe('the site page', () => {
  const page = renderSite(sampleSite());

  test('the worst comes first', () => {
    const names = [...page.matchAll(/<h3 id="[^"]*"><bdi>([^<]*)/g)].map((match) => match[1]);
    expect(names).toEqual(['front-desk', 'back-office', 'post-room', 'archive', 'studio']);
    expect(page).toContain('<b>2</b>silent');
    expect(page).toContain('<b>1</b>not known');
    expect(page).toContain('<b>2</b>can print');
  });

  test('every printer has its thirteen layers, each with a word for its state', () => {
    const ladders = [...page.matchAll(/<ol class="way">(.*?)<\/ol>/gs)].map((match) => match[1] ?? '');
    expect(ladders).toHaveLength(5);
    for (const ladder of ladders) {
      const rungs = [...ladder.matchAll(/<span class="layer">([a-z]+)<\/span> <span class="state">([A-Za-z ]+)</g)];
      expect(rungs.map((rung) => rung[1])).toEqual([...LAYERS]);
    }
  });

  test('the strip says in words what it draws', () => {
    expect(layersInWords(sampleWhy().layers)).toBe(
      'clear: power to device; fault: media; not reached: supplies to application',
    );
  });

  test('the policy allows the one style sheet inside and nothing else', () => {
    const style = /<style>(.*?)<\/style>/s.exec(page)?.[1] ?? '';
    const hash = createHash('sha256').update(style).digest('base64');
    expect(page).toContain(
      `content="default-src 'none'; style-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'"`,
    );
    expect(page).not.toMatch(/\sstyle=|\son[a-z]+=|<script|<link|<img|https?:\/\/|url\(/);
  });

  test('cautions, supplies, trays, alerts, counters and evidence are there', () => {
    for (const text of [
      '<b>Care:</b> Keep fingers clear',
      '70 %, 4200 of 6000 impressions',
      '35 %, 2100 of 6000 impressions room left',
      'low, 9 %',
      'some left',
      'Tray 2 is empty',
      '123 456',
      'port 631 (IPP): open',
      '(behind the verdict)',
    ]) {
      expect(page).toContain(text);
    }
  });

  test('hostile text is text, and there is an end to it', () => {
    const hostile = renderSite(hostileSite());
    expect(hostile).not.toMatch(
      /<script|<img|onerror="|[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/u,
    );
    expect(hostile).toContain('&lt;script&gt;alert(1)');
    expect(hostile.length).toBeLessThan(200_000);
  });

  test('a site without printers, and one where nothing is wrong', () => {
    const site = { site: 'Empty', madeAt: '2026-01-31T09:00:00.000Z' };
    expect(renderSite(buildSnapshot([], site))).toContain('No printer was found.');
    const well = renderSite(
      buildSnapshot(
        [{ printer: samplePrinter({ alerts: [], supplies: [] }), why: { ...wellWhy(), warnings: [] } }],
        site,
      ),
    );
    expect(well).not.toContain('The round');
  });

  test('what outlasts all that is foreseen has no date', () => {
    const site = sampleSite();
    const far = site.printers.map((one) => ({
      ...one,
      supplies: one.supplies.map((forecast) => ({
        ...forecast,
        daysLeft: forecast.daysLeft && { median: 1095, low: 400, high: 1095 },
      })),
    }));
    expect(renderSite({ ...site, printers: far })).toContain('6000 impressions; lasts longer than three years<');
  });

  test('markup escapes whatever is put into it', () => {
    expect(markup`<p title="${'"><b>'}">${'<i>&'}${[markup`<b>${1}</b>`]}${null}${false}</p>`.html).toBe(
      '<p title="&quot;&gt;&lt;b&gt;">&lt;i&gt;&amp;<b>1</b></p>',
    );
  });
});

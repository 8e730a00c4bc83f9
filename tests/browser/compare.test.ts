import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { CompareDocument } from '../../src/model/compare.js';
import { renderComparePage } from '../../src/render/compare-html.js';
import { describeWithPeers, findProgram } from '../peers/peer.js';
import { HOSTILE } from '../render/why-samples.js';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const FLAGS = [
  '--no-sandbox',
  '--headless',
  '--disable-gpu',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-sync',
];

/** Everything that a comparison can tell, with this text wherever a printer or a person chose it. */
function sample(text: string): CompareDocument {
  const fault = { printer: text, layer: 'media', cause: 'media-empty', component: text, summary: text } as const;
  return {
    schema: 'outfeed.compare/1',
    old: { site: text, madeAt: '2026-01-31T09:00:00.000Z', printers: 12 },
    new: { site: 'Harbour annex', madeAt: '2026-02-20T09:00:00.000Z', printers: 12 },
    days: 20,
    fixed: [{ ...fault, endedAt: '2026-02-02T10:00:00.000Z', heldDays: 17, cameBack: 2 }],
    broken: [fault],
    still: [fault],
    unclear: [fault],
    replaced: [{ printer: text, what: text, kind: 'cartridge', before: text, after: text }],
    moved: [{ printer: text, from: text, to: '192.0.2.7' }],
    appeared: [text],
    gone: [text],
    pages: [{ printer: text, printed: 1234 }],
  };
}

describeWithPeers('the page of a comparison in a browser', ['chromium'], () => {
  const folder = mkdtempSync(join(tmpdir(), 'outfeed-compare-page-'));
  let browser: Browser;

  beforeAll(async () => {
    writeFileSync(join(folder, 'plain.html'), renderComparePage(sample('Front desk')));
    writeFileSync(join(folder, 'hostile.html'), renderComparePage(sample(`${HOSTILE}${'W'.repeat(10_000)}`)));
    const nothing = {
      fixed: [],
      broken: [],
      still: [],
      unclear: [],
      replaced: [],
      moved: [],
      appeared: [],
      gone: [],
      pages: [],
    };
    writeFileSync(join(folder, 'nothing.html'), renderComparePage({ ...sample('Harbour annex'), ...nothing }));
    browser = await chromium.launch({ executablePath: findProgram('chromium') ?? '', args: FLAGS });
  });
  afterAll(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  /** `bypassCSP` lets the accessibility engine in, which the page's own policy keeps out. */
  async function open(name: string, width: number, colorScheme: 'light' | 'dark', bypassCSP = false) {
    const context = await browser.newContext({ viewport: { width, height: 900 }, colorScheme, bypassCSP });
    const page = await context.newPage();
    const did: string[] = [];
    page.on('request', (request) => did.push(`asked for ${request.url()}`));
    page.on('console', (message) => did.push(message.text()));
    page.on('pageerror', (error) => did.push(String(error)));
    page.on('dialog', (dialog) => {
      did.push(`dialog ${dialog.message()}`);
      void dialog.dismiss();
    });
    const url = pathToFileURL(join(folder, name)).href;
    await page.goto(url);
    return { page, did: did.filter((one) => one !== `asked for ${url}`) };
  }

  test.each(['plain.html', 'hostile.html', 'nothing.html'])(
    '%s asks for nothing, runs nothing, overflows at no width',
    async (name) => {
      for (const width of [320, 800, 1600]) {
        const { page, did } = await open(name, width, 'light');
        expect(did).toEqual([]);
        expect(await page.locator('script, img, iframe, link').count()).toBe(0);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
        await page.context().close();
      }
    },
  );

  test.each([
    ['plain.html', 'light', 360],
    ['plain.html', 'dark', 1600],
    ['hostile.html', 'dark', 360],
    ['nothing.html', 'light', 1600],
  ] as const)('no accessibility violation: %s, %s at %i pixels', async (name, scheme, width) => {
    const { page } = await open(name, width, scheme, true);
    await page.evaluate(AXE);
    const { violations } = (await page.evaluate('axe.run()')) as {
      violations: { id: string; nodes: { html: string }[] }[];
    };
    expect(violations.map((rule) => `${rule.id}: ${rule.nodes[0]?.html}`)).toEqual([]);
    await page.context().close();
  });

  test('what broke stands before what was fixed; it prints', async () => {
    const { page } = await open('plain.html', 1200, 'light');
    const titles = await page.locator('h2').allTextContents();
    expect(titles.slice(0, 3)).toEqual(['Broken since', 'Still not right', 'Fixed']);
    expect(await page.locator('main').textContent()).toContain('Held for 17 days after it came back 2 times');
    expect((await page.pdf({ format: 'A4' })).subarray(0, 5).toString()).toBe('%PDF-');
    await page.context().close();
  });
});

import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { renderSite } from '../../src/render/site-html.js';
import { describeWithPeers, findProgram } from '../peers/peer.js';
import { hostileSite, sampleSite } from '../render/site-samples.js';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const FLAGS = [
  '--no-sandbox',
  '--headless',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** What a page did beyond being shown: requests it made, things the console said. */
interface Opened {
  readonly page: Page;
  readonly requests: string[];
  readonly said: string[];
}

describeWithPeers('the site page in a browser', ['chromium'], () => {
  let browser: Browser;
  let folder: string;

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'outfeed-site-'));
    writeFileSync(join(folder, 'site.html'), renderSite(sampleSite()));
    writeFileSync(join(folder, 'hostile.html'), renderSite(hostileSite()));
    browser = await chromium.launch({ executablePath: findProgram('chromium') ?? '', args: FLAGS });
  });

  afterAll(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  /** `bypass` lets the accessibility engine in, which the page's own policy keeps out. */
  async function open(name: string, width: number, scheme: 'light' | 'dark', bypass = false): Promise<Opened> {
    const context = await browser.newContext({
      viewport: { width, height: 900 },
      colorScheme: scheme,
      bypassCSP: bypass,
    });
    const page = await context.newPage();
    const opened: Opened = { page, requests: [], said: [] };
    page.on('request', (request) => opened.requests.push(request.url()));
    page.on('console', (message) => opened.said.push(message.text()));
    page.on('pageerror', (error) => opened.said.push(String(error)));
    page.on('dialog', (dialog) => {
      opened.said.push(`dialog ${dialog.message()}`);
      void dialog.dismiss();
    });
    await page.goto(pathToFileURL(join(folder, name)).href);
    return opened;
  }

  test.each(['site.html', 'hostile.html'])('%s asks for nothing, says nothing, runs nothing', async (name) => {
    const { page, requests, said } = await open(name, 1200, 'light');
    expect(requests).toHaveLength(1);
    expect(said).toEqual([]);
    expect(await page.locator('script, img, iframe, link').count()).toBe(0);
    expect(await page.title()).toContain('printers, 2026-01-31 09:00 UTC');
    await page.context().close();
  });

  test.each([320, 360, 800, 1600])('nothing overflows at %i pixels', async (width) => {
    for (const name of ['site.html', 'hostile.html']) {
      const { page } = await open(name, width, 'light');
      const widest = await page.evaluate('document.documentElement.scrollWidth');
      expect(widest).toBeLessThanOrEqual(width);
      await page.context().close();
    }
  });

  test.each([
    ['site.html', 'light', 360],
    ['site.html', 'light', 1600],
    ['site.html', 'dark', 360],
    ['site.html', 'dark', 1600],
    ['hostile.html', 'light', 1600],
    ['hostile.html', 'dark', 360],
  ] as const)(
    'no accessibility violation in %s, %s at %i pixels',
    async (name, scheme, width) => {
      const { page } = await open(name, width, scheme, true);
      await page.locator('details').evaluateAll((all) => {
        for (const one of all) one.setAttribute('open', '');
      });
      await page.evaluate(AXE);
      const result = (await page.evaluate('axe.run()')) as {
        violations: { id: string; nodes: { html: string; failureSummary: string }[] }[];
      };
      const found = result.violations.map(
        (rule) => `${rule.id}: ${rule.nodes[0]?.html} ${rule.nodes[0]?.failureSummary}`,
      );
      expect(found).toEqual([]);
      await page.context().close();
    },
    240_000,
  );

  test('dark differs from light; the evidence is open on paper', async () => {
    const { page } = await open('site.html', 1200, 'light');
    const ground = () => page.evaluate('getComputedStyle(document.body).backgroundColor');
    const light = await ground();
    await page.emulateMedia({ colorScheme: 'dark' });
    expect(await ground()).not.toBe(light);
    await page.emulateMedia({ media: 'print', colorScheme: 'light' });
    const box = await page.locator('details .records').first().boundingBox();
    expect(box?.height ?? 0).toBeGreaterThan(20);
    expect((await page.pdf({ format: 'A4' })).subarray(0, 5).toString()).toBe('%PDF-');
    expect((await page.pdf({ format: 'Letter' })).subarray(0, 5).toString()).toBe('%PDF-');
    await page.context().close();
  });

  test('boxes can be ticked and lines written on; every drawing says in words what it shows', async () => {
    const { page, requests, said } = await open('site.html', 360, 'light');
    const box = page.getByRole('checkbox', { name: /250 sheets of paper A4/ });
    await box.check();
    expect(await box.isChecked()).toBe(true);
    const line = page.getByRole('textbox', { name: /back-office: Is the panel lit/ });
    await line.fill('dark, the socket too');
    await line.press('Enter');
    expect(await line.inputValue()).toBe('dark, the socket too');
    expect([requests.length, said]).toEqual([1, []]);
    const words = await page
      .locator('svg[role=img]')
      .evaluateAll((all) => all.map((one) => one.getAttribute('aria-label')));
    expect(words.every((one) => (one ?? '').length > 10)).toBe(true);
    expect(words.join(' ')).toContain('not known 24 hours');
    expect(words.join(' ')).toMatch(/Pages a day since 2025-11-03: \d+ pages/);
    await page.context().close();
  });

  test('every printer can be reached by the links on top', async () => {
    const { page } = await open('site.html', 1200, 'light');
    for (const link of await page.locator('.glance a').all()) {
      const name = await link.textContent();
      const target = (await link.getAttribute('href')) ?? '';
      const led = await page.locator(`${target} h3`).textContent();
      // A step that wants care leads to its printer's own part, where the cautions stand.
      const entry = await link.locator('xpath=ancestor::li').textContent();
      expect(name === 'Care: read the cautions first' ? entry : name).toContain(led);
    }
    await page.context().close();
  });
});

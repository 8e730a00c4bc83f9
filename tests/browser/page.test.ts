import { readFileSync, statSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { CHECKS, type OperatorCheck } from '../../src/ladder/checks.js';
import { describeWithPeers, findProgram } from '../peers/peer.js';
import { SHOTS, startWatchedOffice, type WatchedOffice } from './office.js';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const FLAGS = ['--no-sandbox', '--headless', '--disable-gpu', '--no-first-run', '--disable-background-networking'];
const PHONE = { width: 360, height: 780 };
const DESK = { width: 1280, height: 900 };
const PATIENCE = 90_000;

const PATHS: Readonly<Record<string, string>> = {
  overview: '/',
  search: '/?q=cover&show=silent',
  printer: '/printers/mail-room',
  cruel: '/printers/cruel',
  questions: '/printers/attic/ask',
  answered: '/printers/attic/ask?answer=panel-lit%3Alit&skip=display-text',
  incidents: '/incidents',
  supplies: '/supplies',
  pictures: '/defects?printer=cruel',
  'bad pages': '/defects?printer=mail-room&symptom=repeating-marks&marks=10%20104%20198',
  missing: '/printers/nobody',
};

// One suite watches one office; on a busy machine a browser takes its time.
vi.setConfig({ testTimeout: 4 * PATIENCE });

describeWithPeers('the page of a running agent in a browser', ['chromium'], () => {
  let browser: Browser;
  let office: WatchedOffice;

  beforeAll(async () => {
    browser = await chromium.launch({ executablePath: findProgram('chromium') ?? '', args: FLAGS });
    office = await startWatchedOffice();
  }, 240_000);
  afterAll(async () => {
    await browser?.close();
    await office?.close();
  });

  /** Opens a path; what the browser complains of is collected. */
  async function open(path: string, options: BrowserContextOptions = {}) {
    const context = await browser.newContext({ viewport: DESK, reducedMotion: 'reduce', ...options });
    const page = await context.newPage();
    page.setDefaultTimeout(PATIENCE);
    const said: string[] = [];
    page.on('console', (message) => said.push(message.text()));
    page.on('pageerror', (error) => said.push(String(error)));
    page.on('dialog', (dialog) => {
      said.push(`dialog ${dialog.message()}`);
      void dialog.dismiss();
    });
    await page.goto(`${office.base}${path}`);
    return { page, said, close: () => context.close() };
  }
  const shot = (page: Page, name: string) => page.screenshot({ path: join(SHOTS, `${name}.png`), fullPage: true });

  describe('somebody who has never seen it', () => {
    test.each([
      ['telephone', PHONE],
      ['desk', DESK],
    ] as const)(
      'sees the silent printer, the reason and the next step without scrolling, on a %s',
      async (name, viewport) => {
        const { page, said, close } = await open('/', { viewport });
        const first = page.locator('.r-silent > li').first();
        for (const part of ['.who', '.stands', '.what > p:first-child', '.go']) {
          const box = await first.locator(part).first().boundingBox();
          expect(box, part).not.toBeNull();
          expect((box?.y ?? 0) + (box?.height ?? 0), part).toBeLessThanOrEqual(viewport.height);
        }
        expect(await first.locator('.stands').textContent()).toContain('Silent');
        await shot(page, `overview-${name}`);
        expect(said).toEqual([]);
        await close();
      },
    );

    test('goes from the list to one printer: thirteen layers with evidence, steps with cautions, levels, covers, queue, history', async () => {
      const { page, said, close } = await open('/');
      await page.locator('.who', { hasText: 'mail-room' }).click();
      await page.waitForURL(/\/printers\/mail-room$/);
      expect(await page.locator('.way > li').count()).toBe(13);
      const fault = page.locator('.way .is-fault');
      expect(await fault.textContent()).toContain('Printer itself');
      expect(await fault.locator('.records').isVisible()).toBe(true);
      expect(await page.locator('#answer .next > li').count()).toBeGreaterThan(0);
      expect(await page.locator('#answer .care').count()).toBeGreaterThan(0);
      for (const id of ['supplies', 'trays', 'covers', 'alerts', 'queue', 'history', 'facts']) {
        expect(await page.locator(`#${id}`).isVisible(), id).toBe(true);
      }
      expect(await page.locator('#covers').textContent()).toContain('Front cover: open');
      expect(said).toEqual([]);
      await close();
    });
  });

  // The answers are those of a person before a printer whose queue is paused, by the planner's own table; without a script.
  test('questions with large buttons lead to the cause, on a telephone without a script', async () => {
    const { page, close } = await open('/printers/attic', { viewport: PHONE, javaScriptEnabled: false });
    await page.getByRole('link', { name: 'Find out step by step' }).click();
    let asked = 0;
    for (; asked < 12 && (await page.locator('#verdict').count()) === 0; asked++) {
      if (asked === 0) await shot(page, 'questions-telephone');
      const buttons = page.locator('.outcomes button');
      const values = await buttons.evaluateAll((all) => all.map((one) => (one as unknown as { value: string }).value));
      for (const box of await Promise.all((await buttons.all()).map((one) => one.boundingBox()))) {
        expect(box?.height).toBeGreaterThanOrEqual(48);
      }
      await buttons.nth(values.indexOf(likeliest(values, 'queue-paused'))).click();
    }
    expect(await page.locator('#verdict + .verdict').textContent()).toContain('is paused');
    expect(await page.locator('.answer .next > li').count()).toBeGreaterThan(0);
    await shot(page, 'verdict-telephone');
    // Going back takes the last answer back.
    await page.goBack();
    expect(await page.locator('#verdict').count()).toBe(0);
    expect(asked).toBeGreaterThan(1);
    await close();
  });

  function likeliest(values: readonly string[], cause: string): string {
    const id = values[0]?.split(':')[0];
    const check: OperatorCheck | undefined = CHECKS.find((one) => one.id === id);
    const chances =
      check?.likelihood.causes?.[cause] ?? check?.likelihood.layers?.queue ?? check?.likelihood.default ?? [];
    return `${id}:${check?.outcomes[chances.indexOf(Math.max(...chances))]}`;
  }

  test('a fault shows by itself, is said to a screen reader, can be taken on, and goes by itself', async () => {
    const { page, said, close } = await open('/');
    await page.locator('#live', { hasText: 'Follows' }).waitFor();
    const row = page.locator('li[data-key="gate-house"]');
    expect(await row.locator('.stands').count()).toBe(0);
    await office.pause(true);
    const began = performance.now();
    await office.report();
    await row.locator('.stands', { hasText: 'Silent' }).waitFor({ timeout: PATIENCE });
    console.log(`shown ${Math.round(performance.now() - began)} ms after the printer reported its pause`);
    await page.locator('#news', { hasText: 'gate-house' }).waitFor({ state: 'attached' });
    await page.goto(`${office.base}/incidents`);
    const incident = page.locator('#open li', { hasText: 'gate-house' });
    await incident.locator('summary').click();
    await incident.locator('input[name=note]').fill('Somebody leaned on it');
    await incident.locator('button').click();
    await page.waitForURL(/incidents$/);
    expect(await incident.locator('q').textContent()).toBe('Somebody leaned on it');
    await page.goto(`${office.base}/`);
    await office.pause(false);
    await page.locator('.r-well li[data-key="gate-house"]').waitFor({ timeout: PATIENCE });
    expect(said).toEqual([]);
    await close();
  });

  test('read now, ask why now, look for printers: each ends at a page', async () => {
    const { page, said, close } = await open('/printers/mail-room');
    await page.getByRole('button', { name: 'Read it now' }).click();
    await page.waitForURL(/\/printers\/mail-room$/);
    await page.getByRole('button', { name: 'Ask why now' }).click();
    await page.waitForURL(/\/mail-room\/ask$/, { timeout: PATIENCE });
    expect(await page.locator('#verdict').textContent()).toBe('The answer');
    await page.goto(`${office.base}/`);
    await page.getByRole('button', { name: 'Look for new printers' }).click();
    await page.waitForURL(`${office.base}/`);
    expect(said).toEqual([]);
    await close();
  });

  test('the snapshot comes as an archive', async () => {
    const { page, close } = await open('/');
    const [download] = await Promise.all([
      page.waitForEvent('download', { timeout: 3 * PATIENCE }),
      page.getByRole('link', { name: 'Take everything along' }).click(),
    ]);
    const file = await download.path();
    expect(download.suggestedFilename()).toMatch(/\.zip$/);
    expect(statSync(file).size).toBeGreaterThan(10_000);
    expect(readFileSync(file).subarray(0, 2).toString()).toBe('PK');
    await close();
  });

  test('everything can be reached by keyboard alone, and it shows where one is', async () => {
    const { page, close } = await open('/');
    await page.keyboard.press('Tab');
    expect(await page.evaluate('document.activeElement.textContent')).toBe('Skip to the content');
    await page.keyboard.press('Enter');
    expect(await page.evaluate('document.activeElement.id')).toBe('main');
    const outline =
      'const s = getComputedStyle(document.activeElement); s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2';
    for (let presses = 0; presses < 30; presses++) {
      await page.keyboard.press('Tab');
      expect(await page.evaluate(`{ ${outline} }`)).toBe(true);
      if (await page.evaluate('document.activeElement.classList.contains("who")')) break;
    }
    const name = await page.evaluate('document.activeElement.textContent');
    await page.keyboard.press('Enter');
    await page.waitForURL(/\/printers\//);
    expect(await page.locator('h1').textContent()).toBe(name);
    await close();
  });

  test('without a script all of it can be read, and searched', async () => {
    const { page, close } = await open('/', { javaScriptEnabled: false, viewport: PHONE });
    await page.getByRole('searchbox').fill('mail room');
    await page.getByRole('button', { name: 'Find' }).click();
    expect(await page.locator('.who').allTextContents()).toEqual(['mail-room']);
    expect(await page.locator('#live').textContent()).toContain('Load it again');
    await page.locator('.who').click();
    expect(await page.locator('.verdict').first().textContent()).toContain('Front cover');
    await close();
  });

  test.each(Object.keys(PATHS))(
    '%s: nothing overflows at 320 and 360 pixels, nothing is run or fetched but its own',
    async (name) => {
      for (const width of [320, 360]) {
        const { page, said, close } = await open(PATHS[name] ?? '/', { viewport: { width, height: 780 } });
        await openDetails(page);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
        expect(await page.evaluate('window.hacked')).toBeUndefined();
        expect(await page.locator('script').count()).toBe(1);
        // A page that is not there is told of by the browser itself.
        expect(said.filter((words) => !words.includes('404'))).toEqual([]);
        await close();
      }
    },
  );

  test.each(Object.keys(PATHS))(
    '%s: no accessibility violation, a telephone in the light, a desk in the dark',
    async (name) => {
      for (const [colorScheme, viewport] of [
        ['light', PHONE],
        ['dark', DESK],
      ] as const) {
        const { page, close } = await open(PATHS[name] ?? '/', { viewport, colorScheme, bypassCSP: true });
        await openDetails(page);
        await page.evaluate(AXE);
        const { violations } = (await page.evaluate('axe.run()')) as {
          violations: { id: string; nodes: { html: string; failureSummary: string }[] }[];
        };
        expect(violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html} ${nodes[0]?.failureSummary}`)).toEqual([]);
        await shot(page, `${name.replace(' ', '-')}-${viewport.width}-${colorScheme}`);
        await close();
      }
    },
  );

  function openDetails(page: Page): Promise<void> {
    return page.locator('details').evaluateAll((all) => {
      for (const one of all) one.setAttribute('open', '');
    });
  }

  test('on paper the evidence is open and the buttons are gone', async () => {
    const { page, close } = await open('/printers/mail-room');
    await page.emulateMedia({ media: 'print' });
    for (const gone of ['nav', '.acts', '.back'])
      expect(await page.locator(gone).first().isVisible(), gone).toBe(false);
    expect((await page.locator('#e-power .records').boundingBox())?.height ?? 0).toBeGreaterThan(5);
    const pdf = await page.pdf({ format: 'A4', path: join(SHOTS, 'printer.pdf') });
    expect(pdf.subarray(0, 5).toString()).toBe('%PDF-');
    await close();
  });
});

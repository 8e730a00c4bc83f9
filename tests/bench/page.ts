import { gzipSync } from 'node:zlib';
import { type Browser, chromium } from 'playwright-core';
import { servedStyle } from '../../src/commands/served-page.js';
import type { Answer, Route } from '../../src/daemon/outside/http/answer.js';
import { serve } from '../../src/daemon/outside/http/server.js';
import { overviewPage } from '../../src/page/overview.js';
import { readListQuery } from '../../src/page/overview-query.js';
import type { PrinterView } from '../../src/page/view.js';
import { freeTcpPort } from '../daemon/program.js';
import { frame, NOW, silent, well } from '../page/views.js';
import { findProgram } from '../peers/peer.js';

const ROUNDS = 7;
const quiet = { debug: () => undefined, info: () => undefined, warn: () => undefined, error: () => undefined };

function printers(count: number, everySilent: number): readonly PrinterView[] {
  return Array.from({ length: count }, (_, at) => {
    const known = {
      silent: true,
      layer: 'media',
      cause: 'media-empty',
      summary: '',
      since: NOW - at * 61_000,
    } as const;
    return at % everySilent === 0 ? silent(`printer-${at}`, { known, people: at % 13 }) : well(`printer-${at}`);
  });
}

/**
 * `npm run bench -- page [PRINTERS]`: how long the overview takes to make, how much it weighs, and how long a browser takes to its first
 * contentful paint (W3C Paint Timing), beside a page of one word from the same server in the same run.
 */
export async function run(): Promise<void> {
  const count = Number(process.argv[3] ?? 1_000);
  const program = findProgram('chromium');
  if (program === null) {
    console.log('Chromium is not installed: not measured');
    return;
  }
  const style = await servedStyle();
  const shown = frame({ assets: { style: '/page.css', script: '/page.js' } });
  const query = readListQuery(new URLSearchParams());
  const make = (every: number) =>
    overviewPage({ printers: printers(count, every), query, sweep: { running: false, lastAt: null } }, shown);
  const began = performance.now();
  const some = make(20);
  const madeMs = performance.now() - began;
  const pages: Readonly<Record<string, Answer>> = {
    '/hello': html('<!doctype html><title>hello</title><p>hello'),
    '/some': html(some),
    '/all': html(make(1)),
    '/page.css': { status: 200, body: style, type: 'text/css; charset=utf-8' },
    '/page.js': { status: 200, body: '', type: 'text/javascript; charset=utf-8' },
  };
  const route: Route = async ({ path }) => pages[path];
  const port = await freeTcpPort();
  const server = await serve({ address: '127.0.0.1', port, token: undefined, routes: [route], log: quiet });
  const browser = await chromium.launch({
    executablePath: program,
    args: ['--no-sandbox', '--headless', '--disable-gpu'],
  });
  const hello = await paintMs(browser, `http://127.0.0.1:${port}/hello`);
  console.log(`${count} printers: made in ${madeMs.toFixed(0)} ms; one word is painted after ${hello.toFixed(0)} ms`);
  for (const path of ['/some', '/all']) {
    const paint = await paintMs(browser, `http://127.0.0.1:${port}${path}`);
    const kB = gzipSync(String(pages[path]?.body)).length / 1_000;
    const what = path === '/all' ? 'all silent' : 'one in twenty silent';
    console.log(
      `${what}: ${kB.toFixed(1)} kB compressed, painted after ${paint.toFixed(0)} ms, ${(paint / hello).toFixed(1)} × one word`,
    );
  }
  await browser.close();
  await server.close();
}

function html(body: string): Answer {
  return { status: 200, body, type: 'text/html; charset=utf-8' };
}

/** The median of several first contentful paints, each in a browser without a cache. */
async function paintMs(browser: Browser, url: string): Promise<number> {
  const times: number[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    const context = await browser.newContext({ viewport: { width: 1280, height: 900 } });
    const page = await context.newPage();
    await page.goto(url, { waitUntil: 'load' });
    await page.waitForFunction('performance.getEntriesByName("first-contentful-paint").length > 0');
    times.push(Number(await page.evaluate('performance.getEntriesByName("first-contentful-paint")[0].startTime')));
    await context.close();
  }
  return times.sort((a, b) => a - b)[Math.floor(ROUNDS / 2)] ?? 0;
}

import { execFileSync, spawn } from 'node:child_process';
import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { Metrics } from '../../src/daemon/outside/metrics/metrics.js';
import type { MeteredPrinter } from '../../src/daemon/outside/metrics/printer-metrics.js';
import { readingOf } from '../../src/daemon/reading.js';
import type { Supply } from '../../src/model/printer.js';
import { bundleOf, HEALTHY } from '../ladder/bundle.js';
import { describeWithPeers } from '../peers/peer.js';
import { ask, serveTest } from './http-client.js';
import { freeTcpPort } from './program.js';

const { why, document } = readingOf(bundleOf(HEALTHY));
if (document === null) throw new Error('the healthy printer says nothing');
/** Everything that could end a label, a line or a family early. */
const HOSTILE = 'Tray"} 1\n# HELP x\\ \u001b[31m\u202e{a="b"}\ud800 ünïcode';
const supply = (index: number, name: string, percent: number | null): Supply => ({
  ...(document.supplies[0] as Supply),
  index,
  name,
  percent,
});
const printer = (name: string, more: Partial<MeteredPrinter> = {}): MeteredPrinter => ({
  name,
  address: '192.0.2.21',
  silent: false,
  lastAnswerAt: Date.parse('2026-03-02T09:00:00Z'),
  latest: {
    ...LATEST,
    why,
    document: {
      ...document,
      counters: { lifePages: 12_345, powerOnPages: null },
      supplies: [supply(1, 'Black toner', 41), supply(2, 'Waste', null)],
    },
  },
  ...more,
});
const LATEST = { bundle: bundleOf(HEALTHY) };
const hostile = printer(HOSTILE, {
  silent: true,
  latest: {
    ...LATEST,
    why,
    document: {
      ...document,
      identity: { ...document.identity, model: HOSTILE.repeat(50), serial: HOSTILE },
      counters: { ...document.counters, lifePages: Number.NaN },
      supplies: [supply(1, HOSTILE, 5)],
    },
  },
});

function metricsOf(...printers: readonly MeteredPrinter[]): Metrics {
  const metrics = new Metrics({
    version: '0.0.0',
    printers: () => printers,
    agent: () => ({
      ready: true,
      openIncidents: [{ layer: 'media' }],
      store: { waiting: 1, written: 20, dropped: 0 },
      tellers: [{ id: 'mail:0a1b', sent: 3, failed: 1 }],
    }),
  });
  metrics.read(0.3, true);
  metrics.read(12, false);
  return metrics;
}

let server: Awaited<ReturnType<typeof serveTest>>;
beforeAll(async () => {
  server = await serveTest({
    routes: [metricsOf(printer('front-desk'), printer('unread', { silent: null, latest: undefined }), hostile).route],
  });
});
afterAll(() => server.close());
const scrape = async (Accept = '*/*') => ask(server.port, '/metrics', { headers: { Accept } });
const lines = async () => (await scrape()).text.split('\n');

describe('what is told', () => {
  test('of a printer', async () => {
    const own = (await lines()).filter((line) => line.includes('printer="front-desk"'));
    expect(own).toContain('outfeed_printer_silent{printer="front-desk"} 0');
    expect(own).toContain('outfeed_printer_last_answer_timestamp_seconds{printer="front-desk"} 1772442000');
    expect(own).toContain('outfeed_printer_layer_state{printer="front-desk",layer="media"} 0');
    expect(own.filter((line) => line.startsWith('outfeed_printer_layer_state'))).toHaveLength(13);
    expect(own.filter((line) => line.startsWith('outfeed_printer_supply_level_ratio'))).toEqual([
      expect.stringMatching(/index="1",supply="Black toner".*} 0\.41$/),
    ]);
    expect(own).toContain(`outfeed_printer_pages_total{printer="front-desk"} 12345`);
  });

  test('of the agent, and nothing of what is not known', async () => {
    const all = await lines();
    expect(all).toContain('outfeed_printers 3');
    expect(all).toContain('outfeed_incidents_open{layer="media"} 1');
    expect(all).toContain('outfeed_incidents_open{layer="power"} 0');
    expect(all).toContain('outfeed_messages_failed_total{teller="mail:0a1b"} 1');
    expect(all).toContain('outfeed_read_duration_seconds_bucket{le="0.5",outcome="answered"} 1');
    expect(all).toContain('outfeed_read_duration_seconds_sum{outcome="silent"} 12');
    expect(all.some((line) => line.startsWith('nodejs_eventloop_lag_seconds '))).toBe(true);
    expect(all.some((line) => line.startsWith('outfeed_printer_silent{printer="unread"'))).toBe(false);
  });

  // Exposition formats: "text/plain; version=0.0.4", and OpenMetrics 1.0, section 4.2; preference as in RFC 9110, section 12.5.1.
  test.each([
    ['*/*', 'text/plain; version=0.0.4; charset=utf-8'],
    ['text/html', 'text/plain; version=0.0.4; charset=utf-8'],
    ['application/openmetrics-text', 'application/openmetrics-text; version=1.0.0; charset=utf-8'],
    [
      'application/openmetrics-text;version=1.0.0;q=0.5,text/plain;version=0.0.4;q=0.3,*/*;q=0.2',
      'application/openmetrics-text; version=1.0.0; charset=utf-8',
    ],
    [
      'application/openmetrics-text;version=1.0.0;q=0.1,text/plain;version=0.0.4;q=0.9',
      'text/plain; version=0.0.4; charset=utf-8',
    ],
  ])('%s gets %s', async (accept, type) => {
    expect((await scrape(accept)).headers['content-type']).toBe(type);
  });

  test('one format leaves the other as it is', async () => {
    const open = (await scrape('application/openmetrics-text')).text;
    expect(open).toMatch(/\n# EOF\n$/);
    expect(open).toContain('# TYPE outfeed_printer_pages counter\n');
    const plain = (await scrape()).text;
    expect(plain).toContain('# TYPE outfeed_printer_pages_total counter\n');
    expect(plain).not.toContain('# EOF');
  });

  test('a text that a printer made up stays inside its label, visible and short', async () => {
    const all = (await scrape()).text;
    expect(all).not.toMatch(/^# HELP x/m);
    const own = all.split('\n').filter((line) => line.includes('ünïcode') || line.includes('Tray'));
    for (const line of own) {
      expect(line).toMatch(/^outfeed_\w+\{(\w+="(\\.|[^"\\])*",?)+\} -?[\d.e+]+$/);
      expect(line).not.toMatch(/[\u0000-\u001f\u202e\ud800]/);
      expect(line.length).toBeLessThan(700);
    }
    expect(own.some((line) => line.includes('printer_pages_total'))).toBe(false);
  });

  test('the number of series has an end, and what is left out is counted', async () => {
    const supplies = Array.from({ length: 50 }, (_, i) => supply(i, `supply ${i}`, 50));
    const latest = { ...LATEST, why, document: { ...document, supplies } };
    const many = Array.from({ length: 1_200 }, (_, i) =>
      printer(`p${i}`, i === 0 ? { latest } : { latest: undefined }),
    );
    const answer = await metricsOf(...many).route({ path: '/metrics', method: 'GET', accept: '' } as never);
    const told = String(answer?.body).split('\n');
    expect(told.filter((line) => line.startsWith('outfeed_printer_silent{'))).toHaveLength(1_000);
    expect(told.filter((line) => line.startsWith('outfeed_printer_supply_level_ratio{'))).toHaveLength(32);
    expect(told).toContain('outfeed_metrics_left_out{what="printers"} 200');
    expect(told).toContain('outfeed_metrics_left_out{what="supplies"} 18');
  });
});

const CONFIG = fileURLToPath(new URL('../../config/metrics/', import.meta.url));

describeWithPeers('by the tools of the reference server', ['promtool'], () => {
  test('the metrics are linted without a remark', async () => {
    const said = execFileSync('promtool', ['check', 'metrics'], { input: (await scrape()).text, stdio: 'pipe' });
    expect(said.toString()).toBe('');
  });

  test('the scrape configuration and the rules are right, and the rules ring when they should', () => {
    const folder = mkdtempSync(join(tmpdir(), 'outfeed-rules-'));
    try {
      execFileSync('promtool', ['check', 'config', 'scrape.yml'], { cwd: CONFIG, stdio: 'pipe' });
      execFileSync('promtool', ['check', 'rules', '--lint-fatal', 'alerts.yml'], { cwd: CONFIG, stdio: 'pipe' });
      copyFileSync(join(CONFIG, 'alerts.yml'), join(folder, 'alerts.yml'));
      copyFileSync(fileURLToPath(new URL('metrics-alerts.yml', import.meta.url)), join(folder, 'tests.yml'));
      execFileSync('promtool', ['test', 'rules', 'tests.yml'], { cwd: folder, stdio: 'pipe' });
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });

  test('every metric that a rule names is told', async () => {
    const told = (await scrape()).text;
    const named = new Set(readFileSync(join(CONFIG, 'alerts.yml'), 'utf8').match(/outfeed_\w+/g));
    expect([...named].filter((name) => !told.includes(name))).toEqual([]);
  });
});

describeWithPeers('by a real server', ['prometheus'], () => {
  let folder: string;
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'outfeed-prometheus-'));
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  test('the example configuration reads an agent: every series arrives, the made-up texts as they were', async () => {
    const port = await freeTcpPort();
    const example = readFileSync(join(CONFIG, 'scrape.yml'), 'utf8');
    writeFileSync(
      join(folder, 'scrape.yml'),
      example.replace('127.0.0.1:6310', `127.0.0.1:${server.port}`).replaceAll('30s', '1s'),
    );
    copyFileSync(join(CONFIG, 'alerts.yml'), join(folder, 'alerts.yml'));
    const options = ['--config.file=scrape.yml', '--storage.tsdb.path=data', `--web.listen-address=127.0.0.1:${port}`];
    const child = spawn('prometheus', options, { cwd: folder, stdio: 'ignore' });
    const ended = new Promise((resolve) => child.once('close', resolve));
    try {
      const query = async (
        expression: string,
      ): Promise<{ metric: Record<string, string>; value: [number, string] }[]> => {
        const answer = await fetch(
          `http://127.0.0.1:${port}/api/v1/query?query=${encodeURIComponent(expression)}`,
        ).catch(() => undefined);
        if (answer?.ok !== true) return [];
        return ((await answer.json()) as { data: { result: [] } }).data.result;
      };
      for (let i = 0; i < 600 && (await query('up{job="outfeed"} == 1')).length === 0; i++) await delay(100);
      expect(await query('up')).toMatchObject([
        { metric: { job: 'outfeed', site: 'harbour-annex' }, value: [expect.any(Number), '1'] },
      ]);
      const silent = await query('outfeed_printer_silent');
      const visible = 'Tray"} 1\\n# HELP x\\ \\x1b[31m\\u202e{a="b"}\\ud800 ünïcode';
      expect(new Set(silent.map(({ metric, value: [, value] }) => `${metric.printer} ${value}`))).toEqual(
        new Set(['front-desk 0', `${visible} 1`]),
      );
      expect(await query('outfeed_printer_supply_level_ratio{printer="front-desk"}')).toMatchObject([
        { value: [expect.any(Number), '0.41'] },
      ]);
      const scraped = await query('scrape_samples_scraped{job="outfeed"}');
      const sent = (await lines()).filter((line) => line !== '' && !line.startsWith('#')).length;
      expect(Math.abs(Number(scraped[0]?.value[1]) - sent)).toBeLessThan(20);
    } finally {
      child.kill('SIGKILL');
      await ended;
    }
  }, 120_000);
});

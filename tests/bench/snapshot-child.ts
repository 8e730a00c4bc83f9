/** One site of so many printers, from saved evidence to a folder; prints what it took as JSON. */
import { readdirSync, readFileSync } from 'node:fs';
import { sheetType } from '../../src/commands/sheet-type.js';
import { readFacts } from '../../src/facts/facts.js';
import type { Incident } from '../../src/model/snapshot.js';
import type { EvidenceBundle } from '../../src/model/why.js';
import { renderJson } from '../../src/render/json.js';
import { renderSite } from '../../src/render/site-html.js';
import { snapshotTables } from '../../src/render/snapshot-csv.js';
import { visitSheet } from '../../src/sheet/visit.js';
import { octetsOf, type SnapshotFile } from '../../src/snapshot/manifest.js';
import { pastOf } from '../../src/snapshot/past.js';
import { buildSnapshot, type SnapshotInput } from '../../src/snapshot/snapshot.js';
import { writeSnapshot } from '../../src/snapshot/write.js';
import { judge } from '../../src/verdict/verdict.js';

export interface Made {
  readonly seconds: number;
  readonly peakMb: number;
  readonly files: number;
  readonly bytes: number;
  readonly sheets: number;
  readonly parts: Readonly<Record<string, number>>;
}

const DAY = 86_400_000;
const SAVED = new URL('../ladder/saved/', import.meta.url);
const [printers = '0', out = ''] = process.argv.slice(2);
const saved = readdirSync(SAVED)
  .filter((name) => name.endsWith('.json'))
  .map((name) => JSON.parse(readFileSync(new URL(name, SAVED), 'utf8')) as EvidenceBundle)
  .filter(({ schema }) => schema === 'outfeed.evidence/1');

function bundleOf(index: number): EvidenceBundle {
  const bundle = saved[index % saved.length];
  if (bundle === undefined) throw new Error('no evidence is saved');
  return { ...bundle, target: `${bundle.target}-${index}` };
}

/** A printer that an agent has watched for three months: read every day, silent every tenth. */
function inputOf(bundle: EvidenceBundle, now: number): SnapshotInput {
  const days = Array.from({ length: 90 }, (_, day) => now - (90 - day) * DAY);
  const incidents = days
    .filter((_, day) => day % 10 === 0)
    .map(
      (at, index): Incident => ({
        id: `${bundle.target}-${index}`,
        printer: bundle.target,
        layer: 'media',
        cause: 'media-empty',
        component: 'Tray 1',
        startedAt: new Date(at).toISOString(),
        endedAt: new Date(at + DAY / 4).toISOString(),
        acknowledgedAt: null,
      }),
    );
  const found = days.map((at, day) => ({ at, silent: day % 10 === 0, cause: 'media-empty' }));
  const counts = days.map((at, day) => ({ at, pages: 1000 + 80 * day }));
  return {
    printer: readFacts(bundle).printer?.document ?? null,
    why: judge(bundle),
    incidents,
    past: pastOf({ since: days[0] ?? now, found, counts }, now),
  };
}

const parts: Record<string, number> = {};
async function timed<T>(part: string, work: () => T | Promise<T>): Promise<T> {
  const start = performance.now();
  const result = await work();
  parts[part] = (performance.now() - start) / 1000;
  return result;
}

const begun = performance.now();
const madeAt = '2026-01-31T09:00:00.000Z';
const bundles = Array.from({ length: Number(printers) }, (_, index) => bundleOf(index));
const snapshot = await timed('judge and plan', () =>
  buildSnapshot(
    bundles.map((bundle) => inputOf(bundle, Date.parse(madeAt))),
    { site: 'Harbour annex', madeAt },
  ),
);
const files: readonly SnapshotFile[] = [
  { path: 'site.html', content: await timed('page', () => renderSite(snapshot)) },
  { path: 'site.json', content: await timed('json', () => renderJson(snapshot)) },
  { path: 'visit.pdf', content: await timed('sheet', async () => visitSheet(snapshot, await sheetType())) },
  ...(await timed('tables', () =>
    Object.entries(snapshotTables(snapshot)).map(([path, content]) => ({ path, content })),
  )),
  ...bundles.map((bundle) => ({ path: `evidence/${bundle.target}.json`, content: renderJson(bundle) })),
];
await timed('write', () => writeSnapshot(out, files, { program: 'outfeed', madeAt }));
const pdf = files.find(({ path }) => path === 'visit.pdf')?.content ?? '';
const made: Made = {
  seconds: (performance.now() - begun) / 1000,
  peakMb: process.resourceUsage().maxRSS / 1024,
  files: files.length,
  bytes: files.reduce((sum, file) => sum + octetsOf(file).length, 0),
  sheets: 0,
  parts,
};
const { PDFDocument } = await import('pdf-lib');
const sheets = typeof pdf === 'string' ? 0 : (await PDFDocument.load(pdf)).getPageCount();
process.stdout.write(JSON.stringify({ ...made, sheets }));

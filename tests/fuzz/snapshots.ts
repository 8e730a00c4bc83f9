import { Buffer } from 'node:buffer';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { loadSnapshot } from '../../src/commands/snapshot-file.js';
import { readPrinter } from '../../src/facts/printer/printer.js';
import { ProgramProblem } from '../../src/model/problem.js';
import { SNAPSHOT_SCHEMA, type SnapshotDocument } from '../../src/model/snapshot.js';
import type { EvidenceBundle } from '../../src/model/why.js';
import { renderComparison } from '../../src/render/compare-text.js';
import { compareSnapshots } from '../../src/snapshot/compare.js';
import { manifestOf } from '../../src/snapshot/manifest.js';
import { zipOf } from '../../src/snapshot/zip.js';
import { judge } from '../../src/verdict/verdict.js';
import { ownFolder } from './commands.js';
import { BUNDLES } from './files.js';
import { mutateJson } from './mutate-json.js';
import { spoil } from './spoil.js';
import { ADDRESS, AT, type Case, type FuzzTarget, mustBePlain } from './target.js';

/** Two printers as a site's snapshot has them. */
const SITE: SnapshotDocument = {
  schema: SNAPSHOT_SCHEMA,
  site: 'Harbour annex',
  madeAt: AT,
  redacted: false,
  printers: BUNDLES.slice(0, 2).map((octets) => {
    const bundle = JSON.parse(octets.toString()) as EvidenceBundle;
    const printer = readPrinter(bundle.evidence, { address: ADDRESS, readAt: AT })?.document ?? null;
    return { printer, why: judge(bundle), supplies: [], counters: null, incidents: [] };
  }),
  visit: { order: [], bring: [] },
};
const TEXT = JSON.stringify(SITE);

/** An archive with its manifest in order, whatever stands in the site's document. */
function archiveOf(text: string, path = 'site.json'): Buffer {
  const files = [{ path, content: text }];
  return Buffer.from(zipOf('harbour-annex', files, manifestOf(files, { program: 'outfeed', madeAt: AT })));
}

const WHOLE = archiveOf(TEXT);
/** End record, headers and sizes: the ends of a ZIP archive are where its readers go wrong. */
const TOKENS = ['PK\u0001\u0002', 'PK\u0003\u0004', 'PK\u0005\u0006', 'PK\u0006\u0006', '\u0000\u0000', '../', '/'];
const PATHS = ['site.json', '../site.json', '/etc/passwd', 'a/../../site.json', '__proto__', 'a\\..\\b', ''];

function archive({ draw, served }: Case): Buffer {
  const made =
    draw(3) > 0
      ? spoil({ seeds: [WHOLE], tokens: TOKENS }, draw)
      : archiveOf(mutateJson(TEXT, draw), PATHS[draw(8)] ?? 'site.json');
  served.push(made);
  return made;
}

async function snapshot(one: Case): Promise<void> {
  const octets = archive(one);
  let site: SnapshotDocument;
  try {
    const folder = ownFolder();
    writeFileSync(join(folder, 'site.zip'), octets);
    ({ site } = await loadSnapshot('site.zip', folder));
  } catch (error) {
    if (error instanceof ProgramProblem) return;
    throw error;
  }
  const compared = compareSnapshots(SITE, site);
  JSON.stringify(compared);
  mustBePlain(renderComparison(compared, { color: false, columns: 80 }));
}

export const snapshotTarget: FuzzTarget = { name: 'snapshot', share: 0.01, run: snapshot };

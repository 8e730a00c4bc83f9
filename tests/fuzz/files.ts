import { Buffer } from 'node:buffer';
import { readFileSync } from 'node:fs';
import { readBundle } from '../../src/commands/bundle-file.js';
import { withJobFile } from '../../src/commands/job-file.js';
import { modelFileSchema } from '../../src/config/model-file.js';
import { parseConfig, parseStrict } from '../../src/config/parse.js';
import { HistoryGatherer, readRow, wrongHeader } from '../../src/forecast/history-csv.js';
import { ProgramProblem } from '../../src/model/problem.js';
import { eventsObservation, type FileReading, reportObservation } from '../../src/printhost/observation.js';
import { textOfFile } from '../../src/printhost/text.js';
import { sniff } from '../../src/wire/job/sniff.js';
import { REPORTS } from '../printhost/reports.js';
import type { Draw } from './mutate.js';
import { CSV, EVENT_TOKENS, EVENTS, JOB_TOKENS, JOBS, YAML_TOKENS } from './seeds.js';
import { type Spoiling, spoil } from './spoil.js';
import { AT, type FuzzTarget, mustBeJudged, mustBeSound } from './target.js';

const fileAt = (place: string): Buffer => readFileSync(new URL(place, import.meta.url));
export const CONFIGS = [
  fileAt('../../config/outfeed.example.yaml'),
  Buffer.from('printers:\n  - { name: desk, address: 192.0.2.21 }\nsnmp: [{ version: 2c, community: public }]\n'),
];
export const MODELS = [fileAt('../../config/models/example.yaml'), fileAt('../../config/models/office-colour.yaml')];
const SAVED = ['survey', 'quay-office', 'slipway', 'warehouse-labels', 'accounts'];
export const BUNDLES = SAVED.map((name) => fileAt(`../ladder/saved/${name}.json`));
export const REPORT_SEEDS = REPORTS.map(({ report }) => Buffer.from(JSON.stringify(report)));
/** One case in this many is judged and put into words too: a thousand times the work of reading. */
const JUDGED = 25;

/** Reads a spoilt seed; `read` throws when something is amiss, and only then. */
function reader(name: string, share: number, spoiling: Spoiling, read: (octets: Buffer, draw: Draw) => void) {
  const run: FuzzTarget['run'] = ({ draw, served }) => {
    const octets = spoil(spoiling, draw);
    served.push(octets);
    read(octets, draw);
  };
  return { name, share, run } satisfies FuzzTarget;
}

/** What `made` gives, undefined when it says in one sentence why it can't. */
export function orProblem<T>(made: () => T): T | undefined {
  try {
    return made();
  } catch (error) {
    if (!(error instanceof ProgramProblem)) throw error;
    if (error.message.length > 2000) throw new Error(`a sentence of ${error.message.length} characters`);
    return undefined;
  }
}

type Strict = ReturnType<typeof parseStrict> | ReturnType<typeof parseConfig>;

function mustBeRead(reading: Strict): void {
  if (!('problems' in reading)) return;
  if (reading.problems.length === 0) throw new Error('neither a value nor a problem');
  for (const { line, column, text } of reading.problems) {
    const sound = Number.isInteger(line) && line >= 1 && Number.isInteger(column) && column >= 1 && text !== '';
    if (!sound) throw new Error(`unsound problem ${line}:${column} ${text.slice(0, 200)}`);
  }
}

function mustBeReading(reading: FileReading, judged: boolean): void {
  if ('wrong' in reading) {
    if (reading.wrong === '') throw new Error('wrong, and no word why');
  } else if (judged) mustBeSound([reading.record]);
}

function readHistory(octets: Buffer): void {
  const gatherer = new HistoryGatherer();
  for (const line of octets.toString('utf8').split('\n')) {
    const cells = line.split(',');
    wrongHeader(cells);
    const row = readRow(cells);
    if (!('wrong' in row)) gatherer.add(row);
    else if (row.wrong === '') throw new Error('wrong, and no word why');
  }
  for (const { readings } of gatherer.done())
    for (const { at, level } of readings)
      if (!Number.isFinite(at) || !Number.isFinite(level)) throw new Error(`reading ${at} ${level}`);
}

function readJobFile(octets: Buffer, draw: Draw): void {
  const sniffed = sniff(octets);
  if (JSON.stringify(sniffed).length > 4000) throw new Error('more is said of a job than fits on a page');
  if (draw(JUDGED) !== 0) return;
  const bundle = readBundle(BUNDLES[draw(BUNDLES.length)]?.toString() ?? '', 'saved.json');
  mustBeJudged(withJobFile(bundle, { name: 'a\u001b[2Jjob.prn', bytes: octets.length, head: octets }, AT));
}

export const FILE_TARGETS: readonly FuzzTarget[] = [
  reader('config', 0.04, { seeds: CONFIGS, tokens: YAML_TOKENS }, (octets) =>
    mustBeRead(parseConfig(octets.toString('utf8'), '/etc/outfeed')),
  ),
  reader('model', 0.03, { seeds: MODELS, tokens: YAML_TOKENS }, (octets) =>
    mustBeRead(parseStrict(octets.toString('utf8'), modelFileSchema)),
  ),
  reader('report', 0.1, { seeds: REPORT_SEEDS, json: true }, (octets, draw) =>
    mustBeReading(reportObservation(textOfFile(octets), AT), draw(JUDGED) === 0),
  ),
  reader('events', 0.1, { seeds: EVENTS, tokens: EVENT_TOKENS }, (octets, draw) =>
    mustBeReading(eventsObservation(textOfFile(octets), 'events.xml', AT), draw(JUDGED) === 0),
  ),
  reader('bundle', 0.05, { seeds: BUNDLES, json: true }, (octets, draw) => {
    const bundle = orProblem(() => readBundle(octets.toString('utf8'), 'saved.json'));
    if (bundle !== undefined && draw(JUDGED) === 0) mustBeJudged(bundle);
  }),
  reader('job', 1, { seeds: JOBS, tokens: JOB_TOKENS }, readJobFile),
  reader('history', 1, { seeds: CSV, tokens: [',', '"', '\n', '-2', '2026-02-30', 'pages', '\u0000'] }, readHistory),
];

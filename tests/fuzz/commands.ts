/** Files that commands read, through the whole program: whatever is in them, it ends with a code of its own and one sentence. */
import { Buffer } from 'node:buffer';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { outfeed } from '../commands/captured-io.js';
import { BUNDLES, CONFIGS, MODELS, REPORT_SEEDS } from './files.js';
import { CSV, EVENT_TOKENS, EVENTS, YAML_TOKENS } from './seeds.js';
import { type Spoiling, spoil } from './spoil.js';
import { type Case, type FuzzTarget, mustBePlain } from './target.js';

const MOST = 32 * 1024;
const COMMANDS: readonly (readonly [file: string, argv: readonly string[], spoiling: Spoiling])[] = [
  ['saved.json', ['why', '--from', 'saved.json', '--verbose'], { seeds: BUNDLES, json: true, most: MOST }],
  ['report.json', ['queue', '--queue-report', 'report.json'], { seeds: REPORT_SEEDS, json: true, most: MOST }],
  ['events.xml', ['queue', '--events', 'events.xml'], { seeds: EVENTS, tokens: EVENT_TOKENS, most: MOST }],
  ['past.csv', ['supplies', '--history', 'past.csv'], { seeds: CSV, tokens: [',', '"', '\n'], most: MOST }],
  ['site.yaml', ['check-config', 'site.yaml'], { seeds: CONFIGS, tokens: YAML_TOKENS, most: MOST }],
  [
    'model.yaml',
    ['defect', '--symptom', 'repeating-marks', '--marks', '10,104.2', '--model', 'model.yaml'],
    { seeds: MODELS, tokens: YAML_TOKENS, most: MOST },
  ],
];

let folder: string | undefined;

/** A folder for the files of this run, gone with the process. */
export function ownFolder(): string {
  if (folder !== undefined) return folder;
  const made = mkdtempSync(join(tmpdir(), 'outfeed-fuzz-'));
  process.on('exit', () => rmSync(made, { recursive: true, force: true }));
  folder = made;
  return made;
}

async function command({ draw, served }: Case): Promise<void> {
  const [file, argv, spoiling] = COMMANDS[draw(COMMANDS.length)] as (typeof COMMANDS)[number];
  const octets = spoil(spoiling, draw);
  served.push(octets);
  const cwd = ownFolder();
  writeFileSync(join(cwd, file), Buffer.from(octets));
  const json = draw(2) === 0 ? ['--json'] : [];
  const { code, out, err } = await outfeed([...argv, ...json], { cwd });
  if (code === 4) throw new Error(`the program failed: ${err.slice(0, 400)}`);
  if (/^\s+at /m.test(err)) throw new Error(`a stack trace: ${err.slice(0, 400)}`);
  if (code !== 2 && json.length > 0) JSON.parse(out);
  mustBePlain(err + (json.length > 0 ? '' : out));
}

export const commandTarget: FuzzTarget = { name: 'commands', share: 0.002, run: command };

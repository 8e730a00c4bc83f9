import { Buffer } from 'node:buffer';
import { readMarkList, readScale } from '../../src/commands/defect-options.js';
import { resolveTarget } from '../../src/commands/target.js';
import { durationMs } from '../../src/config/duration.js';
import { readClockSpan, readOfficeHours } from '../../src/config/hours.js';
import { emptyConfig } from '../../src/config/load.js';
import { readPaperWeight } from '../../src/defects/paper.js';
import { readTime } from '../../src/forecast/time.js';
import { readHost } from '../../src/model/host.js';
import { readDeviceUri } from '../../src/model/uri.js';
import { normalMac } from '../../src/net/neighbours/mac.js';
import { parseRanges } from '../../src/sweep/ranges.js';
import { languageOfWord } from '../../src/wire/job/languages.js';
import { orProblem } from './files.js';
import { spoil } from './spoil.js';
import type { Case, FuzzTarget } from './target.js';

/** What a person types, a configuration says or a printer names itself, each with its reader. */
const READERS: readonly (readonly [read: (text: string) => unknown, examples: readonly string[]])[] = [
  [readDeviceUri, ['ipp://192.0.2.21/ipp/print', 'ipps://[fe80::21%25eth0]:631/', 'lpd://desk.example/plotter']],
  [readHost, ['192.0.2.21', 'fe80::21%eth0', 'desk.example', 'münchen.example', '[2001:db8::21]']],
  [(text) => resolveTarget(text, emptyConfig(), { queues: [] }), ['192.0.2.21#2', 'socket://192.0.2.21:9100', 'desk']],
  [
    (text) => parseRanges([text], { yesLarge: false, allowPublic: false }).count,
    ['192.0.2.0/24', '192.0.2.10-40,192.0.2.7', '2001:db8::/120', 'fe80::1%eth0'],
  ],
  [readOfficeHours, ['mon-fri 08:00-18:00', 'mon-thu 08:00-18:00, fri 08:00-14:00']],
  [readClockSpan, ['20:00-07:00']],
  [durationMs, ['90s', '5m', '6h', '400d']],
  [readTime, ['2026-01-31', '2026-01-31T08:00:00.123+01:00']],
  [normalMac, ['02:fc:00:00:00:05', '2:fc:0:0:0:5', '02-FC-00-00-00-05']],
  [readMarkList, ['12.5,106.7,201']],
  [readScale, ['97/100']],
  [readPaperWeight, ['80 g/m2', '20 lb bond', '80gsm']],
  [languageOfWord, ['POSTSCRIPT', 'PCL XL']],
];
const TOKENS = [
  '://',
  '[',
  ']',
  '%25',
  '%',
  '@',
  '#',
  '/',
  '-',
  ',',
  ':',
  ' ',
  '\u0000',
  '\u202e',
  '0x',
  '1e9',
  '٣',
  'İ',
];
const SEEDS = READERS.map(([, examples]) => examples.map((text) => Buffer.from(text)));

function read({ draw, served }: Case): void {
  const at = draw(READERS.length);
  const octets = spoil({ seeds: SEEDS[at] ?? [], tokens: TOKENS, most: 64 * 1024 }, draw);
  served.push(octets);
  orProblem(() => READERS[at]?.[0](octets.toString('utf8')));
}

export const wordsTarget: FuzzTarget = { name: 'words', share: 1, run: read };

import { copyFileSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { parse, stringify } from 'yaml';
import type { Io } from '../../src/commands/io.js';
import { type Office, startOffice } from '../../src/demo/office.js';
import { openStore } from '../../src/store/store.js';
import { type Captured, outfeed } from '../commands/captured-io.js';
import { freeTcpPort } from '../daemon/program.js';
import { hostReport } from '../printhost/report-builder.js';
import { ROOT } from './read.js';

const PREFIX = '127.35.120';
const SITE = 'Harbour annex';

/** A part of the made-up office, and a folder to work in that has what the documents take for granted. */
export interface Stage {
  readonly folder: string;
  readonly pagePort: number;
  /** Runs a documented command line, with what stands on this machine in place of what the documents name. */
  play(text: string, around?: Partial<Io>): Promise<Captured>;
  /** Runs one that stays, until it has said this. */
  playUntil(text: string, said: RegExp): Promise<Captured>;
  close(): Promise<void>;
}

export async function openStage(): Promise<Stage> {
  const office = await startOffice({ prefix: PREFIX, only: ['front-desk', 'chart-room', 'print-server'] });
  const folder = mkdtempSync(join(tmpdir(), 'outfeed-documents-'));
  const pagePort = await freeTcpPort();
  furnish(folder, office, pagePort);
  const standIns = standInsOf(office);
  const play: Stage['play'] = async (text, around = {}) => {
    const [line = '', target] = (await withIncident(standIn(text, standIns), folder)).split(/ >>? /);
    const done = await outfeed(wordsOf(line).slice(1), { cwd: folder, env: ENVIRONMENT, ...around });
    if (target !== undefined) writeInto(join(folder, target.replace('~/', 'home/')), done.out);
    return done;
  };
  return {
    folder,
    pagePort,
    play,
    playUntil: async (text, said) => {
      const over = new AbortController();
      let err = '';
      const stderr = (words: string): void => {
        err += words;
        if (said.test(err)) over.abort();
      };
      return { ...(await play(text, { signal: over.signal, stderr })), err };
    },
    close: async () => {
      await office.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** This machine's own spooler is nobody's of the office. */
const ENVIRONMENT = { OUTFEED_SPOOLER: 'none' };

/** What the documents name → what stands for it here. Longer ones first. */
function standInsOf(office: Office): readonly (readonly [string, string])[] {
  const queue = office.device('front-desk').queues[0] ?? '';
  return [
    ['ipp://192.0.2.5/printers/', queue.replace(/[^/]*$/, '')],
    ['192.0.2.0/24', `${PREFIX}.20-23`],
    ['198.51.100.10-40', `${PREFIX}.30-33`],
    // By its name, because an address alone does not tell the ports that it has here.
    ['192.0.2.21', 'front-desk'],
    ['/etc/outfeed/outfeed.yaml', 'outfeed.yaml'],
    ['C:\\ProgramData\\outfeed\\outfeed.yaml', 'outfeed.yaml'],
    ['TARGET', 'front-desk'],
    ['ROUTE', 'ipp'],
    ['NAME', 'odd'],
    ['FILE', 'outfeed.yaml'],
  ];
}

function standIn(text: string, standIns: readonly (readonly [string, string])[]): string {
  return standIns.reduce((line, [documented, here]) => line.replaceAll(documented, here), text);
}

/** The incident that the agent has noted of the printer without paper. */
async function withIncident(text: string, folder: string): Promise<string> {
  if (!/\bID\b/.test(text)) return text;
  const store = await openStore('sqlite:outfeed.db', { site: SITE, folder, readOnly: true });
  const [incident] = await store.incidents({ limit: 1 });
  await store.close();
  return text.replace(/\bID\b/, incident?.id ?? 'none');
}

/** The words of a line as a shell takes them apart; of quotation marks the documents use double ones only. */
function wordsOf(line: string): readonly string[] {
  return [...line.matchAll(/"([^"]*)"|(\S+)/g)].map(([, quoted, plain]) => quoted ?? plain ?? '');
}

function writeInto(file: string, text: string): void {
  mkdirSync(dirname(file), { recursive: true });
  writeFileSync(file, text);
}

function furnish(folder: string, office: Office, port: number): void {
  const written = parse(office.configText) as Record<string, unknown>;
  const config = {
    ...written,
    sweep: { ranges: [`${PREFIX}.20-23`, `${PREFIX}.32-33`], every: '1d', pace: 'brisk' },
    read: { every: '2s', inFault: '2s', timeout: '1s', retries: 0 },
    page: { listen: `127.0.0.1:${port}` },
  };
  writeFileSync(join(folder, 'outfeed.yaml'), stringify(config));
  writeFileSync(join(folder, 'annex.yaml'), stringify(config));
  writeFileSync(join(folder, 'report.json'), JSON.stringify(hostReport()));
  mkdirSync(join(folder, 'keys'));
  mkdirSync(join(folder, 'config/models'), { recursive: true });
  copyFileSync(`${ROOT}config/models/example.yaml`, join(folder, 'config/models/odd.yaml'));
  mkdirSync(join(folder, 'shared/office'), { recursive: true });
}

import { isAbsolute, join, resolve } from 'node:path';
import type { Config } from '../config/config.js';
import { loadConfig } from '../config/load.js';
import { readFacts } from '../facts/facts.js';
import { EXIT, type ExitCode, ProgramProblem } from '../model/problem.js';
import type { SnapshotDocument } from '../model/snapshot.js';
import type { Target } from '../model/target.js';
import type { EvidenceBundle } from '../model/why.js';
import { collectEvidence } from '../probes/collect.js';
import type { Tellable } from '../redact/redact.js';
import { forTerminal } from '../render/escape.js';
import { renderJson } from '../render/json.js';
import { count } from '../render/site-words.js';
import { clockOffset } from '../snapshot/clock.js';
import { safeFileNames, snapshotFolderName } from '../snapshot/file-names.js';
import { type Maker, manifestOf, type SnapshotFile } from '../snapshot/manifest.js';
import { buildSnapshot, type SnapshotInput } from '../snapshot/snapshot.js';
import { isFree, refuseTaken, writeArchive, writeSnapshot } from '../snapshot/write.js';
import { judge } from '../verdict/verdict.js';
import type { Io } from './io.js';
import { type LastVisit, lastVisitOf, NO_NAME, nextVisitOf } from './last-visit.js';
import { limitsOf } from './limits.js';
import type { CommonOptions } from './options.js';
import { targetsForSnapshot } from './snapshot-targets.js';
import { programVersion } from './version.js';

export interface SnapshotArgs {
  /** As typed; none: every configured printer, else whatever a sweep finds. */
  readonly targets: readonly string[];
  /** Folder to write; absent: a new one in the working folder, named after site and time. */
  readonly out?: string;
  /** One archive instead of a folder. */
  readonly zip?: boolean;
  /** A date, or a snapshot made for the last visit; absent: the newest earlier one in the working folder. */
  readonly lastVisit?: string;
  /** ISO 8601 date. */
  readonly nextVisit?: string;
  /** Stand-ins for names, places, addresses and numbers, for sending the snapshot to others. */
  readonly redact?: boolean;
  readonly options: CommonOptions;
}

/** Printers that are asked at the same time. */
const AT_ONCE = 8;

/**
 * Asks every printer, judges it, and writes the site's state to a folder: the page, the tables, the evidence, the list
 * of files. Exit 0 when it is written, 3 when there was no printer to ask.
 */
export async function runSnapshot(args: SnapshotArgs, io: Io): Promise<ExitCode> {
  const config = await loadConfig(args.options.config, io);
  const out = args.out === undefined ? undefined : resolve(io.cwd, args.out);
  if (out !== undefined) await refuseTaken(out);
  const nextVisit =
    args.nextVisit === undefined ? {} : { nextVisit: nextVisitOf(args.nextVisit, config.site.timezone, io) };
  const lastVisit = await lastVisitOf(args.lastVisit, config.site, io);
  const targets = await targetsForSnapshot(args.targets, args.options, config, io);
  if (targets.length === 0) {
    io.stderr('No printer was found to write about: name one, or a configuration that lists them.\n');
    return EXIT.undecided;
  }
  const { snapshot, files, maker } = await takeSnapshot(targets, args.options, config, io, {
    ...(args.redact === true ? { redact: true } : {}),
    chosen: args.targets.length > 0,
    ...(lastVisit === undefined ? {} : { lastVisit }),
    ...nextVisit,
  });
  // An empty folder that is left behind would be taken for a snapshot.
  if (io.signal?.aborted === true) throw stopped('before the files were written');
  // A time zone tells where the site lies.
  const timezone = args.redact ? undefined : config.site.timezone;
  const place = out ?? (await freePlace(io.cwd, snapshot, timezone, args.zip === true));
  if (args.zip) await writeArchive(place, await archiveOf({ snapshot, files, maker }, timezone));
  else await writeSnapshot(place, files, maker);
  if (args.options.json) io.stdout(renderJson(snapshot));
  const tell = args.options.json ? io.stderr : io.stdout;
  if (!args.options.json || !args.options.quiet) tell(listOf(place, snapshot, io));
  return EXIT.nothingWrong;
}

/** A snapshot that was taken and is written nowhere yet. */
export interface TakenSnapshot {
  readonly snapshot: SnapshotDocument;
  readonly files: readonly SnapshotFile[];
  readonly maker: Maker;
}

/** What is to be told beside what the printers say. */
export interface Telling {
  /** With stand-ins for whose it is. */
  readonly redact?: boolean;
  /** The targets were named, and others of the site left out. */
  readonly chosen?: boolean;
  readonly lastVisit?: LastVisit;
  /** ISO 8601 date. */
  readonly nextVisit?: string;
}

/** Asks the targets, judges them, and makes the files of a snapshot. */
export async function takeSnapshot(
  targets: readonly Target[],
  options: CommonOptions,
  config: Config,
  io: Io,
  { redact = false, chosen = false, lastVisit, nextVisit }: Telling = {},
): Promise<TakenSnapshot> {
  const madeAt = io.now().toISOString();
  const bundles = await askAll(targets, options, config, io);
  const { withPastOf } = await import('./snapshot-past.js');
  const seen = await withPastOf(bundles.map(inputOf), config, io, lastVisit);
  const site: SiteSeen = { site: config.site.name ?? null, bundles, past: seen.map(pastOf), people: peopleOf(config) };
  const shown = redact ? await (await import('./redaction.js')).redactSite(site) : { ...site, prove: undefined };
  const inputs = shown.bundles.map((bundle, i) => ({ ...shown.past[i], ...inputOf(bundle) }));
  // A time zone tells where a site is.
  const clock = redact || config.site.timezone === undefined ? {} : { timezone: config.site.timezone };
  const about = {
    site: shown.site ?? NO_NAME,
    madeAt,
    people: shown.people,
    redacted: redact,
    chosen,
    lastVisit: lastVisit?.at ?? null,
    ...(nextVisit === undefined ? {} : { nextVisit }),
    ...clock,
  };
  const snapshot = buildSnapshot(inputs, about);
  const files = await filesOf(snapshot, shown.bundles);
  shown.prove?.(files);
  const offset = clockOffset(bundles);
  const maker = { program: `outfeed ${programVersion()}`, madeAt, ...(offset === undefined ? {} : { clock: offset }) };
  return { snapshot, files, maker };
}

/** Of each printer what is remembered, without what its evidence gives again. */
type PastSeen = Omit<SnapshotInput, 'printer' | 'why'>;
type SiteSeen = Tellable<PastSeen>;

function pastOf({ printer: _printer, why: _why, ...past }: SnapshotInput): PastSeen {
  return past;
}

/** The archive of a snapshot; its files lie below a folder named after site and time. */
export async function archiveOf(taken: TakenSnapshot, timezone: string | undefined): Promise<Uint8Array> {
  const { zipOf } = await import('../snapshot/zip.js');
  const { snapshot, files, maker } = taken;
  return zipOf(snapshotFolderName(snapshot.site, snapshot.madeAt, timezone), files, manifestOf(files, maker));
}

async function askAll(
  targets: readonly Target[],
  options: CommonOptions,
  config: Config,
  io: Io,
): Promise<readonly EvidenceBundle[]> {
  const limits = await limitsOf(options, config, io);
  const net = await io.net();
  const bundles: EvidenceBundle[] = [];
  const waiting = targets.entries();
  let done = 0;
  const progress = io.stderrIsTty && !options.quiet;
  const worker = async (): Promise<void> => {
    for (const [index, target] of waiting) {
      if (io.signal?.aborted === true) return;
      bundles[index] = await collectEvidence(target, net, limits);
      done += 1;
      if (progress) io.stderr(`\r${done} of ${count(targets.length, 'printer')} asked`);
    }
  };
  await Promise.all(Array.from({ length: Math.min(AT_ONCE, targets.length) }, worker));
  if (progress) io.stderr('\n');
  if (io.signal?.aborted === true) {
    const asked = `${done} of ${count(targets.length, 'printer')}`;
    throw stopped(`when ${asked} had been asked`);
  }
  return bundles;
}

function stopped(when: string): ProgramProblem {
  return new ProgramProblem('stopped', `Stopped ${when}: nothing was written.`, EXIT.undecided);
}

function inputOf(bundle: EvidenceBundle): SnapshotInput {
  return { printer: readFacts(bundle).printer?.document ?? null, why: judge(bundle) };
}

function peopleOf(config: Config): Readonly<Record<string, number>> {
  return Object.fromEntries(
    config.printers.flatMap(({ name, people }) => (people === undefined ? [] : [[name, people]])),
  );
}

/** Loads the renderers only now: asking printers needs none of them. */
async function filesOf(
  snapshot: SnapshotDocument,
  bundles: readonly EvidenceBundle[],
): Promise<readonly SnapshotFile[]> {
  const { renderSite } = await import('../render/site-html.js');
  const { snapshotTables } = await import('../render/snapshot-csv.js');
  const { visitSheet } = await import('../sheet/visit.js');
  const { sheetType } = await import('./sheet-type.js');
  const names = safeFileNames(bundles.map((bundle) => bundle.target));
  return [
    { path: 'site.html', content: renderSite(snapshot) },
    { path: 'site.json', content: renderJson(snapshot) },
    { path: 'visit.pdf', content: await visitSheet(snapshot, await sheetType()) },
    ...Object.entries(snapshotTables(snapshot)).map(([path, content]) => ({ path, content })),
    ...bundles.map((bundle, index) => ({ path: `evidence/${names[index]}.json`, content: renderJson(bundle) })),
  ];
}

/** The folder or archive named after site and time; where that is taken, the next free one with a number. */
async function freePlace(
  cwd: string,
  snapshot: SnapshotDocument,
  timezone: string | undefined,
  zip: boolean,
): Promise<string> {
  const base = join(cwd, snapshotFolderName(snapshot.site, snapshot.madeAt, timezone));
  const end = zip ? '.zip' : '';
  let place = `${base}${end}`;
  for (let number = 2; number < 100 && !(await isFree(place)); number += 1) place = `${base}-${number}${end}`;
  return place;
}

function listOf(folder: string, snapshot: SnapshotDocument, io: Io): string {
  const within = isAbsolute(folder) && folder.startsWith(`${io.cwd}/`) ? folder.slice(io.cwd.length + 1) : folder;
  const silent = snapshot.printers.filter((entry) => entry.why.silent === true).length;
  const unclear = snapshot.printers.filter((entry) => entry.why.silent === null).length;
  const well = snapshot.printers.length - silent - unclear;
  return [
    `${forTerminal(within)}`,
    `  site.html       ${count(snapshot.printers.length, 'printer')}: ${silent} silent, ${unclear} not known, ${well} can print`,
    '  site.json       the same for programs',
    '  visit.pdf       the sheet to carry: what to do in which order, what to bring, who has to be there',
    '  *.csv           printers, supplies, alerts, jobs',
    '  evidence/       what was seen; "outfeed why --from FILE" judges it again',
    '  manifest.json   length and SHA-256 of each file',
    ...(snapshot.redacted
      ? ['Stand-ins are where names, places, addresses and numbers were; nothing hidden was found in any file.']
      : []),
    '',
  ].join('\n');
}

import type { Buffer } from 'node:buffer';
import type { Config } from '../config/config.js';
import { loadConfig } from '../config/load.js';
import { booleanOf } from '../facts/attributes.js';
import { readFacts } from '../facts/facts.js';
import { readIppAnswer } from '../facts/printer/ipp-values.js';
import { LAYERS, type LayerId } from '../model/layers.js';
import type { PrinterDocument } from '../model/printer.js';
import { EXIT, type ExitCode, ProgramProblem } from '../model/problem.js';
import { checkOf, type Route, TESTPAGE_SCHEMA, type TestPageDocument } from '../model/testpage.js';
import type { EvidenceBundle } from '../model/why.js';
import { READING_PROBES } from '../probes/probes.js';
import { renderJson } from '../render/json.js';
import { renderTestPage } from '../render/testpage-text.js';
import type { PageFormat } from '../testpage/formats.js';
import { SHEETS, type SheetName } from '../testpage/marks.js';
import { pageOctets } from '../testpage/page.js';
import { saveBundle } from './bundle-file.js';
import { collectFor } from './collected.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';
import { resolveTarget } from './target.js';
import { chooseFormat, dotsFor, type FormatChosen, type PrinterTakes, sheetFor } from './testpage-format.js';
import { askCameOut, recordOf, rememberPage, withPage } from './testpage-outcome.js';
import { type PageRoute, routeFor } from './testpage-route.js';
import { writeWhole } from './whole-file.js';

export interface TestPageArgs {
  readonly target: string;
  readonly via: Route;
  /** Only then anything is sent. */
  readonly print: boolean;
  readonly out?: string;
  /** Absent: what lies in the printer. */
  readonly media?: SheetName;
  /** Absent: the first that the printer takes. */
  readonly format?: PageFormat;
  /** File that the evidence is written to, with the page in it. */
  readonly save?: string;
  /** What a person saw; absent: asked at a terminal once the page was taken. */
  readonly cameOut?: boolean;
  readonly options: CommonOptions;
}

/** The page as it is sent. */
interface Made extends FormatChosen {
  readonly octets: Buffer;
  readonly sheet: SheetName;
  readonly dots: TestPageDocument['dots'];
}

const TIMEOUT_MS = 5_000;
/** What each route proves when its page comes out: everything up to this layer. */
const PROVES: Readonly<Record<Route, LayerId>> = { ipp: 'language', raw: 'language', lpd: 'language', queue: 'job' };

/** Makes a test page, writes it, and sends it by one route if `--print` says so. Exit 0: made, or taken. 1: it was not taken. */
export async function runTestPage(args: TestPageArgs, io: Io): Promise<ExitCode> {
  const { target: typed, via, options } = args;
  const config = await loadConfig(options.config, io);
  const target = resolveTarget(typed, config, options);
  const bundle = await collectFor(
    typed,
    { ...options, quiet: true },
    io,
    args.save === undefined ? READING_PROBES : undefined,
  );
  const place = { address: bundle.address ?? target.host, ippUri: answeredAt(bundle) ?? target.ippUri ?? null };
  const route = routeFor(via, target, place, await io.net());
  const made = await makePage(args, route, takesOf(bundle), io.now());
  if (args.out !== undefined) await writeWhole(args.out, made.octets, io.cwd);
  if (args.print && io.signal?.aborted === true) {
    throw new ProgramProblem('stopped', 'Stopped before the page was sent: nothing is printed.', EXIT.undecided);
  }
  const document = await outcomeOf(args, await documentOf(args, route, made), bundle, config, io);
  const text = { columns: io.columns, color: io.color && options.color };
  io.stdout(options.json ? renderJson(document) : renderTestPage(document, text));
  const failed = document.sent?.taken === false || document.cameOut === false;
  return failed ? EXIT.fault : EXIT.nothingWrong;
}

/** What became of the page: asked, kept with the evidence, remembered. */
async function outcomeOf(
  { options, cameOut: told, save }: TestPageArgs,
  document: TestPageDocument,
  bundle: EvidenceBundle,
  config: Config,
  io: Io,
): Promise<TestPageDocument> {
  const asked = told === undefined && document.sent?.taken === true && !options.json;
  const cameOut = document.sent?.taken === false ? null : (told ?? (asked ? await askCameOut(io) : null));
  const tells = document.sent !== null || cameOut !== null;
  const page = recordOf(document, cameOut);
  if (save !== undefined) {
    await saveBundle(tells ? withPage(bundle, page, io.now().toISOString()) : bundle, save, io.cwd);
  }
  const remembered = tells && (await rememberPage(bundle, page, config, io));
  return { ...document, cameOut, saved: save ?? null, remembered };
}

function takesOf(bundle: EvidenceBundle): PrinterTakes {
  const { accepts, printer } = readFacts(bundle);
  return { accepts, printer: printer?.document, attributes: readIppAnswer(bundle.evidence)?.attributes ?? {} };
}

async function makePage(
  { via, media, format }: TestPageArgs,
  route: PageRoute,
  takes: PrinterTakes,
  now: Date,
): Promise<Made> {
  const chosen = chooseFormat(via, format, takes);
  const sheet = media ?? sheetFor(takes);
  const dots = dotsFor(takes);
  const lines = [
    `${now.toISOString().slice(0, 16).replace('T', ' ')} UTC, sent by ${via} to ${route.to}`,
    countLine(takes.printer),
  ];
  const colour = booleanOf(takes.attributes, 'color-supported') === true;
  const octets = await pageOctets(chosen.format, { sheet, facts: { lines }, madeAt: now, dots, colour });
  return { ...chosen, octets, sheet, dots: chosen.format === 'pwg-raster' ? dots : null };
}

async function documentOf(args: TestPageArgs, route: PageRoute, made: Made): Promise<TestPageDocument> {
  const { target, via, print, out, options } = args;
  const { octets, mediaType, from, sheet, dots } = made;
  const page = { octets, format: mediaType, user: options.user, timeoutMs: options.timeoutMs ?? TIMEOUT_MS };
  return {
    schema: TESTPAGE_SCHEMA,
    target,
    via,
    to: route.to,
    format: mediaType,
    formatFrom: from,
    dots,
    media: SHEETS[sheet].keyword,
    octets: octets.length,
    sheets: 1,
    written: out ?? null,
    sent: print ? await route.send(page) : null,
    cameOut: null,
    saved: null,
    remembered: false,
    proves: LAYERS.slice(0, LAYERS.indexOf(PROVES[via]) + 1),
    answer: `--answer ${checkOf(via)}=yes`,
  };
}

/** The URI at which the printer answered IPP. */
function answeredAt({ evidence }: EvidenceBundle): string | undefined {
  const read = evidence.find(
    ({ source, what, outcome }) => source === 'ipp' && what === 'Get-Printer-Attributes' && outcome === 'answered',
  );
  const value = read?.value as { readonly uri?: string } | null | undefined;
  return value?.uri;
}

function countLine(printer: PrinterDocument | undefined): string {
  const pages = printer?.counters.lifePages ?? null;
  const model = printer?.identity.model ?? 'a printer';
  return pages === null ? model : `${model}, ${pages} pages printed before this one`;
}

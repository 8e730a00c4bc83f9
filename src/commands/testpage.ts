import { writeFile } from 'node:fs/promises';
import { resolve } from 'node:path';
import { loadConfig } from '../config/load.js';
import { readFacts } from '../facts/facts.js';
import { LAYERS, type LayerId } from '../model/layers.js';
import type { PrinterDocument } from '../model/printer.js';
import { EXIT, type ExitCode, ProgramProblem } from '../model/problem.js';
import { type Route, TESTPAGE_SCHEMA, type TestPageDocument } from '../model/testpage.js';
import type { EvidenceBundle } from '../model/why.js';
import { READING_PROBES } from '../probes/probes.js';
import { renderJson } from '../render/json.js';
import { renderTestPage } from '../render/testpage-text.js';
import { SHEETS, type SheetName } from '../testpage/marks.js';
import { formatFor, type PageFormat, pageOctets } from '../testpage/page.js';
import { collectFor } from './collected.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';
import { resolveTarget } from './target.js';
import { type PageRoute, routeFor } from './testpage-route.js';

export interface TestPageArgs {
  readonly target: string;
  readonly via: Route;
  /** Only then anything is sent. */
  readonly print: boolean;
  readonly out?: string;
  readonly media: SheetName;
  /** Absent: the first that the printer takes. */
  readonly format?: PageFormat;
  readonly options: CommonOptions;
}

const TIMEOUT_MS = 5_000;
/** What each route proves when its page comes out: everything up to this layer. */
const PROVES: Readonly<Record<Route, LayerId>> = { ipp: 'language', raw: 'language', lpd: 'language', queue: 'job' };

/** Makes a test page, writes it, and sends it by one route if `--print` says so. Exit 0: made, or taken. 1: it was not taken. */
export async function runTestPage(args: TestPageArgs, io: Io): Promise<ExitCode> {
  const { target: typed, via, media, options } = args;
  const config = await loadConfig(options.config, io);
  const target = resolveTarget(typed, config, options);
  const bundle = await collectFor(typed, { ...options, quiet: true }, io, READING_PROBES);
  const printer = readFacts(bundle).printer?.document ?? null;
  const place = { address: bundle.address ?? target.host, ippUri: answeredAt(bundle) ?? target.ippUri ?? null };
  const route = routeFor(via, target, place, await io.net());
  const format = args.format ?? formatOf(via, printer);
  const now = io.now();
  const facts = {
    lines: [
      `${now.toISOString().slice(0, 16).replace('T', ' ')} UTC, sent by ${via} to ${route.to}`,
      countLine(printer),
    ],
  };
  const octets = Buffer.from(await pageOctets(format, media, facts, now));
  if (args.out !== undefined) await writeOut(args.out, octets, io);
  const document = await documentOf(args, route, format, octets);
  const text = { columns: io.columns, color: io.color && options.color };
  io.stdout(options.json ? renderJson(document) : renderTestPage(document, text));
  return document.sent === null || document.sent.taken ? EXIT.nothingWrong : EXIT.fault;
}

async function documentOf(
  args: TestPageArgs,
  route: PageRoute,
  format: PageFormat,
  octets: Buffer,
): Promise<TestPageDocument> {
  const { target, via, print, media, out, options } = args;
  const page = { octets, format, user: options.user, timeoutMs: options.timeoutMs ?? TIMEOUT_MS };
  const check = via === 'queue' ? 'queue-test-page' : 'page-straight-to-address';
  return {
    schema: TESTPAGE_SCHEMA,
    target,
    via,
    to: route.to,
    format,
    media: SHEETS[media].keyword,
    octets: octets.length,
    sheets: 1,
    written: out ?? null,
    sent: print ? await route.send(page) : null,
    proves: LAYERS.slice(0, LAYERS.indexOf(PROVES[via]) + 1),
    answer: `--answer ${check}=yes`,
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

/** A spooler takes PDF and makes of it what the printer wants (common practice, no published source). */
function formatOf(via: Route, printer: PrinterDocument | null): PageFormat {
  if (via === 'queue' || printer === null) return 'application/pdf';
  const spoken = printer.languages.flatMap((language) => LANGUAGE_TYPES[language] ?? []);
  const taken = via === 'ipp' ? printer.formats : [...printer.formats, ...spoken];
  const format = formatFor(taken);
  if (format !== undefined) return format;
  if (via !== 'ipp') return 'text/plain';
  throw new ProgramProblem(
    'testpage-format',
    `It takes ${taken.slice(0, 8).join(', ')} over IPP, and the page is made as PDF, PostScript or text; choose --via raw, or --format.`,
  );
}

/** PrtInterpreterLangFamilyTC → media type. */
const LANGUAGE_TYPES: Readonly<Record<string, string>> = {
  langPDF: 'application/pdf',
  langPS: 'application/postscript',
  langSimpleText: 'text/plain',
};

function countLine(printer: PrinterDocument | null): string {
  const pages = printer?.counters.lifePages ?? null;
  const model = printer?.identity.model ?? 'a printer';
  return pages === null ? model : `${model}, ${pages} pages printed before this one`;
}

async function writeOut(file: string, octets: Buffer, io: Io): Promise<void> {
  await writeFile(resolve(io.cwd, file), octets).catch((error: NodeJS.ErrnoException) => {
    throw new ProgramProblem(
      'file-unwritable',
      `Can't write ${file}: ${error.code ?? error.message}; name another place.`,
    );
  });
}

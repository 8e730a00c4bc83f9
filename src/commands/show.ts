import { readPrinter } from '../facts/printer/printer.js';
import { PRINTER_SCHEMA, type PrinterDocument } from '../model/printer.js';
import { EXIT, type ExitCode } from '../model/problem.js';
import type { EvidenceBundle } from '../model/why.js';
import { READING_PROBES } from '../probes/probes.js';
import { forTerminal } from '../render/escape.js';
import { renderJson } from '../render/json.js';
import { renderShow } from '../render/show-text.js';
import { collectFor } from './collected.js';
import { identify } from './identify.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';

export interface ShowArgs {
  readonly target: string;
  readonly options: CommonOptions;
  /** Let the printer blink or beep, so that a person can tell it from its neighbours. */
  readonly identify?: boolean;
  /** File that what it answered is kept in, without names and addresses. */
  readonly record?: string;
}

/**
 * Shows everything that one printer says of itself. Exit 0: read, and nothing critical in it. 1: it reports a critical alert or has
 * stopped. 3: nothing answered, or what answered is no printer.
 */
export async function runShow(
  { target, options, identify: wanted, record: kept }: ShowArgs,
  io: Io,
): Promise<ExitCode> {
  const bundle = await collectFor(target, options, io, READING_PROBES);
  const document = documentOf(bundle);
  if (options.json) io.stdout(renderJson(document ?? nothingRead(bundle)));
  if (document === undefined) {
    io.stderr(`outfeed: ${whyNothing(bundle)}; "outfeed why ${forTerminal(target, 100)}" finds out more.\n`);
    return EXIT.undecided;
  }
  if (!options.json) {
    io.stdout(renderShow(document, { color: io.color && options.color, columns: io.columns }));
  }
  if (kept !== undefined) {
    const { record } = await import('./record.js');
    await record(bundle, kept, io.cwd);
    io.stderr(
      `What it answered is in ${forTerminal(kept, 300)}, with stand-ins for names, addresses and serial numbers.\n`,
    );
  }
  if (wanted === true) {
    const sentence = `${await identify(bundle, options, io)}\n`;
    if (options.json) io.stderr(sentence);
    else io.stdout(sentence);
  }
  return exitOf(document);
}

function documentOf(bundle: EvidenceBundle): PrinterDocument | undefined {
  const { address, deviceIndex, evidence, askedAt } = bundle;
  const about = { address: address ?? bundle.target, readAt: askedAt };
  return readPrinter(evidence, deviceIndex === undefined ? about : { ...about, deviceIndex })?.document;
}

function exitOf(document: PrinterDocument): ExitCode {
  if (!document.isPrinter) return EXIT.undecided;
  const critical = document.alerts.some((alert) => alert.severity.startsWith('critical'));
  const { ipp, device, printer } = document.state;
  // RFC 3805 2.2.13.2: down with warmup is a printer on its way to ready.
  const stopped = ipp === 'stopped' || (device === 'down' && printer !== 'warmup');
  return critical || stopped ? EXIT.fault : EXIT.nothingWrong;
}

function whyNothing({ target, address, evidence }: EvidenceBundle): string {
  const name = forTerminal(target, 100);
  if (address === null) return `the name "${name}" has no address that this machine can find`;
  const asked = evidence.filter((record) => record.source === 'snmp' || record.source === 'ipp');
  const words = {
    silent: 'silence',
    refused: 'a refusal',
    denied: 'no access',
    garbled: 'something unreadable',
  } as const;
  const gave = [
    ...new Set(asked.map(({ outcome }) => (outcome in words ? words[outcome as keyof typeof words] : 'no answer'))),
  ];
  return `${name} tells nothing of itself over SNMP or IPP (${gave.join(', ') || 'no answer'})`;
}

/** The document of a target that gave nothing: the same form, everything in it unknown. */
function nothingRead(bundle: EvidenceBundle): PrinterDocument {
  return {
    schema: PRINTER_SCHEMA,
    address: bundle.address ?? bundle.target,
    readAt: bundle.askedAt,
    isPrinter: false,
    isPrinterBecause: whyNothing(bundle),
    deviceIndex: null,
    alsoHere: [],
    identity: {
      name: null,
      model: null,
      serial: null,
      uuid: null,
      macs: [],
      location: null,
      contact: null,
      firmware: null,
      adminUrl: null,
    },
    state: { device: null, printer: null, errorBits: [], ipp: null, reasons: [], accepting: null },
    alerts: [],
    supplies: [],
    trays: [],
    outputs: [],
    covers: [],
    counters: { lifePages: null, powerOnPages: null },
    console: [],
    languages: [],
    formats: [],
    memoryBytes: null,
    upTimeTicks: null,
    from: {},
    problems: [],
  };
}

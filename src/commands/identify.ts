import { keywordsOf } from '../facts/attributes.js';
import type { IppEvidence } from '../model/evidence.js';
import type { EvidenceBundle } from '../model/why.js';
import { identifyPrinter } from '../probes/ipp/identify.js';
import { type Identified, identifiedWords } from '../render/identify-words.js';
import { ippAddress, parseIppUri } from '../wire/ipp/uri.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';

const TIMEOUT_MS = 2_000;
/** Identify-Printer among operations-supported (IANA IPP registry). */
const IDENTIFY = 0x3c;

/** Asks the printer that was just read to identify itself, where it offers that, and says in one sentence what came of it. */
export async function identify(bundle: EvidenceBundle, options: CommonOptions, io: Pick<Io, 'net'>): Promise<string> {
  return identifiedWords(await asked(bundle, options, io));
}

async function asked(bundle: EvidenceBundle, options: CommonOptions, io: Pick<Io, 'net'>): Promise<Identified> {
  const read = bundle.evidence.find(
    (record): record is IppEvidence =>
      record.source === 'ipp' && record.what === 'Get-Printer-Attributes' && record.outcome === 'answered',
  );
  const known = parseIppUri(read?.value?.uri ?? '');
  if (read?.value == null || known === undefined) return { asked: false, because: 'no-ipp' };
  const { attributes, version } = read.value;
  const operations = (attributes['operations-supported'] ?? []).map(({ value }) => value);
  if (operations.length > 0 && !operations.includes(IDENTIFY)) return { asked: false, because: 'not-offered' };
  // The interface of a link-local address stands in no evidence, so the address is the one that was reached.
  const address = ippAddress(bundle.address ?? known.host, known.port, known.tls, known.path);
  const answer = await identifyPrinter(await io.net(), address, {
    timeoutMs: options.timeoutMs ?? TIMEOUT_MS,
    version,
    ...(options.user === undefined ? {} : { user: options.user }),
  });
  return { asked: true, answer, actions: keywordsOf(attributes, 'identify-actions-default') };
}

import { ProgramProblem } from '../model/problem.js';
import type { EvidenceBundle, WhyDocument } from '../model/why.js';
import { findLeak } from '../redact/proof.js';
import { redact, type Tellable } from '../redact/redact.js';
import type { Kind, TextRedactor } from '../redact/text.js';
import { octetsOf, type SnapshotFile } from '../snapshot/manifest.js';
import { judge } from '../verdict/verdict.js';
import { ownWords } from './own-words.js';

/** A site without anything that tells whose it is, and the proof of it. */
export interface Hidden<Past> extends Tellable<Past> {
  /** Throws ProgramProblem when anything hidden is left in what is about to be written. */
  readonly prove: (files: readonly SnapshotFile[]) => void;
}

/** Hides who and where, and makes sure that each printer is judged as before. */
export async function redactSite<Past>(all: Tellable<Past>): Promise<Hidden<Past>> {
  const { hidden, redactor } = await redact(all, ownWords);
  all.bundles.forEach((bundle, i) => {
    const other = hidden.bundles[i];
    if (other !== undefined) refuseOtherVerdict(bundle, other);
  });
  return { ...hidden, prove: (files) => refuseLeak(files, redactor) };
}

function refuseOtherVerdict(plain: EvidenceBundle, hidden: EvidenceBundle): void {
  const [before, after] = [judge(plain), judge(hidden)];
  if (judgement(before) === judgement(after)) return;
  throw new ProgramProblem(
    'redaction-verdict',
    `Without the names in it the evidence of ${plain.target} says ${words(after)} where it said ${words(before)}, so it would mislead; leave that printer out, or send a snapshot without --redact.`,
  );
}

function words({ verdict }: WhyDocument): string {
  return `${verdict.layer}/${verdict.cause}`;
}

/** What was judged, without the sentences that name things. */
function judgement({ silent, verdict, others, warnings, suspects, layers }: WhyDocument): string {
  const blame = ({ layer, cause, certainty }: WhyDocument['others'][number]) => [layer, cause, certainty];
  return JSON.stringify([
    silent,
    blame(verdict),
    others.map(blame),
    warnings.map(blame),
    suspects,
    layers.map(({ layer, state, cause }) => [layer, state, cause]),
  ]);
}

const KIND_WORDS: Readonly<Record<Kind, string>> = {
  printer: 'a printer’s name',
  queue: 'a queue’s name',
  host: 'a host’s name',
  domain: 'a domain',
  person: 'a person’s name',
  group: 'a group’s name',
  place: 'a place',
  document: 'a document’s name',
  serial: 'a serial number',
  site: 'the site’s name',
  secret: 'a community',
  text: 'a text of somebody’s choosing',
  ipv4: 'an IPv4 address',
  ipv6: 'an IPv6 address',
  mac: 'a hardware address',
  uuid: 'a UUID',
  sid: 'a security identifier',
  fingerprint: 'a certificate’s fingerprint',
};

function refuseLeak(files: readonly SnapshotFile[], redactor: TextRedactor): void {
  const leak = findLeak(
    files.map((file) => ({ path: file.path, octets: octetsOf(file) })),
    redactor,
  );
  if (leak === undefined) return;
  throw new ProgramProblem(
    'redaction-leak',
    `Nothing was written: ${KIND_WORDS[leak.kind]} is left in ${leak.path} (${leak.how}), so the snapshot is not fit to be sent; leave that printer out, and report this.`,
  );
}

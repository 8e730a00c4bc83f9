/** What a ZIP package is, by the names in its first local headers (ECMA-376 part 2, ECMA-388; from memory). */
import type { JobLanguage } from './languages.js';

const NAME_OFFSET = 30;

/** The language of a package that begins with a local header; undefined when the octets are no ZIP package. */
export function languageOfZip(job: string): JobLanguage | undefined {
  if (!job.startsWith('PK\u0003\u0004')) return undefined;
  if (/FixedDocumentSequence|FixedDocSeq|\/FixedPage/i.test(job)) return 'xps';
  const first = job.slice(NAME_OFFSET, NAME_OFFSET + 200);
  if (first.startsWith('mimetypeapplication/vnd.oasis.opendocument')) return 'office';
  if (job.includes('[Content_Types].xml') || /(word|xl|ppt)\/[a-z]+\.xml/.test(job)) return 'office';
  return 'packed';
}

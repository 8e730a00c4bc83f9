import { readTestPageRecord, type TestPageRecord } from '../model/testpage.js';
import { type Asked, from } from './fact.js';

/** A page proves what was so when it came out: after an hour much may have changed. Common practice, no published source. */
const FRESH_MS = 3_600_000;

/** Test pages that were sent just now, as their records tell, the oldest first. */
export function freshPages({
  evidence,
  askedAt,
}: Pick<Asked, 'evidence' | 'askedAt'>): readonly { readonly id: string; readonly page: TestPageRecord }[] {
  const pages = from(evidence, 'history').flatMap(({ what, value, at, id }) => {
    const page = what === 'test-page' ? readTestPageRecord(value) : undefined;
    const age = Math.abs(Date.parse(askedAt) - Date.parse(at));
    return page !== undefined && age <= FRESH_MS ? [{ id, page, at }] : [];
  });
  return pages.sort((a, b) => a.at.localeCompare(b.at));
}

import { type Answer, type Asked, problem } from '../outside/http/answer.js';

/** What part of a list is asked for. */
export interface PageAsked {
  /** Null: all there is. */
  readonly limit: number | null;
  /** What stands before the part; null: it begins with the first. */
  readonly after: readonly string[] | null;
}

export const MOST_ON_PAGE = 1_000;
export const FOREIGN_CURSOR = problem(
  400,
  '"cursor" is not from here: take the address in the Link header of the part before.',
);

/** Reads `limit` and `cursor`; an answer when they are not what this server gives out. `parts`: texts in a cursor. */
export function readPage({ query }: Asked, parts: number): PageAsked | Answer {
  const limit = query.get('limit');
  const cursor = query.get('cursor');
  const count = limit === null ? null : Number(limit);
  if (count !== null && !(Number.isInteger(count) && count >= 1 && count <= MOST_ON_PAGE)) {
    return problem(400, `"limit" takes a whole number from 1 to ${MOST_ON_PAGE}.`);
  }
  if (cursor === null) return { limit: count, after: null };
  const after = texts(cursor);
  if (after?.length !== parts) return FOREIGN_CURSOR;
  return { limit: count, after };
}

function texts(cursor: string): readonly string[] | undefined {
  try {
    const read: unknown = JSON.parse(Buffer.from(cursor, 'base64url').toString('utf8'));
    return Array.isArray(read) && read.every((part) => typeof part === 'string') ? read : undefined;
  } catch {
    return undefined;
  }
}

/** Where the next part is (RFC 8288), with everything else that was asked. No header when there is none. */
export function linkToNext({ path, query }: Asked, after: readonly string[] | null): Readonly<Record<string, string>> {
  if (after === null) return {};
  const next = new URLSearchParams(query);
  next.set('cursor', Buffer.from(JSON.stringify(after)).toString('base64url'));
  return { Link: `<${path}?${next}>; rel="next"` };
}

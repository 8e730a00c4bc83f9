import { createHash, timingSafeEqual } from 'node:crypto';

/** The token of an Authorization header: `Bearer TOKEN` (RFC 6750), or Basic (RFC 7617) with the token as password. */
export function givenToken(
  header: string | undefined,
): { readonly token: string; readonly bearer: boolean } | undefined {
  const [scheme = '', value = ''] = (header ?? '').split(' ');
  if (/^bearer$/i.test(scheme)) return { token: value, bearer: true };
  if (!/^basic$/i.test(scheme)) return undefined;
  const plain = Buffer.from(value, 'base64').toString('utf8');
  return { token: plain.slice(plain.indexOf(':') + 1), bearer: false };
}

/** Compares without telling by the time it takes how much was right. */
export function same(given: string, wanted: string): boolean {
  const hash = (text: string): Buffer => createHash('sha256').update(text).digest();
  return timingSafeEqual(hash(given), hash(wanted));
}

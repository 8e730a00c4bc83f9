import { createHash } from 'node:crypto';

/** A short name that the same parts always come to: 80 bits of SHA-256 in hexadecimal. */
export function digest(...parts: readonly string[]): string {
  return createHash('sha256').update(JSON.stringify(parts)).digest('hex').slice(0, 20);
}

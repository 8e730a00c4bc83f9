import type { Outcome } from '../model/evidence.js';

/** An explicit no: a reset at transport level, or a name server's word that the name does not exist. */
const REFUSALS = new Set(['ECONNREFUSED', 'ECONNRESET', 'EPIPE', 'ENOTFOUND', 'ENODATA', 'EAI_NONAME', 'EAI_NODATA']);

/** Nothing came in the time allowed. */
const SILENCES = new Set(['ETIMEDOUT', 'ESOCKETTIMEDOUT', 'ETIMEOUT', 'UND_ERR_CONNECT_TIMEOUT']);

/** What a system error code means for the question that was asked. Codes nobody listed are `failed`. */
export function outcomeOfCode(code: string): Outcome {
  if (REFUSALS.has(code)) return 'refused';
  if (SILENCES.has(code)) return 'silent';
  return 'failed';
}

/**
 * The system's code of an error, and nothing else of it: messages may hold URLs with passwords, so they stay inside.
 * Where several addresses of one name failed (AggregateError) the first code counts. `UNKNOWN` when there is none.
 */
export function errorCode(error: unknown): string {
  if (error instanceof AggregateError && error.errors.length > 0) return errorCode(error.errors[0]);
  const code = (error as { code?: unknown } | null | undefined)?.code;
  return typeof code === 'string' && /^[A-Z][A-Z0-9_]{1,60}$/.test(code) ? code : 'UNKNOWN';
}

/** Both at once. */
export function failureOf(error: unknown): { readonly outcome: Outcome; readonly code: string } {
  const code = errorCode(error);
  return { outcome: outcomeOfCode(code), code };
}

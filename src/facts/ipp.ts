import type { Evidence, IppEvidence, IppExchangeValue } from '../model/evidence.js';
import { from } from './fact.js';

/** What one IPP exchange came to, with transport, HTTP and IPP status weighed together. */
export type IppResult =
  | 'ok'
  | 'no-connection'
  | 'silent'
  | 'garbled'
  | 'path-unknown'
  | 'version-refused'
  | 'tls-failed'
  | 'http-error'
  | 'sign-in-needed'
  | 'user-refused'
  | 'account-limit'
  | 'format-refused'
  | 'not-accepting'
  | 'not-supported'
  | 'error';

export interface IppStep {
  readonly result: IppResult;
  /** HTTP status or IPP status keyword, for the words. */
  readonly code: string;
  readonly uri: string;
  readonly user: string | null;
  readonly evidence: readonly string[];
}

export interface IppFact {
  /** Get-Printer-Attributes. */
  readonly read: IppStep;
  /** Validate-Job: whether a job would be taken. */
  readonly validate: IppStep | null;
  /** Listed formats that were tried on their own and refused all the same, in lower case. */
  readonly refusedFormats: readonly { readonly format: string; readonly step: IppStep }[];
  readonly certificateEnds: string | null;
  readonly certificateExpired: boolean;
  /** Where the certificate was seen. */
  readonly certificateEvidence: readonly string[];
  readonly problems: readonly string[];
}

const BY_STATUS: Readonly<Record<string, IppResult>> = {
  'client-error-not-authenticated': 'sign-in-needed',
  'client-error-forbidden': 'user-refused',
  'client-error-not-authorized': 'user-refused',
  'client-error-account-authorization-failed': 'user-refused',
  'client-error-account-closed': 'user-refused',
  'client-error-account-info-needed': 'sign-in-needed',
  'client-error-account-limit-reached': 'account-limit',
  'client-error-not-found': 'path-unknown',
  'client-error-gone': 'path-unknown',
  'client-error-document-format-not-supported': 'format-refused',
  'server-error-version-not-supported': 'version-refused',
  'server-error-operation-not-supported': 'not-supported',
  'server-error-not-accepting-jobs': 'not-accepting',
};

function byHttp(status: number): IppResult | null {
  if (status === 200) return null;
  if (status === 401 || status === 407) return 'sign-in-needed';
  if (status === 403) return 'user-refused';
  if (status === 404 || status === 410) return 'path-unknown';
  if (status === 426) return 'tls-failed';
  if (status === 505) return 'version-refused';
  return 'http-error';
}

function byTransport(record: IppEvidence | SpoolerLike): IppResult {
  if (record.outcome === 'silent') return 'silent';
  if (record.outcome === 'garbled') return 'garbled';
  if (record.outcome === 'denied') return 'sign-in-needed';
  if (record.value?.tls?.error !== undefined || record.value?.error === 'tls') return 'tls-failed';
  return 'no-connection';
}

interface SpoolerLike {
  readonly outcome: string;
  readonly value: IppExchangeValue | null;
}

/** Weighs one exchange. Shared by the printer's own IPP and by print queues. */
export function resultOf(record: SpoolerLike & { readonly outcome: IppEvidence['outcome'] }): IppResult {
  const value = record.value;
  if (value?.httpStatus != null) {
    const http = byHttp(value.httpStatus);
    if (http) return http;
    // Begun and not gone on with: what came is not wrong, the rest did not come.
    if (value.error === 'body-slow' && record.outcome !== 'answered') return 'silent';
    if (record.outcome === 'garbled' || value.status === null) return 'garbled';
    const known = BY_STATUS[value.status];
    if (known) return known;
    return value.status.startsWith('successful') ? 'ok' : 'error';
  }
  return byTransport(record as SpoolerLike & IppEvidence);
}

/** One exchange as a step, with the words' values. */
export function stepOf(
  record: SpoolerLike & { id: string; outcome: IppEvidence['outcome']; subject: string },
): IppStep {
  const value = record.value;
  const http = value?.httpStatus != null && value.httpStatus !== 200 ? `HTTP ${value.httpStatus}` : null;
  return {
    result: resultOf(record),
    code: http ?? value?.status ?? value?.tls?.error ?? value?.error ?? record.outcome,
    uri: value?.uri ?? record.subject,
    user: value?.user ?? null,
    evidence: [record.id],
  };
}

/** The certificate of the print service; where that was not asked over TLS, the one of the device's web page. */
function certificateSeen(evidence: readonly Evidence[], records: readonly IppEvidence[]) {
  const pages = from(evidence, 'http').filter((r) => r.about === 'target');
  return [...records, ...pages].find((r) => r.value?.tls?.validTo);
}

function refusedFormat(record: IppEvidence): IppFact['refusedFormats'] {
  const format = /^Validate-Job (.+)$/.exec(record.what)?.[1]?.toLowerCase();
  if (format === undefined) return [];
  const step = stepOf(record);
  return step.result === 'format-refused' ? [{ format, step }] : [];
}

/** How the printer's own IPP service took the questions. Undefined when it was not asked. */
export function readIpp(evidence: readonly Evidence[]): IppFact | undefined {
  const records = from(evidence, 'ipp').filter((r) => r.about === 'target');
  const read = records.find((r) => r.what === 'Get-Printer-Attributes');
  if (!read) return undefined;
  const validate = records.find((r) => r.what === 'Validate-Job');
  const certificate = certificateSeen(evidence, records);
  const ends = certificate?.value?.tls?.validTo ?? null;
  return {
    read: stepOf(read),
    validate: validate ? stepOf(validate) : null,
    refusedFormats: records.flatMap((r) => refusedFormat(r)),
    certificateEnds: ends,
    certificateExpired: ends !== null && Date.parse(ends) < Date.parse(read.at),
    certificateEvidence: certificate ? [certificate.id] : [],
    problems: records.flatMap((r) => r.value?.problems ?? []),
  };
}

/** What the further questions over IPP and the web page add to the judgement. */
import { expect, test } from 'vitest';
import { readQueues } from '../../src/facts/queues.js';
import type { IppExchangeValue, Observation } from '../../src/model/evidence.js';
import { judge } from '../../src/verdict/verdict.js';
import { ADDRESS, bundleOf, enums, HEALTHY, ippPrinter, keywords, type Site } from './bundle.js';
import { jobFile } from './sites-language.js';

const at = { about: 'target', at: '2026-01-31T09:00:00.000Z', tookMs: 5 } as const;
const PDF = '%PDF-1.7\n';

function trial(format: string, status: string): Observation {
  const uri = `ipp://${ADDRESS}/ipp/print`;
  const value: IppExchangeValue = { uri, httpStatus: 200, version: '2.0', status, attributes: {}, problems: [] };
  return { ...at, source: 'ipp', what: `Validate-Job ${format}`, subject: uri, outcome: 'answered', value };
}

function page(validTo: string): Observation {
  const url = `https://${ADDRESS}/`;
  const value = { url, status: 200, tls: { trusted: false, validTo } };
  return { ...at, source: 'http', what: 'GET /', subject: url, outcome: 'answered', value };
}

const formats = { 'document-format-supported': keywords('application/pdf', 'image/urf') };
const verdictOf = (...more: Observation[]) => {
  const site: Site = { ...HEALTHY, ipp: { attributes: ippPrinter({ more: formats }) }, more };
  return judge(bundleOf(site));
};

test('a listed format that is refused when it is tried, with a job in it in hand', () => {
  const refused = trial('application/pdf', 'client-error-document-format-not-supported');
  const { verdict } = verdictOf(refused, jobFile(PDF, 'report.pdf'));
  expect(verdict).toMatchObject({ layer: 'language', cause: 'format-unsupported', certainty: 'sure' });
});

test('another format that is refused is no fault of this job, and without a job none at all', () => {
  const refused = trial('image/urf', 'client-error-document-format-not-supported');
  expect(verdictOf(refused, jobFile(PDF, 'report.pdf')).verdict.cause).not.toBe('format-unsupported');
  expect(verdictOf(refused).verdict.cause).toBe('nothing-wrong-found');
});

test('a certificate that ran out is seen on the web page too, when IPP went without TLS', () => {
  const protocolLayer = (validTo: string) => {
    const { layers, evidence } = verdictOf(page(validTo));
    const seen = evidence.find(({ source }) => source === 'http')?.id ?? 'none';
    const layer = layers.find((each) => each.layer === 'protocol');
    return { summary: layer?.summary, cites: layer?.evidence.includes(seen) };
  };
  const expired = protocolLayer('2020-01-01T00:00:00.000Z');
  expect(expired.summary).toContain('2020-01-01');
  expect(expired.cites).toBe(true);
  expect(protocolLayer('2030-01-01T00:00:00.000Z').cites).toBe(false);
});

test('a job that a list only numbers is filled up by what was asked of it alone', () => {
  const uri = 'ipp://192.0.2.5/printers/q';
  const exchange = (what: string, more: Partial<IppExchangeValue>): Observation => ({
    ...at,
    about: 'queue',
    source: 'spooler',
    what,
    subject: uri,
    outcome: 'answered',
    value: { uri, httpStatus: 200, version: '2.0', status: 'successful-ok', attributes: {}, problems: [], ...more },
  });
  const id = (number: number) => ({ 'job-id': [{ tag: 'integer', value: number }] });
  const evidence = [
    exchange('Get-Printer-Attributes', { attributes: { 'printer-state': enums(3) } }),
    exchange('Get-Jobs', { jobs: [id(7), id(8)] }),
    exchange('Get-Job-Attributes', {
      jobs: [{ ...id(7), 'job-state': enums(4), 'job-state-reasons': keywords('job-hold-until-specified') }],
    }),
  ].map((each, index) => ({ ...each, id: `e${index + 1}` }) as never);
  const [queue] = readQueues({ evidence, target: 'q', address: null, askedAt: at.at }) ?? [];
  expect(queue?.jobs.map((job) => [job.id, job.state, job.reasons])).toEqual([
    [7, 'pending-held', ['job-hold-until-specified']],
    [8, 'unknown', []],
  ]);
});

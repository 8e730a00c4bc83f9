/** What the further questions over IPP and the web page add to the judgement. */
import { describe, expect, test } from 'vitest';
import { readQueues } from '../../src/facts/queues.js';
import type { IppExchangeValue, Observation } from '../../src/model/evidence.js';
import { judge } from '../../src/verdict/verdict.js';
import { ADDRESS, bundleOf, enums, HEALTHY, integers, ippPrinter, keywords, type Site } from './bundle.js';
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

describe('the printer’s own list of jobs', () => {
  const held = { 'job-id': integers(7), 'job-state': enums(4), 'job-state-reasons': keywords('job-password-wait') };
  const waiting = { 'job-id': integers(8), 'job-state': enums(3), 'job-state-reasons': keywords('none') };

  function list(...jobs: NonNullable<IppExchangeValue['jobs']>): Observation {
    const uri = `ipp://${ADDRESS}/ipp/print`;
    const value = { uri, httpStatus: 200, version: '2.0', status: 'successful-ok', attributes: {}, problems: [], jobs };
    return { ...at, source: 'ipp', what: 'Get-Jobs', subject: uri, outcome: 'answered', value };
  }
  const jobLayer = (record: Observation, site: Partial<Site> = {}) => {
    const { verdict, warnings, layers } = judge(bundleOf({ ...HEALTHY, more: [record], ...site }));
    return { cause: verdict.cause, warnings, layer: layers.find(({ layer }) => layer === 'job') };
  };

  // PWG 5100.11: the job waits for its password, and others print meanwhile.
  test('a job on hold there stops nothing and is told of', () => {
    const { cause, warnings } = jobLayer(list(held, waiting));
    expect(cause).toBe('nothing-wrong-found');
    expect(warnings).toMatchObject([{ layer: 'job', cause: 'job-held', component: 'job 7', certainty: 'sure' }]);
    expect(warnings[0]?.summary).toBe(
      'The job (7) has been on hold for some time, in the printer itself, until its code is entered at the printer.',
    );
  });

  test('is no proof that no job stands in a queue before it', () => {
    const { layer } = jobLayer(list(waiting));
    expect(layer?.state).toBe('unknown');
    expect(layer?.summary).toBe('The printer’s own list holds 1 job; what waits in a queue before it was not read.');
  });

  test('a queue that tells of held jobs tells it once', () => {
    const uri = 'ipp://192.0.2.5/printers/q';
    const attributes = { 'printer-state': enums(3), 'printer-state-reasons': keywords('none') };
    const { layer, warnings } = jobLayer(list(held), { queues: [{ uri, attributes, jobs: [held] }] });
    expect(layer).toMatchObject({ state: 'fault', cause: 'job-needs-sign-in' });
    expect(warnings).toEqual([]);
  });
});

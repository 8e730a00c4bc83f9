import { describe, expect, test } from 'vitest';
import { readOperator } from '../../src/facts/operator.js';
import { readPageProofs } from '../../src/facts/page-proof.js';
import type { Evidence } from '../../src/model/evidence.js';
import type { TestPageRecord } from '../../src/model/testpage.js';
import { EVIDENCE_SCHEMA, type EvidenceBundle } from '../../src/model/why.js';
import { judge } from '../../src/verdict/verdict.js';

const ASKED_AT = '2026-01-31T09:30:00.000Z';
const PAGE: TestPageRecord = {
  via: 'raw',
  to: 'socket://192.0.2.21:9100',
  format: 'text/plain',
  taken: true,
  because: 'All of it was taken.',
  jobState: null,
  cameOut: null,
};

function record(page: Partial<TestPageRecord>, at = '2026-01-31T09:20:00.000Z', id = 'e1'): Evidence {
  return {
    id,
    source: 'history',
    what: 'test-page',
    about: 'target',
    subject: PAGE.to,
    outcome: 'answered',
    value: { ...PAGE, ...page },
    at,
    tookMs: 0,
  };
}
function answer(check: string, outcome: string): Evidence {
  return { ...record({}), id: 'e9', source: 'operator', what: check, value: outcome } as Evidence;
}
function read(...evidence: readonly Evidence[]) {
  const asked = { evidence, askedAt: ASKED_AT };
  const operator = readOperator(asked);
  return { operator, proofs: readPageProofs(asked, operator) };
}
/** States of the layers of a printer of which nothing else is known. */
function states(...evidence: readonly Evidence[]): Readonly<Record<string, string>> {
  const bundle: EvidenceBundle = {
    schema: EVIDENCE_SCHEMA,
    target: 'front-desk',
    address: '192.0.2.21',
    askedAt: ASKED_AT,
    tookMs: 1,
    evidence,
  };
  return Object.fromEntries(judge(bundle).layers.map(({ layer, state }) => [layer, state]));
}
const clear = (all: Readonly<Record<string, string>>) => Object.keys(all).filter((layer) => all[layer] === 'clear');

describe('a page in hand clears every layer that it went through', () => {
  test('straight to the printer: up to the language', () => {
    expect(clear(states(record({ cameOut: true })))).toEqual([
      'power',
      'link',
      'address',
      'port',
      'protocol',
      'access',
      'device',
      'media',
      'supplies',
      'language',
    ]);
  });
  test('through the queue: up to the job', () => {
    const all = clear(states(record({ via: 'queue', cameOut: true })));
    expect(all).toContain('queue');
    expect(all).toContain('job');
    expect(all).not.toContain('application');
  });
  test('the printer’s own page: the machine, and nothing of the network', () => {
    expect(clear(states(answer('panel-own-page', 'yes')))).toEqual(['power', 'device', 'media', 'supplies']);
    expect(clear(states(answer('panel-own-page', 'no')))).toEqual([]);
  });
  test('an answer says the same without a record of the page', () => {
    expect(clear(states(answer('page-straight-to-address', 'yes')))).toEqual(clear(states(record({ cameOut: true }))));
  });
});

describe('a page that nobody saw', () => {
  test('taken over IPP: the way in works; whether it is out is not said', () => {
    expect(clear(states(record({ via: 'ipp' })))).toEqual(['power', 'link', 'port', 'protocol', 'access']);
    expect(clear(states(record({ via: 'raw' })))).toEqual(['power', 'link', 'port']);
  });
  test('completed by the printer’s own word: the machine as well; who is at the address stays open', () => {
    const all = clear(states(record({ via: 'ipp', jobState: 'completed' })));
    expect(all).toEqual(expect.arrayContaining(['device', 'media', 'supplies', 'language']));
    expect(all).not.toContain('address');
  });
  test('a person who sees nothing in the tray counts more than "completed"', () => {
    const { proofs, operator } = read(record({ via: 'ipp', jobState: 'completed', cameOut: false }));
    expect(operator).toEqual([{ check: 'page-straight-to-address', outcome: 'no', id: 'e1' }]);
    expect(proofs).toMatchObject([{ by: 'taken' }]);
  });
  test('one that was refused shows nothing', () => {
    expect(read(record({ taken: false })).proofs).toEqual([]);
  });
});

test('what came out more than an hour ago proves nothing of now', () => {
  const { proofs, operator } = read(record({ cameOut: true }, '2026-01-31T08:29:00.000Z'));
  expect({ proofs, operator }).toEqual({ proofs: [], operator: undefined });
});

test('of two pages the later counts; an answer in so many words counts more', () => {
  const first = record({ cameOut: false }, '2026-01-31T09:10:00.000Z', 'e1');
  const second = record({ cameOut: true }, '2026-01-31T09:20:00.000Z', 'e2');
  expect(read(first, second).operator).toMatchObject([{ outcome: 'yes', id: 'e2' }]);
  expect(read(second, first).operator).toMatchObject([{ outcome: 'yes', id: 'e2' }]);
  expect(read(first, second, answer('page-straight-to-address', 'no')).operator).toMatchObject([
    { outcome: 'no', id: 'e9' },
  ]);
});

test('a record of nonsense is no record', () => {
  for (const value of [{}, { via: 'usb', taken: true }, { via: 'raw', taken: 'yes' }])
    expect(read({ ...record({}), value } as Evidence).proofs).toEqual([]);
});

test('the blame goes to what lies above: a page straight to the printer leaves queue, job and program', () => {
  const bundle: EvidenceBundle = {
    schema: EVIDENCE_SCHEMA,
    target: 'x',
    address: '192.0.2.21',
    askedAt: ASKED_AT,
    tookMs: 1,
    evidence: [record({ cameOut: true })],
  };
  expect(['queue', 'job', 'application']).toContain(judge(bundle).verdict.layer);
});

test('ports that swallowed a call before a page went through are no longer sure to', () => {
  const port = (number: number, id: string): Evidence =>
    ({
      ...record({}),
      id,
      source: 'tcp',
      what: `${number}/tcp`,
      subject: '192.0.2.21',
      outcome: 'silent',
      value: 'ETIMEDOUT',
    }) as Evidence;
  const alive = {
    ...record({}),
    id: 'e4',
    source: 'icmp',
    what: 'echo',
    subject: '192.0.2.21',
    value: { rttMs: 1 },
  } as Evidence;
  const silent = [alive, port(631, 'e2'), port(9100, 'e3')];
  const of = (evidence: readonly Evidence[]) =>
    judge({ schema: EVIDENCE_SCHEMA, target: 'x', address: '192.0.2.21', askedAt: ASKED_AT, tookMs: 1, evidence });
  expect(of(silent).verdict).toMatchObject({ cause: 'print-ports-filtered', certainty: 'sure' });
  expect(['queue', 'job', 'application']).toContain(of([...silent, record({ cameOut: true })]).verdict.layer);
  expect(of([...silent, record({})]).verdict).toMatchObject({ cause: 'print-ports-filtered', certainty: 'possible' });
});

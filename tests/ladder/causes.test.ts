import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { causes as access } from '../../src/ladder/access/causes.js';
import { causes as address } from '../../src/ladder/address/causes.js';
import { causes as application } from '../../src/ladder/application/causes.js';
import * as cautions from '../../src/ladder/cautions.js';
import { CHECKS, type OperatorCheck } from '../../src/ladder/checks.js';
import { causes as device } from '../../src/ladder/device/causes.js';
import { causes as job } from '../../src/ladder/job/causes.js';
import { causes as language } from '../../src/ladder/language/causes.js';
import type { Cause } from '../../src/ladder/layer.js';
import { causes as link } from '../../src/ladder/link/causes.js';
import { causes as media } from '../../src/ladder/media/causes.js';
import { causes as port } from '../../src/ladder/port/causes.js';
import { causes as power } from '../../src/ladder/power/causes.js';
import { causes as protocol } from '../../src/ladder/protocol/causes.js';
import { causes as queue } from '../../src/ladder/queue/causes.js';
import { causes as supplies } from '../../src/ladder/supplies/causes.js';
import { LAYERS, type LayerId } from '../../src/model/layers.js';

const ALL: Readonly<Record<LayerId, Readonly<Record<string, Cause>>>> = {
  power,
  link,
  address,
  port,
  protocol,
  access,
  device,
  media,
  supplies,
  language,
  queue,
  job,
  application,
};

/** The outward contract's causes, layer by layer; `*` marks a warning. */
const CONTRACT: Readonly<Record<LayerId, string>> = {
  power: 'no-sign-of-life powered-off asleep* keeps-restarting',
  link: 'no-carrier link-errors own-network-down whole-subnet-silent',
  address: 'moved another-device-here address-conflict self-assigned name-unresolved name-points-elsewhere',
  port: 'print-ports-closed print-ports-filtered raw-port-busy',
  protocol:
    'ipp-garbled ipp-path-unknown ipp-version-refused tls-failed certificate-expired* snmp-silent* snmp-garbled* http-error',
  access: 'sign-in-needed user-refused snmp-credentials-refused* account-limit-reached',
  device:
    'cover-open interlock-open media-jam paused offline service-needed fuser-fault overheated starting-up* memory-short storage-full stopped not-accepting-jobs',
  media: 'media-empty media-needed tray-missing output-full',
  supplies: 'supply-empty supply-missing supply-not-accepted waste-full part-worn-out supply-low*',
  language: 'format-unsupported language-mismatch page-too-complex',
  queue:
    'spooler-down queue-absent queue-paused queue-rejecting queue-points-elsewhere head-job-stuck spooler-crash-loop driver-wrong-architecture driver-missing driver-rights',
  job: 'job-held job-needs-sign-in job-aborted poison-job job-waits-for-media filter-failed',
  application: 'application-or-driver nothing-wrong-found',
};

interface Row {
  readonly layer: LayerId;
  readonly id: string;
  readonly cause: Cause;
}
const ROWS: readonly Row[] = LAYERS.flatMap((layer) =>
  Object.entries(ALL[layer]).map(([id, cause]) => ({ layer, id, cause })),
);
const FAULTS = ROWS.filter((row) => row.cause.severity === 'fault');
const IDS = new Set(ROWS.map((row) => row.id));

const PLACEHOLDER = /\{([^{}]*)\}/g;
const NAMES = new Set(
  'component address other queue job user uri code port since gateway model expected name said how times suspect driver right but meanwhile wants'.split(
    ' ',
  ),
);

/** What is read when a finding brings no detail at all. */
function withFallbacks(text: string): string {
  return text.replace(PLACEHOLDER, (_, inside: string) => inside.slice(inside.indexOf('|') + 1));
}

function oneSentence(text: string): boolean {
  return /^[A-Z]/.test(text) && text.endsWith('.') && !/[.!?]\s+[A-Z]/.test(text);
}

describe('the causes of the contract', () => {
  test.each(LAYERS)('%s has each of its causes, with the right severity', (layer) => {
    const found = Object.entries(ALL[layer]).map(([id, cause]) => id + (cause.severity === 'warning' ? '*' : ''));
    expect(found).toEqual(expect.arrayContaining(CONTRACT[layer].split(' ')));
    const marked = new Set(CONTRACT[layer].split(' '));
    for (const id of found) {
      if (IDS.has(id.replace('*', '')) && CONTRACT[layer].includes(id.replace('*', ''))) expect(marked).toContain(id);
    }
  });

  test.each(LAYERS)('%s has words for every cause that its judge can name', (layer) => {
    const folder = new URL(`../../src/ladder/${layer}/`, import.meta.url);
    const sources = readdirSync(folder).filter((file) => file !== 'causes.ts');
    const text = sources.map((file) => readFileSync(new URL(file, folder), 'utf8')).join('\n');
    const named = [...text.matchAll(/cause: '([a-z-]+)'|\['([a-z-]+)', '(?:sure|likely|possible)'\]/g)];
    for (const [, plain, paired] of named) expect(Object.keys(ALL[layer])).toContain(plain ?? paired);
  });

  test('no id stands in two layers', () => {
    expect(IDS.size).toBe(ROWS.length);
  });
});

describe.each(ROWS)('$layer $id', ({ id, cause }) => {
  test('has words for the telephone and for the technician, one sentence each', () => {
    expect(oneSentence(withFallbacks(cause.summary)), cause.summary).toBe(true);
    expect(oneSentence(cause.technical), cause.technical).toBe(true);
    expect(withFallbacks(cause.summary).length).toBeLessThanOrEqual(230);
    if (cause.asWarning !== undefined) {
      expect(cause.severity).toBe('fault');
      expect(oneSentence(withFallbacks(cause.asWarning)), cause.asWarning).toBe(true);
    }
  });

  test('fills every placeholder, or has a text in its place', () => {
    for (const [, inside = ''] of `${cause.summary} ${cause.asWarning ?? ''}`.matchAll(PLACEHOLDER)) {
      const [name = '', fallback = ''] = inside.split('|');
      expect(NAMES, inside).toContain(name);
      expect(fallback.trim(), inside).not.toBe('');
    }
    expect(cause.summary.startsWith('{'), 'a value of unknown case would begin the sentence').toBe(false);
    const fixed = [cause.technical, cause.confirms, cause.rulesOut, ...cause.next.map((step) => step.step)];
    expect(fixed.join(' ')).not.toMatch(/[{}]/);
  });

  test('has one to four steps with whole minutes and known cautions', () => {
    expect(cause.next.length).toBeGreaterThanOrEqual(1);
    expect(cause.next.length).toBeLessThanOrEqual(4);
    const known = new Set<string>(Object.values(cautions));
    for (const { step, minutes, cautions: given } of cause.next) {
      expect(step).toMatch(/^[A-Z].{15,}[."]$/);
      expect(Number.isInteger(minutes) && minutes >= 1, step).toBe(true);
      for (const caution of given) expect(known).toContain(caution);
      expect(new Set(given).size).toBe(given.length);
    }
  });

  test('says what confirms it, what rules it out and what looks alike', () => {
    expect(cause.confirms).toMatch(/^[A-Z].*\.$/);
    expect(cause.rulesOut).toMatch(/^[A-Z].*\.$/);
    expect(cause.looksAlike?.length).toBeGreaterThan(0);
    for (const other of cause.looksAlike ?? []) {
      expect(IDS).toContain(other);
      expect(other).not.toBe(id);
    }
  });

  test('weighs something as a fault and nothing as a warning', () => {
    if (cause.severity === 'fault') expect(cause.prior).toBeGreaterThan(0);
    else expect(cause.prior).toBe(0);
  });
});

describe('how common the causes are', () => {
  const sum = (layers: readonly LayerId[], leaveOut = /^$/): number =>
    FAULTS.filter((row) => layers.includes(row.layer) && !leaveOut.test(row.id)).reduce((a, r) => a + r.cause.prior, 0);

  // Shares of the four groups: common practice, no published source.
  test('the faults together are about one, in the shares that the trade knows', () => {
    expect(sum(LAYERS)).toBeCloseTo(1, 2);
    expect(sum(['power', 'link', 'address', 'port', 'protocol'])).toBeCloseTo(0.25, 2);
    expect(sum(['device', 'media', 'supplies'])).toBeCloseTo(0.3, 2);
    expect(sum(['queue', 'job'], /^driver-/)).toBeCloseTo(0.3, 2);
  });
});

describe('cautions', () => {
  const cautionsOf = (id: string): ReadonlySet<string> =>
    new Set(ROWS.find((row) => row.id === id)?.cause.next.flatMap((step) => [...step.cautions]));

  test.each([
    ['cover-open', [cautions.LASER_HOUSING, cautions.HOT_FUSER, cautions.MOVING_ROLLERS]],
    ['interlock-open', [cautions.LASER_HOUSING, cautions.UNPLUG_FIRST, cautions.HOT_FUSER]],
    ['media-jam', [cautions.PULL_JAM, cautions.NO_FORCE, cautions.UNPLUG_FIRST, cautions.HOT_FUSER]],
    ['service-needed', [cautions.SMOKE_STOP, cautions.HIGH_VOLTAGE, cautions.SERVICE_MANUAL]],
    ['fuser-fault', [cautions.HOT_FUSER, cautions.UNPLUG_FIRST, cautions.SERVICE_MANUAL]],
    ['overheated', [cautions.SMOKE_STOP, cautions.HOT_FUSER, cautions.SERVICE_MANUAL]],
    ['tray-missing', [cautions.PULL_JAM, cautions.HEAVY]],
    ['supply-empty', [cautions.TONER_DUST, cautions.NO_HOUSEHOLD_VACUUM, cautions.WASH_COLD, cautions.INK]],
    ['supply-missing', [cautions.TONER_DUST, cautions.UNPLUG_FIRST, cautions.HOT_FUSER]],
    ['supply-not-accepted', [cautions.TONER_DUST, cautions.UNPLUG_FIRST, cautions.HOT_FUSER]],
    ['waste-full', [cautions.TONER_DUST, cautions.NO_HOUSEHOLD_VACUUM, cautions.USED_PARTS, cautions.SERVICE_MANUAL]],
    ['part-worn-out', [cautions.HOT_FUSER, cautions.UNPLUG_FIRST, cautions.COVER_DRUM, cautions.SERVICE_MANUAL]],
    ['powered-off', [cautions.MAINS, cautions.HIGH_VOLTAGE]],
  ])('%s tells of what can hurt', (id, expected) => {
    for (const caution of expected) expect(cautionsOf(id)).toContain(caution);
  });

  test('a step that opens the machine or takes a part out of it carries a caution', () => {
    const risky =
      /exchange that|exchange the|take the (sheet|cartridge) out|pull that cartridge|open it again|wipe the contacts|put back the unit|power plug|jam(s)? again|memory added/i;
    const steps = ROWS.flatMap((row) => row.cause.next).filter((step) => risky.test(step.step));
    expect(steps.length).toBeGreaterThan(8);
    for (const step of steps) expect(step.cautions.length, step.step).toBeGreaterThan(0);
  });

  test('no caution is written and never said', () => {
    const said = new Set(ROWS.flatMap((row) => row.cause.next.flatMap((step) => [...step.cautions])));
    for (const [name, text] of Object.entries(cautions)) expect(said, name).toContain(text);
  });
});

/** The row that counts: the cause's, else its layer's, else the default. */
function chances(check: OperatorCheck, row: Row): readonly number[] {
  const { causes, layers, default: rest } = check.likelihood;
  return causes?.[row.id] ?? layers?.[row.layer] ?? rest;
}

/** Share of the faults in some layers once one answer is known, from the priors and that answer alone. */
function posterior(id: string, outcome: string): (layers: readonly LayerId[]) => number {
  const check: OperatorCheck | undefined = CHECKS.find((one) => one.id === id);
  if (check === undefined) throw new Error(id);
  const column = check.outcomes.indexOf(outcome);
  const weights = FAULTS.map((row) => row.cause.prior * (chances(check, row)[column] ?? Number.NaN));
  const total = weights.reduce((a, b) => a + b, 0);
  return (layers) =>
    FAULTS.reduce((share, row, i) => share + (layers.includes(row.layer) ? (weights[i] ?? 0) / total : 0), 0);
}

describe('the checks', () => {
  test('ids are unique, kebab-case, and the outcomes are short words', () => {
    expect(new Set(CHECKS.map((check) => check.id)).size).toBe(CHECKS.length);
    for (const check of CHECKS) {
      expect(check.id).toMatch(/^[a-z]+(-[a-z]+)*$/);
      expect(check.ask).toMatch(/^[A-Z].*\?$/);
      expect(check.minutes).toBeGreaterThanOrEqual(1);
      expect(check.outcomes.length).toBeGreaterThanOrEqual(2);
      expect(check.outcomes.length).toBeLessThanOrEqual(4);
      expect(new Set<string>(check.outcomes).size).toBe(check.outcomes.length);
      for (const outcome of check.outcomes) expect(outcome).toMatch(/^[a-z]+(-[a-z]+)*$/);
    }
  });

  test.each([...CHECKS] as OperatorCheck[])('$id: every row is a distribution and excludes nothing', (check) => {
    const { causes = {}, layers = {}, default: rest } = check.likelihood;
    for (const id of Object.keys(causes)) expect(IDS).toContain(id);
    for (const row of [rest, ...Object.values(layers), ...Object.values(causes)]) {
      expect(row).toHaveLength(check.outcomes.length);
      expect(row.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 9);
      for (const p of row) expect(p > 0.01 && p < 0.99, `${check.id} ${row}`).toBe(true);
    }
  });

  test('any two layers can be told apart by some check', () => {
    const average = (check: OperatorCheck, layer: LayerId): number[] => {
      const rows = FAULTS.filter((row) => row.layer === layer);
      const total = rows.reduce((a, row) => a + row.cause.prior, 0);
      return check.outcomes.map((_, i) =>
        rows.reduce((a, row) => a + (row.cause.prior / total) * (chances(check, row)[i] ?? 0), 0),
      );
    };
    const apart = (a: LayerId, b: LayerId): number =>
      Math.max(
        ...CHECKS.map((check) => {
          const q = average(check, b);
          return average(check, a).reduce((d, p, i) => d + Math.abs(p - (q[i] ?? 0)) / 2, 0);
        }),
      );
    for (const [i, a] of LAYERS.entries()) {
      for (const b of LAYERS.slice(i + 1)) expect(apart(a, b), `${a} and ${b}`).toBeGreaterThan(0.15);
    }
  });

  // The chain of proved paths. Each bound is chosen here: what a page proves must fall well below its share before.
  test('the own page clears the machine and says nothing of the way to it', () => {
    const share = posterior('panel-own-page', 'yes');
    expect(share(['power', 'device', 'media', 'supplies'])).toBeLessThan(0.15);
    expect(share(['queue', 'job'])).toBeGreaterThan(0.4);
    expect(posterior('panel-own-page', 'no')(['power', 'device', 'media', 'supplies'])).toBeGreaterThan(0.85);
  });

  test('a page sent straight to the address clears link to language', () => {
    const share = posterior('page-straight-to-address', 'yes');
    const below: LayerId[] = [
      'link',
      'address',
      'port',
      'protocol',
      'access',
      'device',
      'media',
      'supplies',
      'language',
    ];
    expect(share(below)).toBeLessThan(0.2);
    expect(share(['queue', 'job', 'application'])).toBeGreaterThan(0.75);
  });

  test('a page through the queue clears the queue and what lies below', () => {
    const share = posterior('queue-test-page', 'yes');
    expect(share(['queue'])).toBeLessThan(0.1);
    expect(share(['language', 'job', 'application'])).toBeGreaterThan(0.5);
  });

  test('a dark panel speaks of power', () => {
    expect(posterior('panel-lit', 'dark')(['power'])).toBeGreaterThan(0.7);
  });
});

import { describe, expect, test } from 'vitest';
import { LADDER } from '../../src/ladder/ladder.js';
import type { Blame, WhyDocument } from '../../src/model/why.js';
import { CAUSES_WITH_ERRAND, errandOf } from '../../src/snapshot/errands.js';
import { buildSnapshot, type SnapshotInput, type SnapshotSite } from '../../src/snapshot/snapshot.js';
import { samplePrinter } from '../render/site-samples.js';
import { sampleWhy, unsureWhy, wellWhy } from '../render/why-samples.js';

const AT = '2026-01-31T09:00:00.000Z';

function visit(inputs: readonly SnapshotInput[], more: Partial<SnapshotSite> = {}) {
  const {
    order,
    bring,
    present = [],
    questions = [],
    runsOut = [],
    nextVisit,
  } = buildSnapshot(inputs, {
    site: 'Harbour annex',
    madeAt: AT,
    ...more,
  }).visit;
  return { order, bring, present, questions, runsOut, nextVisit };
}

function blamed(
  target: string,
  verdict: Omit<Blame, 'certainty' | 'summary'>,
  minutes: number,
  others: readonly Blame[] = [],
): SnapshotInput {
  const summary = `${verdict.cause} at ${target}.`;
  const why: WhyDocument = sampleWhy({
    target,
    verdict: { ...verdict, certainty: 'sure', summary, next: [{ step: 'Mend it.', minutes, cautions: [] }] },
    others,
  });
  return { printer: samplePrinter(), why };
}

const REJECTING: Blame = {
  layer: 'queue',
  cause: 'queue-rejecting',
  certainty: 'sure',
  component: 'front-desk',
  summary: 'The print queue takes no new jobs.',
};

describe('the order of work', () => {
  test('an independent fault is a stop of its own, with the steps that its cause calls for', () => {
    const { order } = visit([{ printer: samplePrinter(), why: sampleWhy({ others: [REJECTING] }) }]);
    expect(order.map(({ cause, remote, afterPrevious }) => [cause, remote, afterPrevious])).toEqual([
      ['media-empty', false, false],
      ['queue-rejecting', true, true],
    ]);
    const own = LADDER.find(({ id }) => id === 'queue')?.causes['queue-rejecting'];
    expect(order[1]?.tasks).toEqual(own?.next);
    expect(order[1]?.minutes).toBe(own?.next.reduce((sum, { minutes }) => sum + minutes, 0));
  });

  test('what a desk can do of a printer comes first, what has to wait for somebody there does not', () => {
    const empty: Blame = { layer: 'media', cause: 'media-empty', certainty: 'sure', summary: 'Tray 2 is empty.' };
    const inputs = [
      blamed('jammed', { layer: 'device', cause: 'media-jam' }, 5, [REJECTING]),
      blamed('both', { layer: 'address', cause: 'moved' }, 40, [empty]),
    ];
    const { order } = visit(inputs);
    const told = order.map(({ printer, remote, afterPrevious }) => `${printer} ${remote} ${afterPrevious}`);
    expect(told).toEqual(['both true false', 'both false false', 'jammed false false', 'jammed true true']);
  });

  test('minutes count for all stops of a printer together: it prints when the last of them is done', () => {
    const inputs = [
      blamed('two-faults', { layer: 'device', cause: 'media-jam' }, 2, [REJECTING]),
      blamed('one-fault', { layer: 'device', cause: 'media-jam' }, 3),
    ];
    const people = { 'two-faults': 4, 'one-fault': 4 };
    expect(visit(inputs, { people }).order.map(({ printer }) => printer)).toEqual([
      'one-fault',
      'two-faults',
      'two-faults',
    ]);
  });

  test('a network that is down is one stop for all who are behind it', () => {
    const down = { layer: 'link', cause: 'whole-subnet-silent' } as const;
    const at = (target: string, address: string): SnapshotInput => {
      const { why } = blamed(target, down, 15);
      return { printer: null, why: { ...why, printer: { ...why.printer, address } } };
    };
    const inputs = [at('a', '192.0.2.21'), at('b', '198.51.100.7'), at('c', '192.0.2.77')];
    const { order } = visit(inputs, { people: { a: 5, c: 7, b: 1 } });
    expect(order.map(({ printer, alsoFor, people }) => [printer, alsoFor, people])).toEqual([
      ['a', ['c'], 12],
      ['b', [], 1],
    ]);
  });

  test('since when: the incident of that fault that goes on, else any that goes on; not known without a watch', () => {
    const incident = {
      id: 'i',
      printer: 'front-desk',
      layer: 'media' as const,
      cause: 'media-empty',
      component: 'Tray 2',
      startedAt: '2026-01-30T10:00:00.000Z',
      endedAt: null,
      acknowledgedAt: null,
    };
    const ended = { ...incident, startedAt: '2026-01-02T10:00:00.000Z', endedAt: '2026-01-02T11:00:00.000Z' };
    const since = (incidents: readonly (typeof incident | typeof ended)[]) =>
      visit([{ printer: samplePrinter(), why: sampleWhy(), incidents }]).order[0]?.since;
    expect(since([incident, ended])).toBe('2026-01-30T10:00:00.000Z');
    expect(since([{ ...incident, cause: 'media-jam', layer: 'media' }, ended])).toBe('2026-01-30T10:00:00.000Z');
    expect(since([ended])).toBeNull();
    expect(since([])).toBeNull();
  });

  test('where nobody could tell, the stop is to find out', () => {
    const why = { ...unsureWhy(), silent: null, others: [] };
    const { order, bring } = visit([{ printer: null, why }]);
    expect(order).toMatchObject([{ printer: 'back-office', remote: false, minutes: 4 }]);
    expect(order[0]?.steps).toEqual(why.checks.map(({ ask }) => ask));
    expect(bring.map(({ kind }) => kind)).not.toContain('part');
  });
});

describe('what each cause means to the person who goes there', () => {
  test('only causes that a judge can name have an errand', () => {
    const known = LADDER.flatMap(({ causes }) => Object.keys(causes));
    expect(CAUSES_WITH_ERRAND.filter((cause) => !known.includes(cause))).toEqual([]);
  });

  test('every fault that is mended on site calls for a person, a tool, or the like; whatever only warns is no errand', () => {
    const bare = LADDER.flatMap(({ id, causes }) =>
      Object.entries(causes)
        .filter(([cause, { severity }]) => severity === 'fault' && !errandOf(id, cause).remote)
        .filter(([cause]) => {
          const { present, tools, asks } = errandOf(id, cause);
          return present.length + tools.length + asks.length === 0;
        })
        .map(([cause]) => cause),
    );
    // Paper alone is brought, and a full output is emptied by hand.
    expect(bare).toEqual(['media-empty', 'output-full']);
  });

  test('a cause that nobody knows is that of its layer, whatever it is called', () => {
    for (const cause of ['constructor', '__proto__', 'never-heard-of']) {
      expect(errandOf('device', cause)).toMatchObject({ remote: false, asks: [] });
    }
  });
});

describe('what to carry', () => {
  const low = samplePrinter();

  test('what runs out before the next visit, by the cautious end of its forecast, is carried as well', () => {
    const forecast = {
      printer: 'archive',
      supply: { index: 1, name: 'Black toner cartridge', type: 'toner', colour: 'black' },
      percent: 12,
      state: 'ok' as const,
      enough: true,
      because: 'from 60 days',
      perDay: { median: 0.4, low: 0.3, high: 0.5 },
      daysLeft: { median: 30, low: 20, high: 44 },
      emptyAt: { median: '2026-03-02', low: '2026-02-20', high: '2026-03-16' },
      pagesLeft: null,
      refills: [],
    };
    const printer = { ...low, supplies: low.supplies.slice(0, 1) };
    const input: SnapshotInput = {
      why: { ...wellWhy(), target: 'archive', warnings: [] },
      printer,
      supplies: [forecast],
      orderNames: new Map([[1, 'K-21']]),
    };
    const soon = visit([input], { nextVisit: '2026-02-20' });
    expect(soon.bring).toMatchObject([
      { what: 'Black toner cartridge, spare, ordered as K-21 (Model 21)', for: ['archive'], kind: 'supply' },
    ]);
    expect(soon.bring[0]?.because).toContain('2026-02-20');
    expect(soon.runsOut).toMatchObject([{ printer: 'archive', supply: 'Black toner cartridge', percent: 12 }]);
    expect(visit([input], { nextVisit: '2026-02-19' }).bring).toEqual([]);
    // Thirty days after it was made: common practice, no published source.
    expect(visit([input]).nextVisit).toBe('2026-03-02');
  });

  test('a supply that a fault names is not carried twice', () => {
    const name = 'Magenta toner cartridge';
    const input = blamed('a', { layer: 'supplies', cause: 'supply-empty', component: name }, 10);
    const { bring } = visit([input, { ...input, why: { ...input.why, target: 'b' } }]);
    expect(bring.filter(({ what }) => what.includes(name))).toMatchObject([
      { what: `${name}, new (Model 21)`, for: ['a', 'b'], quantity: 2 },
    ]);
  });

  test('tools are for those who go: none for what a desk mends, one for all stops', () => {
    const remote = blamed('a', { layer: 'queue', cause: 'queue-paused' }, 5);
    const bare = { ...low, supplies: [], trays: [] };
    expect(visit([{ ...remote, printer: bare }]).bring).toEqual([]);
    const jams = ['a', 'b'].map((target) => blamed(target, { layer: 'device', cause: 'media-jam' }, 5));
    const { bring } = visit(jams.map((jam) => ({ ...jam, printer: bare })));
    expect(bring).toContainEqual(
      expect.objectContaining({ kind: 'tool', what: 'torch', for: ['a', 'b'], quantity: 1 }),
    );
  });
});

describe('who has to be there, and what to find out', () => {
  test('roles, never names or secrets; for a guess nobody is called', () => {
    const filtered = blamed('a', { layer: 'port', cause: 'print-ports-filtered' }, 29);
    const { present } = visit([filtered, { printer: null, why: { ...unsureWhy(), silent: null } }]);
    expect(present.map(({ who }) => who)).toEqual([
      expect.stringContaining('opens the rooms'),
      expect.stringContaining('access code of the printer'),
      expect.stringContaining('firewall'),
    ]);
    expect(present[0]?.for).toEqual(['back-office', 'a']);
    expect(present[0]?.because).toBe('Ground floor, beside the lift');
    expect(present[2]).toMatchObject({ for: ['a'], because: 'print-ports-filtered' });
  });

  test('checks are ticked and go back into `why --answer`; what a fault leaves open and what no printer told is written', () => {
    const refused = blamed('a', { layer: 'supplies', cause: 'supply-not-accepted', component: 'x' }, 11);
    const { questions } = visit([refused, { printer: null, why: unsureWhy() }]);
    expect(questions.filter(({ printer }) => printer === 'a')).toEqual([
      { printer: 'a', ask: 'Number printed on the cartridge that it refuses', answers: [], check: null },
    ]);
    const open = questions.filter(({ printer }) => printer === 'back-office');
    expect(open[0]).toEqual({
      printer: 'back-office',
      ask: 'Is the panel lit, or does any lamp on the printer shine?',
      answers: ['lit', 'dark'],
      check: 'panel-lit',
    });
    expect(open.filter(({ check }) => check === null).map(({ ask }) => ask)).toEqual(
      expect.arrayContaining([
        'Where it stands: building, floor, room',
        'Serial number on its plate',
        'Page counter in its menu',
      ]),
    );
  });

  test('a printer that is silent is found by what was known of it, a stranger at its address is not taken for it', () => {
    const remembered = { model: 'Model 21', serial: 'SN-9', location: 'Attic' };
    const document = buildSnapshot([{ printer: null, why: unsureWhy(), remembered }], { site: 's', madeAt: AT });
    expect(document.printers[0]?.knownAs).toEqual(remembered);
    const stranger = blamed('a', { layer: 'address', cause: 'another-device-here' }, 20);
    const [entry] = buildSnapshot([{ ...stranger, remembered }], { site: 's', madeAt: AT }).printers;
    expect(entry?.knownAs).toEqual(remembered);
  });
});

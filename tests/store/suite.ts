import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { Change } from '../../src/store/change.js';
import { storeHistory } from '../../src/store/history.js';
import { openStore, type Store } from '../../src/store/store.js';
import { black, DAY, event, HOUR, incident, pages, printer, sample, T0, verdict } from './samples.js';

/** What a store must do, whichever database it stands on. `place` gives a new and empty one each time. */
export function storeSuite(place: () => Promise<{ readonly url: string; readonly folder: string }>): void {
  let store: Store;
  let url: string;
  let folder: string;
  const open = (site = 'Harbour annex') => openStore(url, { site, folder });
  const again = async () => {
    await store.close();
    store = await open();
  };
  beforeEach(async () => {
    ({ url, folder } = await place());
    store = await open();
  });
  afterEach(() => store.close());

  describe('remembers', () => {
    test('a printer, its identity, its verdict, its open alerts and its last numbers, over a start', async () => {
      const alert = { kind: 'alert', printer: 'front-desk', code: 'subunitEmpty', severity: 'critical' } as const;
      await store.apply([
        printer('front-desk'),
        { kind: 'identity', printer: 'front-desk', what: 'serial', value: 'EX-0021', at: T0 },
        { kind: 'identity', printer: 'front-desk', what: 'serial', value: 'EX-0021', at: T0 + HOUR },
        verdict('front-desk', T0, 'nothing-wrong-found', false),
        verdict('front-desk', T0 + HOUR),
        { ...alert, place: 'input 2', startedAt: T0, endedAt: null, description: 'Tray 2 empty' },
        { ...alert, place: 'input 1', startedAt: T0, endedAt: T0 + 5, description: null },
        sample('front-desk', T0, 4200),
        sample('front-desk', T0 + HOUR, 4100),
      ]);
      await again();
      const { printers, incidents, newest } = await store.remembered();
      expect(printers).toHaveLength(1);
      expect(printers[0]).toMatchObject({
        name: 'front-desk',
        address: '192.0.2.21',
        configured: true,
        lastAnswerAt: T0,
        goneAt: null,
        verdict: { at: T0 + HOUR, silent: true, layer: 'media', cause: 'media-empty', component: 'Tray 2' },
        identities: [{ kind: 'serial', value: 'EX-0021', lastAt: T0 + HOUR }],
        alerts: [{ code: 'subunitEmpty', place: 'input 2', startedAt: T0, description: 'Tray 2 empty' }],
        samples: [{ series: black, at: T0 + HOUR, value: 4100 }],
      });
      expect(incidents).toEqual([]);
      expect(newest).toBe(T0 + HOUR);
    });

    test('incidents: open ones, by printer, with what a person wrote', async () => {
      const all = ['canteen', 'front-desk'];
      await store.apply([
        incident('a', T0),
        incident('b', T0 + HOUR, { printer: 'canteen', affects: all, layer: 'link', cause: 'whole-subnet-silent' }),
      ]);
      await store.apply([incident('a', T0, { endedAt: T0 + 2 * HOUR })]);
      expect(await store.acknowledge('b', T0 + 90, 'The switch had lost its power.')).toBe(true);
      expect(await store.acknowledge('none', T0, null)).toBe(false);
      await again();
      expect((await store.incidents({ limit: 10 })).map(({ id }) => id)).toEqual(['b', 'a']);
      const open = await store.incidents({ open: true, limit: 10 });
      expect(open).toMatchObject([
        { id: 'b', affects: all, note: 'The switch had lost its power.', endedAt: null, flapping: false },
      ]);
      expect(open[0]?.acknowledgedAt).toBe(new Date(T0 + 90).toISOString());
      expect(await store.incidents({ printer: 'front-desk', limit: 10 })).toHaveLength(2);
      expect(await store.incidents({ printer: 'front', limit: 10 })).toEqual([]);
      expect(await store.incidents({ printer: '%', limit: 10 })).toEqual([]);
      expect((await store.remembered()).incidents).toMatchObject([{ id: 'b', told: true, startedAt: T0 + HOUR }]);
    });

    test('a shared incident is found by each name that it struck, whatever signs stand in it', async () => {
      const names = ['front_desk', '50%', 'back\\slash', 'the "small" one', 'Büro'];
      await store.apply([incident('a', T0, { printer: 'canteen', affects: ['canteen', ...names] })]);
      for (const printer of names) {
        expect((await store.incidents({ printer, limit: 9 })).map(({ id }) => id)).toEqual(['a']);
        expect((await store.incidentPage({ printer, limit: 9 })).incidents).toHaveLength(1);
      }
      expect(await store.incidents({ printer: 'frontxdesk', limit: 9 })).toEqual([]);
    });

    test('incidents in parts: each once, newest first, those of one moment too', async () => {
      await store.apply(['a', 'b', 'c', 'd', 'e'].map((id, at) => incident(id, T0 + (at < 3 ? 0 : HOUR))));
      const seen: string[] = [];
      let after: { readonly startedAt: number; readonly id: string } | null = null;
      for (let parts = 0; parts < 5; parts++) {
        const page: Awaited<ReturnType<typeof store.incidentPage>> = await store.incidentPage({
          limit: 2,
          ...(after === null ? {} : { after }),
        });
        seen.push(...page.incidents.map(({ id }) => id));
        after = page.last;
        if (after === null) break;
      }
      expect([...seen].sort()).toEqual(['a', 'b', 'c', 'd', 'e']);
      expect(seen.slice(0, 2).sort()).toEqual(['d', 'e']);
      expect(after).toBeNull();
    });

    test('test pages, newest first, each as it was, until they are let go', async () => {
      const page = {
        via: 'raw',
        to: 'socket://192.0.2.21:9100',
        format: 'text/plain',
        taken: true,
        because: 'Taken.',
      } as const;
      const first = { ...page, jobState: null, cameOut: null };
      const second = { ...page, via: 'ipp', jobState: 'completed', cameOut: false } as const;
      const put = (at: number, one: typeof first | typeof second): Change => ({
        kind: 'test-page',
        printer: 'front-desk',
        at,
        page: one,
      });
      await store.apply([printer('front-desk'), put(T0, first), put(T0 + HOUR, second), put(T0, first)]);
      expect((await store.past('front-desk'))?.testPages).toEqual([
        { at: T0 + HOUR, page: second },
        { at: T0, page: first },
      ]);
      await store.retain(T0 + DAY, DAY - HOUR / 2);
      expect((await store.past('front-desk'))?.testPages.map(({ at }) => at)).toEqual([T0 + HOUR]);
    });

    test('how printers were found since a time, with how they stood then', async () => {
      await store.apply([
        printer('front-desk'),
        printer('canteen'),
        verdict('front-desk', T0 - 2 * HOUR, 'media-jam'),
        verdict('front-desk', T0 - HOUR, 'nothing-wrong-found', false),
        verdict('front-desk', T0, 'media-empty'),
        verdict('front-desk', T0 + HOUR, 'no-sign-of-life', null),
        verdict('canteen', T0 + HOUR, 'nothing-wrong-found', false),
      ]);
      const found = await store.found(T0);
      expect(found.map(({ printer: name, at, silent, cause }) => [name, (at - T0) / HOUR, silent, cause])).toEqual([
        ['canteen', 1, false, 'nothing-wrong-found'],
        ['front-desk', -1, false, 'nothing-wrong-found'],
        ['front-desk', 0, true, 'media-empty'],
        ['front-desk', 1, null, 'no-sign-of-life'],
      ]);
    });

    test('the past of one printer and the evidence of a verdict', async () => {
      await store.apply([
        printer('front-desk'),
        verdict('front-desk', T0),
        { kind: 'identity', printer: 'front-desk', what: 'firmware', value: '4.1.7', at: T0 },
        { kind: 'identity', printer: 'front-desk', what: 'firmware', value: '4.2.0', at: T0 + DAY },
        sample('front-desk', T0, T0 - HOUR, { ...pages, kind: 'booted' }),
      ]);
      const past = await store.past('front-desk');
      expect(past?.verdicts).toMatchObject([{ at: T0, cause: 'media-empty' }]);
      expect(past?.identities.map(({ value }) => value)).toEqual(['4.2.0', '4.1.7']);
      expect(past?.starts).toEqual([T0 - HOUR]);
      expect(past?.testPages).toEqual([]);
      expect(await store.past('nobody')).toBeUndefined();
      expect(await store.evidence('front-desk', T0)).toMatchObject({ target: 'front-desk', evidence: [] });
      expect(await store.evidence('front-desk', T0 + 1)).toBeUndefined();
    });

    test('when something was last done', async () => {
      expect(await store.marked('sweep')).toBeNull();
      await store.mark('sweep', T0);
      await store.mark('sweep', T0 + 1);
      await again();
      expect(await store.marked('sweep')).toBe(T0 + 1);
    });

    test('plans that are not over', async () => {
      await store.plan({ printer: null, from: T0, to: T0 + HOUR, why: 'new switch' });
      expect(await store.plans(T0 + 1)).toEqual([{ printer: null, from: T0, to: T0 + HOUR, why: 'new switch' }]);
      expect(await store.plans(T0 + HOUR)).toEqual([]);
    });
  });

  test('what is written twice stands once', async () => {
    const changes = [
      printer('front-desk'),
      verdict('front-desk', T0),
      sample('front-desk', T0, 4200),
      incident('a', T0),
      event('e1', T0),
    ];
    await store.apply(changes);
    await store.apply(changes);
    await again();
    await store.apply(changes);
    expect(await store.waiting()).toBe(1);
    expect(await store.levels(0)).toHaveLength(1);
    expect((await store.past('front-desk'))?.verdicts).toHaveLength(1);
  });

  test('a text with a NUL in it, which a printer may send, is kept for the most part and asked after', async () => {
    const words = 'Tray\0 2 is empty.';
    const told = event('e1', T0, ['t']);
    await store.apply([
      { ...verdict('front-desk', T0), summary: words } as Change,
      incident('a', T0, { component: words }),
      told.kind === 'event' ? { ...told, event: { ...told.event, summary: words } } : told,
    ]);
    expect((await store.past('front-desk'))?.verdicts[0]?.summary).toMatch(/^Tray.? 2 is empty\.$/u);
    expect((await store.incidents({ limit: 5 }))[0]?.component).toMatch(/^Tray.? 2 is empty\.$/u);
    expect((await store.dueTellings('t', T0, 5))[0]?.event.summary).toMatch(/^Tray.? 2 is empty\.$/u);
    expect(await store.incidents({ printer: words, limit: 5 })).toEqual([]);
    expect(await store.acknowledge('a', T0, words)).toBe(true);
  });

  test('a batch with something in it that can not be kept leaves nothing behind', async () => {
    const broken = { ...verdict('front-desk', T0), summary: null } as unknown as ReturnType<typeof verdict>;
    await expect(store.apply([printer('front-desk'), sample('front-desk', T0, 1), broken])).rejects.toThrow();
    expect((await store.remembered()).printers).toEqual([]);
    await store.apply([sample('front-desk', T0, 1)]);
    expect(await store.levels(0)).toHaveLength(1);
  });

  test('sites know nothing of each other, and only one agent writes for each', async () => {
    const other = await open('Boathouse');
    try {
      await store.apply([printer('front-desk'), incident('a', T0), event('e1', T0)]);
      expect((await other.remembered()).printers).toEqual([]);
      expect(await other.incidents({ limit: 5 })).toEqual([]);
      expect(await other.waiting()).toBe(0);
      const mine = await store.lock();
      expect(mine?.held()).toBe(true);
      const second = await open();
      expect(await second.lock()).toBeNull();
      await mine?.release();
      const next = await second.lock();
      expect(next).not.toBeNull();
      await next?.release();
      await second.close();
    } finally {
      await other.close();
    }
  });

  describe('outbox', () => {
    test('tells in order, each teller for itself, once', async () => {
      await store.apply([event('e1', T0, ['hook', 'mail']), event('e2', T0, ['hook'])]);
      await store.apply([event('e3', T0 - HOUR, ['hook'], T0 + HOUR)]);
      const ids = async (teller: string, now: number) =>
        (await store.dueTellings(teller, now, 10)).map((telling) => telling.event.id);
      expect(await ids('hook', T0)).toEqual(['e1', 'e2']);
      expect(await ids('hook', T0 + HOUR)).toEqual(['e1', 'e2', 'e3']);
      await store.sent({ teller: 'hook', events: ['e1', 'e2'] }, T0, 'm1');
      expect(await store.messagesSince('hook', T0 - HOUR, T0)).toBe(1);
      expect(await store.messagesSince('hook', T0, T0)).toBe(0);
      expect(await ids('mail', T0)).toEqual(['e1']);
      await store.failed({ teller: 'mail', events: ['e1'] }, 'refused', null);
      expect((await store.dueTellings('mail', T0, 10))[0]?.attempts).toBe(1);
      await store.failed({ teller: 'mail', events: ['e1'] }, 'refused', T0);
      expect(await ids('mail', T0)).toEqual([]);
      expect(await store.waiting()).toBe(1);
    });

    test('what was gathered into one message stays gathered', async () => {
      await store.apply([event('e1', T0), event('e2', T0), event('e3', T0)]);
      await store.gathered({ teller: 'hook', events: ['e1', 'e2'] }, 'm1');
      await again();
      const tellings = await store.dueTellings('hook', T0, 10);
      expect(tellings.map(({ message }) => message)).toEqual(['m1', 'm1', null]);
      expect(await store.messagesSince('hook', 0, T0)).toBe(0);
    });

    test('the same event is the same document each time', async () => {
      const made = event('e1', T0);
      await store.apply([made]);
      await again();
      const [telling] = await store.dueTellings('hook', T0, 10);
      expect(telling?.event).toEqual(made.kind === 'event' ? made.event : null);
    });

    test('what a wrong clock put into the far future is due', async () => {
      await store.apply([event('e1', T0 + 365 * DAY, ['hook'], T0 + 365 * DAY)]);
      expect(await store.dueTellings('hook', T0, 10)).toHaveLength(1);
    });
  });

  describe('numbers over time', () => {
    test('levels with the pages counted by then', async () => {
      await store.apply([
        sample('front-desk', T0, 1000, pages),
        sample('front-desk', T0, 4200),
        sample('front-desk', T0 + HOUR, 1100, pages),
        sample('front-desk', T0 + HOUR, 4100),
        sample('canteen', T0, 50),
      ]);
      expect(await store.levels(0, 'front-desk')).toMatchObject([
        { printer: 'front-desk', series: black, at: T0, level: 4200, pages: 1000 },
        { at: T0 + HOUR, level: 4100, pages: 1100 },
      ]);
      expect(await store.levels(T0 + 1, 'canteen')).toEqual([]);
    });

    test('the past of supplies, as forecasts take it', async () => {
      await store.apply([
        { kind: 'identity', printer: 'front-desk', what: 'model', value: 'Sandpiper 300', at: T0 },
        sample('front-desk', T0, 900, pages),
        sample('front-desk', T0, 4200),
        sample('front-desk', T0 + HOUR, 4100),
        sample('canteen', T0, 50),
      ]);
      const history = storeHistory(store);
      expect(await history.supplies(T0 + HOUR, ['Front-Desk'])).toEqual([
        {
          printer: 'front-desk',
          model: 'Sandpiper 300',
          supply: {
            index: 1,
            name: 'Black toner',
            type: 'tonerCartridge',
            class: 'supplyThatIsConsumed',
            colour: 'black',
          },
          readings: [
            { at: T0, level: 4200, capacity: 6000, unit: 'impressions', pages: 900 },
            { at: T0 + HOUR, level: 4100, capacity: 6000, unit: 'impressions', pages: 900 },
          ],
        },
      ]);
      expect((await history.supplies(T0)).map(({ readings }) => readings.length)).toEqual([1, 1]);
    });

    test('levels and page counters of one printer are those of the site that are its own', async () => {
      const names = ['front-desk', 'canteen'];
      await store.apply(names.flatMap((name) => [sample(name, T0, 900, pages), sample(name, T0 + HOUR, 4200)]));
      await store.retain(T0 + 60 * DAY, 400 * DAY);
      await store.apply(names.map((name) => sample(name, T0 + 60 * DAY, 990, pages)));
      for (const name of names) {
        const counts = (await store.counts(0)).filter(({ printer: of }) => of === name);
        expect(counts).toHaveLength(2);
        expect(await store.counts(0, name)).toEqual(counts);
        const levels = (await store.levels(0)).filter(({ printer: of }) => of === name);
        expect(levels).toMatchObject([{ level: 4200, pages: 900 }]);
        expect(await store.levels(0, name)).toEqual(levels);
      }
      expect(await store.counts(0, 'cellar')).toEqual([]);
    });

    test('single changes give way to days, the last one stays, and all goes in the end', async () => {
      const changes = Array.from({ length: 100 }, (_, day) =>
        [0, 1, 2].map((hour) => sample('front-desk', T0 + day * DAY + hour * HOUR, 6000 - 30 * day - 10 * hour)),
      ).flat();
      await store.apply([printer('front-desk'), ...changes]);
      const end = T0 + 100 * DAY;
      await store.retain(end, 400 * DAY);
      const kept = await store.levels(0);
      expect(kept).toHaveLength(65 + 35 * 3);
      expect(kept[0]).toMatchObject({ level: 5980 });
      expect(kept.at(-1)).toMatchObject({ level: 6000 - 30 * 99 - 20 });
      await store.retain(end + 1000 * DAY, 400 * DAY);
      expect(await store.levels(0)).toHaveLength(1);
      await again();
      expect((await store.remembered()).printers[0]?.samples).toHaveLength(1);
    });

    test('a closed incident, a told event and old evidence go, an open incident and an untold event stay', async () => {
      await store.apply([
        incident('over', T0, { endedAt: T0 + HOUR }),
        incident('open', T0),
        event('told', T0),
        event('untold', T0),
        ...Array.from({ length: 30 }, (_, at) => verdict('front-desk', T0 + at)),
      ]);
      await store.sent({ teller: 'hook', events: ['told'] }, T0, 'm');
      await store.retain(T0 + DAY, 400 * DAY);
      expect(await store.evidence('front-desk', T0)).toBeUndefined();
      expect(await store.evidence('front-desk', T0 + 29)).toBeDefined();
      await store.retain(T0 + 500 * DAY, 400 * DAY);
      expect((await store.incidents({ limit: 9 })).map(({ id }) => id)).toEqual(['open']);
      expect((await store.dueTellings('hook', T0 + 500 * DAY, 9)).map((t) => t.event.id)).toEqual(['untold']);
      expect((await store.past('front-desk'))?.verdicts).toHaveLength(1);
    });

    test('another site keeps what it has, however short this one keeps its own', async () => {
      const other = await open('Branch');
      const old = (prefix: string): Change[] => [
        printer('front-desk'),
        ...[0, 1, 2].flatMap((day) => [
          sample('front-desk', T0 + day * DAY, 6000 - day * 100),
          verdict('front-desk', T0 + day * DAY),
        ]),
        incident(`${prefix} over`, T0, { endedAt: T0 + HOUR }),
      ];
      await store.apply(old('own'));
      await other.apply(old('other'));
      const kept = async (of: Store) => [
        (await of.levels(0)).length,
        (await of.past('front-desk'))?.verdicts.length,
        (await of.incidents({ limit: 9 })).length,
      ];
      await store.retain(T0 + 500 * DAY, 30 * DAY);
      expect([await kept(store), await kept(other)]).toEqual([
        [1, 1, 0],
        [3, 3, 1],
      ]);
      await other.retain(T0 + 500 * DAY, 30 * DAY);
      expect(await kept(other)).toEqual([1, 1, 0]);
      await other.close();
    });
  });
}

import { describe, expect, test } from 'vitest';
import { type Ears, type Settled, type Site, settle } from '../../src/daemon/incidents.js';
import { type Condition, observe, type Track } from '../../src/daemon/track.js';
import { dead, empty, MINUTE, open, readings, T0, well, wellTrack } from './conditions.js';

const ears: Ears = { planned: () => false, officeOpen: true };

/** A site that is read and settled step by step. */
class Town {
  site: Site;
  readonly told: string[] = [];
  constructor(names: readonly string[], group = '192.0.2.0/24') {
    const tracks = new Map(names.map((name) => [name, wellTrack(name, group)]));
    this.site = { name: 'town', tracks, open: new Map(), begun: [] };
  }

  read(names: readonly string[], condition: Condition, at: number, twice = true): void {
    const tracks = new Map(this.site.tracks);
    for (const name of names) {
      const once = observe(tracks.get(name) as Track, condition, at, false).track;
      tracks.set(name, twice ? observe(once, condition, at + 20_000, false).track : once);
    }
    this.site = { ...this.site, tracks };
  }

  settle(at: number, around: Ears = ears): Settled {
    const settled = settle(this.site, at, around);
    this.site = { ...this.site, open: settled.open, begun: settled.begun };
    this.told.push(...settled.events.map(({ event }) => `${event.kind} ${event.printer} ${event.cause}`));
    return settled;
  }
}

const names = (count: number, from = 1) =>
  Array.from({ length: count }, (_, at) => `p${String(at + from).padStart(2, '0')}`);

describe('one printer', () => {
  test('a fault is told once, and its end once', () => {
    const town = new Town(['p01']);
    town.read(['p01'], empty, T0);
    town.settle(T0 + MINUTE);
    town.settle(T0 + 2 * MINUTE);
    town.read(['p01'], well, T0 + 10 * MINUTE);
    const { incidents, events } = town.settle(T0 + 11 * MINUTE);
    town.settle(T0 + 12 * MINUTE);
    expect(town.told).toEqual(['fault p01 media-empty', 'cleared p01 media-empty']);
    expect(incidents[0]).toMatchObject({ startedAt: T0, endedAt: T0 + 10 * MINUTE, told: true });
    expect(events[0]?.event.summary).toBe('p01: media-empty is over after 10 min.');
  });

  test('the same happening has the same id on every machine, the next one another', () => {
    const ids = [T0, T0, T0 + MINUTE].map((at) => {
      const town = new Town(['p01']);
      town.read(['p01'], empty, at);
      return town.settle(at + MINUTE).events[0]?.event.id;
    });
    expect(ids[0]).toBe(ids[1]);
    expect(ids[2]).not.toBe(ids[0]);
  });

  test('another fault ends the first', () => {
    const town = new Town(['p01']);
    town.read(['p01'], empty, T0);
    town.settle(T0 + MINUTE);
    town.read(['p01'], open, T0 + 5 * MINUTE);
    town.settle(T0 + 6 * MINUTE);
    expect(town.told).toEqual(['fault p01 media-empty', 'cleared p01 media-empty', 'fault p01 cover-open']);
  });

  test('what comes and goes is told so and then left in peace until it is calm', () => {
    const town = new Town(['p01']);
    for (let at = 0; at < 10; at++) {
      town.read(['p01'], empty, T0 + at * 4 * MINUTE);
      town.settle(T0 + at * 4 * MINUTE + MINUTE);
      town.read(['p01'], well, T0 + at * 4 * MINUTE + 2 * MINUTE);
      town.settle(T0 + at * 4 * MINUTE + 3 * MINUTE);
    }
    expect(town.told).toHaveLength(7);
    const { events } = town.settle(T0 + 80 * MINUTE);
    expect(events.map(({ event }) => event.kind)).toEqual(['cleared']);
  });

  test('during planned work nothing is told, after it what is still wrong', () => {
    const town = new Town(['p01', 'p02']);
    const planned: Ears = { planned: () => true, officeOpen: true };
    town.read(['p01', 'p02'], empty, T0);
    town.settle(T0 + MINUTE, planned);
    town.read(['p02'], well, T0 + 30 * MINUTE);
    town.settle(T0 + 31 * MINUTE, planned);
    expect(town.told).toEqual([]);
    town.settle(T0 + 60 * MINUTE);
    expect(town.told).toEqual(['fault p01 media-empty']);
  });

  test('a printer switched off for the night is no news, unless it stays off in the morning', () => {
    const night: Ears = { planned: () => false, officeOpen: false };
    const town = new Town(['p01', 'p02']);
    town.read(['p01'], dead, T0);
    town.read(['p02'], empty, T0);
    town.settle(T0 + 5 * MINUTE, night);
    expect(town.told).toEqual(['fault p02 media-empty']);
    town.settle(T0 + 600 * MINUTE);
    expect(town.told.at(-1)).toBe('fault p01 no-sign-of-life');
  });

  test('one that is no longer watched leaves no incident behind', () => {
    const town = new Town(['p01']);
    town.read(['p01'], empty, T0);
    town.settle(T0 + MINUTE);
    town.site = { ...town.site, tracks: new Map() };
    expect(town.settle(T0 + 2 * MINUTE).incidents[0]?.endedAt).toBe(T0 + 2 * MINUTE);
  });

  test('a clock that was put back ends nothing before it began', () => {
    const town = new Town(['p01']);
    town.read(['p01'], empty, T0);
    town.settle(T0 + MINUTE);
    town.read(['p01'], well, T0 - 60 * MINUTE);
    expect(town.settle(T0 - 58 * MINUTE).incidents[0]).toMatchObject({ startedAt: T0, endedAt: T0 });
  });
});

describe('one cause for many', () => {
  test('a dead switch is one incident, not fourteen', () => {
    const town = new Town(names(24));
    town.read(['p03'], dead, T0);
    town.settle(T0 + 25_000);
    expect(town.told).toEqual([]);
    town.read(
      names(14).filter((name) => name !== 'p03'),
      dead,
      T0 + 40_000,
    );
    const { incidents } = town.settle(T0 + 61_000);
    town.settle(T0 + 10 * MINUTE);
    expect(town.told).toEqual(['fault p01 several-silent']);
    expect(incidents[0]?.affects).toEqual(names(14));
    town.read(names(14), well, T0 + 60 * MINUTE);
    town.settle(T0 + 61 * MINUTE);
    expect(town.told).toEqual(['fault p01 several-silent', 'cleared p01 several-silent']);
  });

  test('printers that follow a little later join it', () => {
    const town = new Town(names(6));
    town.read(names(3), dead, T0);
    town.settle(T0 + MINUTE);
    town.read(['p06'], dead, T0 + 3 * MINUTE);
    expect(town.settle(T0 + 4 * MINUTE).incidents[0]?.affects).toEqual(['p01', 'p02', 'p03', 'p06']);
    expect(town.told).toHaveLength(1);
  });

  test('a single dead printer among living ones is its own incident, after its neighbours were asked', () => {
    const town = new Town(names(10));
    town.read(['p03'], dead, T0);
    town.settle(T0 + MINUTE);
    expect(town.told).toEqual([]);
    town.settle(T0 + 2 * MINUTE);
    expect(town.told).toEqual(['fault p03 no-sign-of-life']);
  });

  test('one that stays dead when the others are back becomes its own incident', () => {
    const town = new Town(names(5));
    town.read(names(5), dead, T0);
    town.settle(T0 + MINUTE);
    town.read(names(4), well, T0 + 30 * MINUTE);
    town.settle(T0 + 31 * MINUTE);
    town.settle(T0 + 45 * MINUTE);
    town.settle(T0 + 46 * MINUTE);
    expect(town.told).toEqual([
      'fault p01 whole-subnet-silent',
      'cleared p01 whole-subnet-silent',
      'fault p05 no-sign-of-life',
    ]);
  });

  test('this machine being cut off is one incident for all subnets', () => {
    const town = new Town(names(4));
    const tracks = new Map(town.site.tracks);
    for (const name of names(4, 5)) tracks.set(name, wellTrack(name, '198.51.100.0/24'));
    town.site = { ...town.site, tracks };
    town.read(names(8), { ...dead, layer: 'link', cause: 'own-network-down' }, T0);
    town.settle(T0 + MINUTE);
    expect(town.told).toEqual(['fault p01 own-network-down']);
  });

  test('empty trays have each their own cause', () => {
    const town = new Town(names(5));
    town.read(names(5), empty, T0);
    town.settle(T0 + MINUTE);
    expect(town.told).toHaveLength(5);
  });

  test('a fault seen again right after a start goes on, it does not begin anew', () => {
    const town = new Town(['p01']);
    town.read(['p01'], empty, T0);
    town.settle(T0 + MINUTE);
    town.site = { ...town.site, tracks: new Map([['p01', readings(wellTrack('p01'), [empty, empty], T0)]]), begun: [] };
    town.settle(T0 + 5 * MINUTE);
    expect(town.told).toHaveLength(1);
  });
});

import { type Kysely, sql } from 'kysely';
import type { Tables } from './tables.js';

export const HOUR = 3_600_000;
export const DAY = 86_400_000;

/** Grains of the roll-ups, by the number that stands for them. */
export const GRAINS = { 1: HOUR, 2: DAY } as const;

/** Rows of one statement: well below what either database takes in parameters. */
const AT_ONCE = 200;

type Sample = Tables['samples'];

/** Writes samples and brings the roll-ups up to date. One that is there already changes nothing. */
export async function insertSamples(db: Kysely<Tables>, rows: readonly Sample[]): Promise<void> {
  for (let first = 0; first < rows.length; first += AT_ONCE) {
    const kept = await db
      .insertInto('samples')
      .values(rows.slice(first, first + AT_ONCE))
      .onConflict((c) => c.columns(['series_id', 'at']).doNothing())
      .returning(['series_id', 'at', 'value'])
      .execute();
    if (kept.length > 0) await rollUp(db, kept);
  }
}

async function rollUp(db: Kysely<Tables>, samples: readonly Sample[]): Promise<void> {
  const rolled = new Map<string, Tables['rollups']>();
  for (const { series_id, at, value } of [...samples].sort((a, b) => a.at - b.at)) {
    for (const [grain, span] of Object.entries(GRAINS)) {
      const start = Math.floor(at / span) * span;
      const key = `${series_id} ${grain} ${start}`;
      const before = rolled.get(key);
      rolled.set(key, {
        series_id,
        grain: Number(grain),
        start,
        n: (before?.n ?? 0) + 1,
        low: Math.min(before?.low ?? value, value),
        high: Math.max(before?.high ?? value, value),
        last: value,
      });
    }
  }
  await db
    .insertInto('rollups')
    .values([...rolled.values()])
    .onConflict((c) =>
      c.columns(['series_id', 'grain', 'start']).doUpdateSet({
        n: sql`rollups.n + excluded.n`,
        low: sql`case when excluded.low < rollups.low then excluded.low else rollups.low end`,
        high: sql`case when excluded.high > rollups.high then excluded.high else rollups.high end`,
        last: sql`excluded.last`,
      }),
    )
    .execute();
}

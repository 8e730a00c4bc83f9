import { expect, test } from 'vitest';
import { soak } from '../lab/soak.js';

/** Ninety days of sixty printers take minutes: `tsx tests/lab/soak.ts`. */
test('an office over ten days, with an agent that is restarted: all that was wrong was found once, nothing else', async () => {
  const report = await soak({ printers: 16, days: 10, everyMs: 3_600_000, seed: 3 });
  expect({ missed: report.missed, invented: report.invented }).toEqual({ missed: [], invented: [] });
  expect(report.injected).toBeGreaterThan(10);
  expect(report.faultsTold).toBe(report.injected);
  expect(report.clearedTold).toBe(report.injected);
}, 240_000);

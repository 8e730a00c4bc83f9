import type { Observation } from '../../src/model/evidence.js';
import { ADDRESS, HEALTHY, type Site } from './bundle.js';
import type { Case } from './sites.js';

const SILENT: Site = {
  tcp: { 631: 'ETIMEDOUT', 9100: 'ETIMEDOUT', 515: 'ETIMEDOUT' },
  snmp: 'silent',
  ipp: 'silent',
};

/** Starts on record, so many minutes before the question. */
function starts(...minutesAgo: readonly number[]): readonly Observation[] {
  const at = '2026-01-31T09:00:00.000Z';
  const value = { starts: minutesAgo.map((ago) => new Date(Date.parse(at) - ago * 60_000).toISOString()) };
  const about = { about: 'target', subject: ADDRESS, outcome: 'answered', at, tookMs: 0 } as const;
  return [{ source: 'history', what: 'starts', value, ...about }];
}

/** What only the past can show. */
export const HISTORY_CASES: readonly Case[] = [
  {
    name: 'it came up three times within two hours, and answers just now',
    site: { ...HEALTHY, more: starts(10, 50, 80) },
    verdict: 'power/keeps-restarting',
    certainty: 'likely',
  },
  {
    name: 'it came up three times within two hours, and is silent just now',
    site: { ...SILENT, route: 'onlink', mac: 'failed', gateway: 'alive', more: starts(10, 50, 80) },
    verdict: 'power/keeps-restarting',
    certainty: 'likely',
  },
  {
    name: 'it came up often this night, and stays up since',
    site: { ...HEALTHY, more: starts(300, 350, 400) },
    verdict: 'application/nothing-wrong-found',
    warnings: ['keeps-restarting'],
  },
  {
    name: 'one start told by two readings is one start',
    site: { ...HEALTHY, more: starts(10, 11, 12) },
    verdict: 'application/nothing-wrong-found',
  },
  {
    name: 'switched on every morning',
    site: { ...HEALTHY, more: starts(60, 60 + 1440, 60 + 2880, 60 + 4320) },
    verdict: 'application/nothing-wrong-found',
  },
];

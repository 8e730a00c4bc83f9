import { describe, expect, test } from 'vitest';
import { snapshotTables } from '../../src/render/snapshot-csv.js';
import { buildSnapshot } from '../../src/snapshot/snapshot.js';
import { hostileSite, samplePrinter, sampleSite } from './site-samples.js';
import { record, sampleWhy } from './why-samples.js';

const QUEUE = 'ipp://192.0.2.5/printers/front-desk';

function spoolerRecords() {
  const base = { httpStatus: 200, version: '2.0', status: 'successful-ok', uri: QUEUE, problems: [] };
  const about = { about: 'queue', subject: QUEUE } as const;
  const queue = {
    ...record('e8', 'spooler', 'Get-Printer-Attributes', {
      ...base,
      attributes: { 'printer-up-time': [{ tag: 'integer', value: 1_769_850_000 }] },
    }),
    ...about,
  };
  const jobs = {
    ...record('e9', 'spooler', 'Get-Jobs', {
      ...base,
      attributes: {},
      jobs: [
        {
          'job-id': [{ tag: 'integer', value: 7 }],
          'job-state': [{ tag: 'enum', value: 4 }],
          'job-state-reasons': [{ tag: 'keyword', value: 'job-hold-until-specified' }],
          'job-name': [{ tag: 'nameWithoutLanguage', value: '=HYPERLINK("x"),\u001b[2J' }],
          'job-originating-user-name': [{ tag: 'nameWithoutLanguage', value: 'reader' }],
          'job-k-octets': [{ tag: 'integer', value: 120 }],
          'time-at-creation': [{ tag: 'integer', value: 1_769_849_660 }],
        },
      ],
    }),
    ...about,
  };
  return [queue, jobs];
}

describe('the tables of a snapshot', () => {
  test('each has one header line and as many cells in every line', () => {
    const tables = snapshotTables(sampleSite());
    expect(Object.keys(tables)).toEqual(['printers.csv', 'supplies.csv', 'alerts.csv', 'jobs.csv']);
    const lines = tables['printers.csv']?.split('\r\n') ?? [];
    expect(lines).toHaveLength(1 + 5 + 1);
    expect(lines[0]).toMatch(/^printer,address,model,serial,/);
    expect(lines[2]).toMatch(
      /^front-desk,192\.0\.2\.21,Model 21,SN-0021,"Ground floor, beside the lift",true,media,media-empty,Tray 2,sure,/,
    );
    expect(tables['supplies.csv']).toContain(
      'front-desk,5,Waste toner container,wasteToner,receptacleThatIsFilled,,2100,6000,impressions,35,measured,ok\r\n',
    );
    expect(tables['alerts.csv']).toContain(
      'front-desk,snmp,3,critical,input,2,Tray 2,subunitEmpty,13,untrained,5,Tray 2 is empty,media-empty-error,123456\r\n',
    );
    expect(tables['jobs.csv']).toBe(
      'printer,queue,job,state,reasons,name,user,k_octets,created_at,waiting_seconds\r\n',
    );
  });

  test('jobs come from the queues that were asked; no cell is a formula or an escape sequence', () => {
    const why = sampleWhy({ evidence: spoolerRecords() });
    const snapshot = buildSnapshot([{ why, printer: samplePrinter() }], { site: 's', madeAt: why.askedAt });
    const [, line] = snapshotTables(snapshot)['jobs.csv']?.split('\r\n') ?? [];
    expect(line).toBe(
      `front-desk,${QUEUE},7,pending-held,job-hold-until-specified,"'=HYPERLINK(""x""),\\x1b[2J",reader,120,2026-01-31T08:54:20.000Z,340`,
    );
  });

  test('hostile text adds no line', () => {
    const tables = snapshotTables(hostileSite());
    expect(tables['printers.csv']?.split(/\r\n|\r|\n/)).toHaveLength(1 + 7 + 1);
    for (const text of Object.values(tables)) expect(text).not.toMatch(/[\u001b\u202e]/);
  });
});

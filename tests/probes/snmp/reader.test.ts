import { Buffer } from 'node:buffer';
import { describe, expect, test } from 'vitest';
import { objectNamed, TABLES } from '../../../src/probes/snmp/plan.js';
import { MAX_ROWS } from '../../../src/probes/snmp/table.js';
import { integer, NULL, octets, tlv } from '../../net/ber.js';
import {
  type Binding,
  type Handler,
  honest,
  type Manners,
  type Request,
  response,
  Tree,
} from '../../net/snmp-agent.js';
import { printerObjects } from '../../net/snmp-printer.js';
import { PUBLIC, PUBLIC_1, type Reading, readFrom } from './reading.js';

const ADDRESS = '127.32.4.1';
const objects = printerObjects();
const printer = new Tree(objects);
const LEVEL = objectNamed('prtMarkerSuppliesLevel').oid;
const TEXT = objectNamed('prtConsoleDisplayBufferText').oid;
const NAME = objectNamed('prtInputName').oid;

const polite = await readFrom(ADDRESS, (request) => honest(printer, request));

function rowsOf(reading: Reading): unknown {
  return Object.fromEntries(reading.records.slice(1).map(({ what, value }) => [what, value]));
}

/** An honest agent but for what `change` does to each binding. */
function bent(change: (binding: Binding, request: Request) => Binding): Handler {
  return (request) => {
    const names = request.kind === 'bulk' ? printer.bulk(request) : request.oids.map((name) => printer.next(name));
    const bindings = request.kind === 'get' ? request.oids.map((name) => printer.get(name)) : names;
    return response(request, { bindings: bindings.map((binding) => change(binding, request)) });
  };
}

describe('an agent that does everything right', () => {
  test('is read in eight questions', () => {
    expect(polite.requests).toBe(8);
    expect(polite.session).toMatchObject({ version: '2c', label: 'community 1', requests: 8, problems: [] });
  });

  test('gives one record for each group and table, all without problems', () => {
    expect(polite.records.map(({ what }) => what)).toEqual([
      'session',
      'system',
      'hrSystem',
      'ppmGeneral',
      ...Object.keys(TABLES),
    ]);
    for (const { value, outcome } of polite.records)
      expect({ outcome, value }).toMatchObject({ outcome: 'answered', value: { problems: [] } });
    expect(polite.table('system').rows['0']).toMatchObject({ sysDescr: 'Value 7', sysUpTime: 7000 });
    expect(Object.keys(polite.table('prtMarkerSuppliesTable').rows)).toHaveLength(7);
    expect(polite.table('hrPrinterTable').rows['1']?.hrPrinterDetectedErrorState).toEqual({
      hex: Buffer.from('Value 1').toString('hex'),
    });
  });

  test('has every value of the planned columns', () => {
    for (const [what, names] of Object.entries(TABLES))
      for (const name of names)
        for (const oid of Object.keys(objects)) {
          const prefix = `${objectNamed(name).oid}.`;
          if (oid.startsWith(prefix)) expect(polite.table(what).rows[oid.slice(prefix.length)]).toHaveProperty(name);
        }
  });
});

describe('agents with manners of their own give the same values', () => {
  test.each<[string, Manners, 'v1' | 'v2c']>([
    ['replies cut at 50 values', { maxValues: 50 }, 'v2c'],
    ['one value in each reply', { maxValues: 1 }, 'v2c'],
    ['datagrams of 1472 octets', { maxOctets: 1472 }, 'v2c'],
    ['datagrams of 484 octets', { maxOctets: 484 }, 'v2c'],
    ['GETBULK ignored', { ignoresBulk: true }, 'v2c'],
    ['version 1 only', { versions: [0] }, 'v1'],
    ['version 1 with datagrams of 484 octets', { versions: [0], maxOctets: 484 }, 'v1'],
  ])('%s', async (_, manners, version) => {
    const credentials = [version === 'v1' ? PUBLIC_1 : PUBLIC];
    // Only where silence is the agent's manner must it be waited for; on a busy machine an answer may take its time.
    const timeoutMs = manners.ignoresBulk === true ? 400 : 5000;
    const limits = { credentials, timeoutMs };
    const reading = await readFrom(ADDRESS, (request) => honest(printer, request, manners), limits);
    expect(rowsOf(reading)).toEqual(rowsOf(polite));
  });

  test('GETBULK ignored: the reading does not wait out all its retries', async () => {
    const handler: Handler = (request) => honest(printer, request, { ignoresBulk: true });
    const reading = await readFrom(ADDRESS, handler, { timeoutMs: 60_000, retries: 1, deadlineMs: 15_000 });
    expect(rowsOf(reading)).toEqual(rowsOf(polite));
    expect(reading.session.problems).toEqual(['the agent does not answer GETBULK: read with GETNEXT']);
  });

  test('GETBULK answered after it was doubted is taken up again', async () => {
    const handler: Handler = (request, from, socket) => {
      if (request.kind === 'get') return honest(printer, request);
      const wait = request.kind === 'bulk' ? 700 : 200;
      setTimeout(() => {
        const reply = honest(printer, request) ?? '';
        try {
          socket.send(reply, from.port, from.address);
        } catch {
          // The reading was over before this answer.
        }
      }, wait);
      return undefined;
    };
    const reading = await readFrom(ADDRESS, handler, { timeoutMs: 5000 });
    expect(rowsOf(reading)).toEqual(rowsOf(polite));
    expect(reading.session.problems).toEqual([]);
  });

  test('a version 1 agent that calls every failure genErr, with no index', async () => {
    const handler: Handler = (request) => {
      const known = request.oids.every((name) => printer.next(name)[1].length > 2);
      return known ? honest(printer, request) : response(request, { status: 5 });
    };
    const reading = await readFrom(ADDRESS, handler, { credentials: [PUBLIC_1], timeoutMs: 5000 });
    expect(reading.table('prtMarkerSuppliesTable').rows).toEqual(polite.table('prtMarkerSuppliesTable').rows);
  });

  test('an agent that serves one at a time, slowly, is asked less at once', async () => {
    let busy = 0;
    let most = 0;
    const handler: Handler = (request, from, socket) => {
      most = Math.max(most, ++busy);
      setTimeout(() => {
        busy--;
        const reply = honest(printer, request);
        if (reply) socket.send(reply, from.port, from.address);
      }, 320);
      return undefined;
    };
    const reading = await readFrom(ADDRESS, handler, { timeoutMs: 8000 });
    expect(rowsOf(reading)).toEqual(rowsOf(polite));
    expect(most).toBeLessThanOrEqual(2);
  });

  test('no Printer-MIB: the system groups and empty tables', async () => {
    const host = new Tree(
      Object.fromEntries(Object.entries(objects).filter(([oid]) => !oid.startsWith('1.3.6.1.2.1.43.'))),
    );
    const reading = await readFrom(ADDRESS, (request) => honest(host, request));
    expect(reading.table('prtGeneralTable')).toEqual({ kind: 'table', rows: {}, problems: [] });
    expect(reading.outcome('prtGeneralTable')).toBe('answered');
    expect(Object.keys(reading.table('ifTable').rows)).toEqual(['1', '2']);
  });

  test('a finisher and a port monitor are read where the agent has them', async () => {
    const extra = Object.keys(TABLES).filter((what) => /^(fin|ppm)/.test(what));
    const more = { ...objects, [`${objectNamed('ppmGeneralNumberOfPrinters').oid}.0`]: integer(1, 0x42) };
    for (const name of extra.flatMap((what) => TABLES[what] ?? []))
      for (const row of ['1.1', '1.2']) more[`${objectNamed(name).oid}.${row}`] = integer(4);
    const tree = new Tree(more);
    const reading = await readFrom(ADDRESS, (request) => honest(tree, request));
    expect(reading.requests).toBe(10);
    expect(reading.table('ppmGeneral').rows).toEqual({ '0': { ppmGeneralNumberOfPrinters: 1 } });
    for (const what of extra) {
      const row = Object.fromEntries((TABLES[what] ?? []).map((name) => [name, 4]));
      expect(reading.table(what).rows).toEqual({ '1.1': row, '1.2': row });
    }
  });

  test('counters that come as INTEGER', async () => {
    const oids = ['prtMarkerLifeCount', 'prtMarkerPowerOnCount'].map((name) => `${objectNamed(name).oid}.1.1`);
    const tree = new Tree({ ...objects, ...Object.fromEntries(oids.map((oid) => [oid, integer(4711)])) });
    const reading = await readFrom(ADDRESS, (request) => honest(tree, request));
    expect(reading.table('prtMarkerTable').rows['1.1']).toMatchObject({
      prtMarkerLifeCount: 4711,
      prtMarkerPowerOnCount: 4711,
    });
  });

  test('one object that the agent can not tell does not hide the others', async () => {
    const handler: Handler = (request) => {
      const at = request.oids.findIndex((oid) => oid.startsWith(NAME));
      return at >= 0 ? response(request, { status: 5, index: at + 1 }) : honest(printer, request);
    };
    const reading = await readFrom(ADDRESS, handler);
    const inputs = reading.table('prtInputTable');
    expect(inputs.problems).toEqual(['prtInputName: answered genErr']);
    expect(inputs.cut).toBe(true);
    expect(Object.keys(inputs.rows)).toHaveLength(5);
    expect(inputs.rows['1.1']).not.toHaveProperty('prtInputName');
    expect(inputs.rows['1.1']).toHaveProperty('prtInputDescription');
  });

  test('several printers behind one agent keep their own rows', async () => {
    const two = { ...objects };
    for (const [oid, value] of Object.entries(objects)) {
      const match = /^(1\.3\.6\.1\.2\.1\.(?:43\.(?:\d+\.){4}|25\.3\.[25]\.1\.\d+\.))1(\.\d+)?$/.exec(oid);
      if (match) for (const device of [3, 257]) two[`${match[1]}${device}${match[2] ?? ''}`] = value;
    }
    const tree = new Tree(two);
    const reading = await readFrom(ADDRESS, (request) => honest(tree, request));
    expect(Object.keys(reading.table('prtGeneralTable').rows)).toEqual(['1', '3', '257']);
    expect(Object.keys(reading.table('prtMarkerSuppliesTable').rows)).toHaveLength(21);
    expect(reading.records.every(({ value }) => (value as { problems: string[] }).problems.length === 0)).toBe(true);
  });

  test('holes stay holes', async () => {
    const holed = { ...objects };
    delete holed[`${LEVEL}.1.3`];
    delete holed[`${LEVEL}.1.7`];
    delete holed[`${NAME}.1.1`];
    const tree = new Tree(holed);
    const reading = await readFrom(ADDRESS, (request) => honest(tree, request, { maxValues: 20 }));
    const { rows } = reading.table('prtMarkerSuppliesTable');
    expect(Object.keys(rows)).toHaveLength(7);
    for (const [instance, row] of Object.entries(rows))
      expect('prtMarkerSuppliesLevel' in row).toBe(!['1.3', '1.7'].includes(instance));
    expect(rows['1.4']?.prtMarkerSuppliesLevel).toBe(4);
    expect(reading.table('prtInputTable').rows['1.1']).not.toHaveProperty('prtInputName');
  });

  test('rows that come and go between replies do not mix columns', async () => {
    const alerts = TABLES.prtAlertTable ?? [];
    let asked = 0;
    const handler: Handler = (request) => {
      asked++;
      const now: Record<string, Buffer> = { ...objects };
      const row = asked % 3;
      for (const name of alerts) {
        delete now[`${objectNamed(name).oid}.1.${row + 1}`];
        now[`${objectNamed(name).oid}.1.${20 + row}`] = integer(20 + row);
      }
      return honest(new Tree(now), request, { maxValues: 5 });
    };
    const { rows } = (await readFrom(ADDRESS, handler)).table('prtAlertTable');
    for (const [instance, row] of Object.entries(rows)) {
      const number = Number(instance.split('.')[1]);
      for (const [name, value] of Object.entries(row)) {
        const known = objects[`${objectNamed(name).oid}.1.${number}`];
        if (number >= 20) expect(value).toBe(number);
        else expect(known).toBeDefined();
        if (name === 'prtAlertCode' && number < 20) expect(value).toBe(number);
      }
    }
  });
});

describe('agents that do wrong are read as far as they go', () => {
  test('the same OID for ever', async () => {
    const stuck = `${LEVEL}.1.2`;
    const reading = await readFrom(
      ADDRESS,
      bent(([oid, value], request) =>
        request.kind !== 'get' && oid.startsWith(`${LEVEL}.1.`) ? [stuck, value] : [oid, value],
      ),
    );
    const supplies = reading.table('prtMarkerSuppliesTable');
    expect(supplies.problems).toEqual([
      `prtMarkerSuppliesLevel: the agent went back from ${stuck} to ${stuck}: the rest is left out`,
    ]);
    expect(supplies.cut).toBe(true);
    expect(supplies.rows['1.3']).toHaveProperty('prtMarkerSuppliesDescription');
    expect(reading.table('prtInputTable')).toEqual(polite.table('prtInputTable'));
  });

  test('an agent that begins again behind its end', async () => {
    const end = objectNamed('prtAlertTime').oid;
    const last: Binding = ['1.3.6.1.2.1.1.1.0', octets('again')];
    const tree = new Tree(
      Object.fromEntries(
        Object.entries(objects).filter(([oid]) => oid <= `${end}.9` || /^1\.3\.6\.1\.2\.1\.(1|2|25)\./.test(oid)),
      ),
    );
    const handler: Handler = (request) => {
      if (request.kind === 'get') return honest(tree, request);
      const bindings = tree
        .bulk(request)
        .map((binding) => (binding[1].length === 2 && binding[1][0] === 0x82 ? last : binding));
      return response(request, { bindings });
    };
    const alerts = (await readFrom(ADDRESS, handler)).table('prtAlertTable');
    expect(Object.keys(alerts.rows)).toHaveLength(4);
  });

  test('an endless table ends at the cap', async () => {
    const handler: Handler = (request) => {
      if (request.kind === 'get') return honest(printer, request);
      const bindings: Binding[] = [];
      let names = [...request.oids];
      for (let i = 0; i < request.maxRepetitions; i++) {
        names = names.map((name) => {
          const row = /^(.*)\.1\.(\d+)$/.exec(name);
          if (!name.startsWith(TEXT)) return printer.next(name)[0];
          return name === TEXT ? `${TEXT}.1.1` : `${row?.[1]}.1.${Number(row?.[2]) + 1}`;
        });
        bindings.push(
          ...names.map((name): Binding => [name, name.startsWith(TEXT) ? octets('again') : printer.get(name)[1]]),
        );
      }
      return response(request, { bindings });
    };
    const reading = await readFrom(ADDRESS, handler);
    const lines = reading.table('prtConsoleDisplayBufferTable');
    expect(Object.keys(lines.rows)).toHaveLength(MAX_ROWS);
    expect(lines.problems).toEqual([`prtConsoleDisplayBufferText: more than ${MAX_ROWS} rows: the rest is left out`]);
    expect(reading.requests).toBeLessThan(60);
  });

  test('an undecodable value costs its own column only', async () => {
    const reading = await readFrom(
      ADDRESS,
      bent(([oid, value]) => [oid, oid.startsWith(`${NAME}.`) ? tlv(0x47, Buffer.from([1])) : value]),
    );
    const inputs = reading.table('prtInputTable');
    expect(inputs.problems).toContain('prtInputName: its values can not be decoded');
    expect(inputs.rows['1.3']).toHaveProperty('prtInputCurrentLevel');
    expect(inputs.rows['1.3']).not.toHaveProperty('prtInputName');
  });

  test('replies cut short', async () => {
    const handler: Handler = (request) => {
      const reply = honest(printer, request);
      return request.kind === 'bulk' && request.oids.some((oid) => oid.startsWith(LEVEL))
        ? reply?.subarray(0, -3)
        : reply;
    };
    const reading = await readFrom(ADDRESS, handler);
    expect(reading.table('prtMarkerSuppliesTable').problems.join()).toMatch(/damaged reply/);
    expect(reading.table('prtMarkerSuppliesTable').rows['1.1']).toHaveProperty('prtMarkerSuppliesDescription');
    expect(reading.table('prtInputTable').rows).toEqual(polite.table('prtInputTable').rows);
  });

  test('huge strings are cut and told', async () => {
    const reading = await readFrom(
      ADDRESS,
      bent(([oid, value]) => [oid, oid === `${TEXT}.1.1` ? octets('x'.repeat(20_000)) : value]),
    );
    const lines = reading.table('prtConsoleDisplayBufferTable');
    expect(lines.rows['1.1']?.prtConsoleDisplayBufferText).toHaveLength(4096);
    expect(lines.problems).toEqual(['prtConsoleDisplayBufferText.1.1 has 20000 octets: the first 4096 are kept']);
  });

  test('endless large replies end at the cap on the whole', async () => {
    const big = octets('x'.repeat(4000));
    const reading = await readFrom(
      ADDRESS,
      (request) => {
        if (request.kind === 'get') return honest(printer, request);
        const bindings = request.oids.map((oid): Binding => {
          const column =
            Object.values(TABLES)
              .flat()
              .map((name) => objectNamed(name).oid)
              .find((known) => `${oid}.`.startsWith(`${known}.`)) ?? oid;
          return [`${column}.1.${Number(oid.slice(column.length + 3) || 0) + 1}`, big];
        });
        return response(request, { bindings: bindings.slice(0, 14) });
      },
      { deadlineMs: 25_000 },
    );
    expect(reading.records.flatMap(({ value }) => (value as { problems: string[] }).problems).join()).toMatch(
      /too much|questions/,
    );
  });

  test('empty answers', async () => {
    const handler: Handler = (request) =>
      request.kind === 'get' ? honest(printer, request) : response(request, { bindings: [] });
    const reading = await readFrom(ADDRESS, handler);
    expect(reading.outcome('prtInputTable')).toBe('garbled');
    expect(reading.table('prtInputTable')).toMatchObject({ rows: {}, cut: true });
    expect(reading.outcome('system')).toBe('answered');
  });

  test('NULL values are no values, but rows go on', async () => {
    const reading = await readFrom(
      ADDRESS,
      bent(([oid, value]) => [oid, oid.startsWith(`${LEVEL}.`) ? NULL : value]),
    );
    expect(reading.table('prtMarkerSuppliesTable').rows['1.2']).not.toHaveProperty('prtMarkerSuppliesLevel');
    expect(reading.table('prtMarkerSuppliesTable').rows['1.2']).toHaveProperty('prtMarkerSuppliesType');
  });

  test('an agent that dies while it is read', async () => {
    let count = 0;
    const handler: Handler = (request) => (++count <= 4 ? honest(printer, request) : undefined);
    const reading = await readFrom(ADDRESS, handler, { timeoutMs: 100 });
    expect(reading.table('hrPrinterTable')).toEqual(polite.table('hrPrinterTable'));
    expect(reading.outcome('prtInterpreterTable')).toBe('silent');
    expect(reading.table('prtInterpreterTable').cut).toBe(true);
  });

  test('an agent that ends its privileges half way', async () => {
    const handler: Handler = (request) =>
      request.kind === 'get' ? honest(printer, request) : response(request, { status: 16, index: 1 });
    const reading = await readFrom(ADDRESS, handler);
    expect(reading.outcome('prtInputTable')).toBe('denied');
    expect(reading.session.version).toBe('2c');
  });
});

describe('time', () => {
  test('the deadline ends a reading, and what was read stays', async () => {
    let count = 0;
    const handler: Handler = (request) => (++count <= 2 ? honest(printer, request) : undefined);
    const started = performance.now();
    const reading = await readFrom(ADDRESS, handler, { timeoutMs: 60_000, deadlineMs: 500 });
    expect(performance.now() - started).toBeLessThan(10_000);
    expect(reading.table('hrPrinterTable')).toEqual(polite.table('hrPrinterTable'));
    expect(reading.table('prtInputTable')).toMatchObject({
      rows: {},
      cut: true,
      problems: ['the time for the reading ran out'],
    });
  });
});

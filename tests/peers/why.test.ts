import { Buffer } from 'node:buffer';
import { createServer, type Server } from 'node:net';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { SnmpRows, SnmpValue } from '../../src/model/evidence.js';
import type { WhyDocument } from '../../src/model/why.js';
import { OBJECTS } from '../../src/registry/objects.generated.js';
import { outfeed } from '../commands/captured-io.js';
import { type SnmpPrinter, snmpPrinter } from '../ladder/bundle.js';
import { integer, octets, oid } from '../net/ber.js';
import { Cupsd } from './cupsd.js';
import { describeWithPeers } from './peer.js';
import { type Snmpd, startSnmpd } from './snmpd.js';

function encoded(syntax: string, value: SnmpValue): Buffer {
  if (typeof value === 'number') return integer(value, /^(TimeTicks|TimeStamp)/.test(syntax) ? 0x43 : 0x02);
  if (typeof value === 'string') return octets(value);
  if ('oid' in value) return oid(value.oid);
  return octets(Buffer.from('hex' in value ? value.hex : value.ip, 'hex'));
}

/** OID → encoded value, for the system's agent to serve. */
function objectsOf(tables: Readonly<Record<string, SnmpRows>>): Record<string, Buffer> {
  const entries = Object.values(tables).flatMap((rows) =>
    Object.entries(rows).flatMap(([instance, cells]) =>
      Object.entries(cells).flatMap(([name, value]) => {
        const object = OBJECTS[name];
        return object ? [[`${object.oid}.${instance}`, encoded(object.syntax, value)] as const] : [];
      }),
    ),
  );
  return Object.fromEntries(entries);
}

interface State {
  readonly name: string;
  readonly printer: SnmpPrinter;
  readonly verdict: string;
  readonly exit: number;
  readonly component?: string;
}

/** Severities, groups and codes: IANA-PRINTER-MIB. Status pairs: RFC 3805 2.2.13.2. */
const STATES: readonly State[] = [
  { name: 'all well', printer: {}, verdict: 'application/nothing-wrong-found', exit: 0 },
  {
    name: 'cover open',
    printer: {
      device: 5,
      printer: 1,
      bits: '0800',
      covers: [{ name: 'Front cover', status: 3 }],
      alerts: [{ severity: 3, group: 6, groupIndex: 1, code: 3 }],
    },
    verdict: 'device/cover-open',
    exit: 1,
    component: 'Front cover',
  },
  {
    name: 'jam',
    printer: { device: 5, printer: 1, bits: '0400', alerts: [{ severity: 3, group: 13, groupIndex: 1, code: 8 }] },
    verdict: 'device/media-jam',
    exit: 1,
  },
  {
    name: 'the only tray is empty',
    printer: {
      device: 5,
      printer: 1,
      bits: '4004',
      trays: [{ name: 'Tray 1', level: 0 }],
      alerts: [{ severity: 3, group: 8, groupIndex: 1, code: 13 }],
    },
    verdict: 'media/media-empty',
    exit: 1,
    component: 'Tray 1',
  },
  {
    name: 'one of two trays is empty',
    printer: {
      device: 3,
      printer: 3,
      bits: '0004',
      trays: [
        { name: 'Tray 1', level: 0 },
        { name: 'Tray 2', level: 90 },
      ],
      alerts: [{ severity: 4, group: 8, groupIndex: 1, code: 13 }],
    },
    verdict: 'application/nothing-wrong-found',
    exit: 0,
  },
  {
    name: 'toner empty',
    printer: {
      device: 5,
      printer: 1,
      bits: '1000',
      supplies: [{ name: 'Black toner', level: 0 }],
      alerts: [{ severity: 3, group: 11, groupIndex: 1, code: 1101 }],
    },
    verdict: 'supplies/supply-empty',
    exit: 1,
    component: 'Black toner',
  },
  {
    name: 'toner low only',
    printer: {
      device: 3,
      printer: 3,
      bits: '2000',
      supplies: [{ name: 'Black toner', level: 4 }],
      alerts: [{ severity: 4, group: 11, groupIndex: 1, code: 1104 }],
    },
    verdict: 'application/nothing-wrong-found',
    exit: 0,
  },
  {
    name: 'waste full',
    printer: {
      device: 5,
      printer: 1,
      bits: '0100',
      supplies: [
        { name: 'Black toner', level: 60 },
        { name: 'Waste box', type: 4, class: 4, level: 0 },
      ],
      alerts: [{ severity: 3, group: 11, groupIndex: 2, code: 1109 }],
    },
    verdict: 'supplies/waste-full',
    exit: 1,
    component: 'Waste box',
  },
  { name: 'down without a word', printer: { device: 5, printer: 1 }, verdict: 'device/stopped', exit: 1 },
];

function listen(address: string, port: number): Promise<Server> {
  const server = createServer((socket) => socket.on('error', () => {}));
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen(port, address, () => resolve(server));
  });
}

async function why(...argv: string[]): Promise<{ code: number; document: WhyDocument }> {
  const { code, out } = await outfeed(['why', ...argv, '--json', '--timeout', '1500', '--retries', '0']);
  return { code, document: JSON.parse(out) as WhyDocument };
}

describeWithPeers("why, against the system's SNMP agent", ['snmpd', 'snmpgetnext'], () => {
  describe.each(STATES.map((state, i) => [state.name, state, `127.37.1.${i + 1}`] as const))(
    '%s',
    (_n, state, address) => {
      let agent: Snmpd;
      let raw: Server;
      beforeAll(async () => {
        raw = await listen(address, 9100);
        agent = await startSnmpd(address, objectsOf(snmpPrinter(state.printer)), ['rocommunity public']);
      }, 30_000);
      afterAll(async () => {
        raw?.close();
        await agent?.stop();
      });

      test(`${state.verdict}, exit ${state.exit}`, async () => {
        const { code, document } = await why(address, '--snmp-port', String(agent.port));
        expect(`${document.verdict.layer}/${document.verdict.cause}`).toBe(state.verdict);
        expect(document.verdict.component).toBe(state.component);
        expect(code).toBe(state.exit);
        expect(document.printer.serial).toBe('SP300-1');
      });
    },
  );
});

describeWithPeers("why, against the system's spooler", ['cupsd', 'lpadmin', 'cupsdisable', 'cupsreject'], () => {
  const PRINTER = '127.37.2.1';
  let cupsd: Cupsd;
  let raw: Server;
  beforeAll(async () => {
    cupsd = await Cupsd.start('127.0.0.1');
    raw = await listen(PRINTER, 9100);
    const queue = (name: string, device: string) => cupsd.tool('lpadmin', '-p', name, '-E', '-v', device, '-m', 'raw');
    await queue('well', `socket://${PRINTER}:9100`);
    await queue('paused', `socket://${PRINTER}:9100`);
    await queue('rejecting', `socket://${PRINTER}:9100`);
    await queue('astray', 'socket://127.37.2.77:9100');
    await cupsd.tool('cupsdisable', 'paused');
    await cupsd.tool('cupsreject', 'rejecting');
  }, 30_000);
  afterAll(async () => {
    raw?.close();
    await cupsd?.stop();
  });

  test.each([
    ['paused', 'queue-paused'],
    ['rejecting', 'queue-rejecting'],
    ['astray', 'queue-points-elsewhere'],
    ['missing', 'queue-absent'],
  ])('queue %s', async (queue, cause) => {
    const { code, document } = await why(PRINTER, '--queue', cupsd.uri(queue));
    expect(document.verdict).toMatchObject({ layer: 'queue', cause });
    expect(code).toBe(1);
  });

  test('a queue that is well is clear, and is not enough to call the printer well', async () => {
    const { code, document } = await why(PRINTER, '--queue', cupsd.uri('well'));
    expect(document.layers.find((l) => l.layer === 'queue')?.state).toBe('clear');
    expect(code).toBe(3);
  });

  test('a spooler that is not there', async () => {
    const { document } = await why(PRINTER, '--queue', 'ipp://127.37.2.10:6311/printers/well');
    expect(document.verdict).toMatchObject({ layer: 'queue', cause: 'spooler-down', certainty: 'sure' });
  });
});

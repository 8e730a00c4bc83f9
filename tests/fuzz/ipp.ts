import { Buffer } from 'node:buffer';
import { Scenario } from '../../src/demo/device.js';
import { printerItems } from '../../src/demo/ipp-attributes.js';
import { GROUP, type IppGroup, type IppItem, item, writeReply } from '../../src/demo/ipp-writer.js';
import type { HttpRequest, HttpResult, Net } from '../../src/net/net.js';
import { ippProbe } from '../../src/probes/ipp/ipp.js';
import { decodeIpp } from '../../src/wire/ipp/decode.js';
import { readReply } from '../../src/wire/ipp/reply.js';
import values from '../wire/ipp/check-values.json' with { type: 'json' };
import { mutate } from './mutate.js';
import { ADDRESS, type Case, type FuzzTarget, mustBeSound } from './target.js';

const URI = `ipp://${ADDRESS}/ipp/print`;
const PRINTER = Scenario.parse({
  name: 'desk',
  alerts: [{ group: 'input', index: 1, code: 'subunitEmpty', description: 'Tray 1 is empty' }],
});
const OPERATION = {
  tag: GROUP.operation,
  items: [item('attributes-charset', 'charset', 'utf-8'), item('attributes-natural-language', 'naturalLanguage', 'en')],
};
/** PWG 5100.13 attributes beside those: keys of the Finisher MIB (RFC 3806), covers, display. */
const MORE = [
  item(
    'printer-finisher',
    'octetString',
    ...[
      'type=stapler;unit=items;maxcapacity=5000;capacity=200;index=1;presentonoff=on;status=0;',
      'type=puncher;unit=items;maxcapacity=-2;capacity=-3;index=2;presentonoff=off;status=9;',
    ].map((text) => Buffer.from(text)),
  ),
  item('printer-finisher-description', 'text', 'Stapler', 'Puncher'),
  item(
    'printer-finisher-supplies',
    'octetString',
    Buffer.from('type=staples;unit=items;maxcapacity=5000;level=40;index=1;deviceindex=1;'),
  ),
  item('printer-cover', 'octetString', Buffer.from('status=3;index=1;'), Buffer.from('status=4;index=2;')),
  item('printer-cover-description', 'text', 'Front', 'Rear'),
  item('printer-console-display', 'text', 'Load paper', 'Tray 2'),
  item('marker-low-levels', 'integer', 5, -1),
  item('marker-high-levels', 'integer', 100, 95),
];
const PRINTER_GROUP = {
  tag: GROUP.printer,
  items: PRINTER.kind === 'printer' && PRINTER.ipp ? [...printerItems(PRINTER, PRINTER.ipp, URI, 5000), ...MORE] : [],
};
const JOB_GROUP = {
  tag: GROUP.job,
  items: [item('job-id', 'integer', 7), item('job-state', 'enum', 4), item('job-name', 'name', 'Report')],
};

function reply(groups: readonly IppGroup[]): Buffer {
  return writeReply({ version: '2.0', status: 'successful-ok', requestId: 1, groups: [OPERATION, ...groups] });
}

const GET_PRINTER = 0x000b;
/** Operation code (RFC 8011 5.4.15) → a sound reply. */
const SOUND: ReadonlyMap<number, Buffer> = new Map([
  [GET_PRINTER, reply([PRINTER_GROUP])],
  [0x000a, reply([JOB_GROUP, JOB_GROUP])],
  [0x0009, reply([JOB_GROUP])],
  [0x0004, reply([])],
]);
/** A printer of the older kind, whose supplies stand in the marker-* lists alone. */
const MARKERS_ALONE = reply([
  { ...PRINTER_GROUP, items: PRINTER_GROUP.items.filter(({ name }) => !name.startsWith('printer-supply')) },
]);
const VECTORS = values.messages.map((entry) => Buffer.from(entry.hex, 'hex'));
const SEEDS = [...SOUND.values(), MARKERS_ALONE, ...VECTORS];
/** One case in this many goes through the whole probe; the others through the decoder. */
const WHOLE = 12;

function decoder({ draw, served }: Case): void {
  const seed = SEEDS[draw(SEEDS.length)] ?? Buffer.alloc(0);
  const octets = mutate(seed, draw, SEEDS);
  served.push(octets);
  const result = decodeIpp(octets);
  if (result.problems.length > 62) throw new Error(`${result.problems.length} problems`);
  if (result.message === null) return;
  readReply(result.message, { operation: 'Get-Jobs', requestId: 1 });
  const size = JSON.stringify(result).length;
  if (size > 20 * octets.length + 30_000) throw new Error(`${size} characters out of ${octets.length} octets`);
}

function answerTo(request: HttpRequest, { draw, served }: Case, own: Buffer | undefined): HttpResult {
  const code = request.body?.readUInt16BE(2) ?? 0;
  const sound = Buffer.from(
    (code === GET_PRINTER ? (own ?? (draw(3) === 0 ? MARKERS_ALONE : undefined)) : undefined) ??
      SOUND.get(code) ??
      reply([]),
  );
  if (request.body !== undefined) request.body.copy(sound, 4, 4, 8);
  const octets = mutate(sound, draw, SEEDS);
  served.push(octets);
  const status = draw(8) === 0 ? ([400, 401, 404, 426, 500][draw(5)] ?? 200) : 200;
  const headers = { 'content-type': draw(10) === 0 ? 'text/html' : 'application/ipp' };
  return { outcome: 'answered', status, headers, body: octets, tookMs: 1 };
}

/** A server whose answers are spoilt; `more` is what it says of a printer beside its usual words. */
export function answering(one: Case, more: readonly IppItem[] = []): Net['http'] {
  const names = new Set(more.map(({ name }) => name));
  const items = [...PRINTER_GROUP.items.filter(({ name }) => !names.has(name)), ...more];
  const own = more.length > 0 ? reply([{ ...PRINTER_GROUP, items }]) : undefined;
  return async (request) => answerTo(request, one, own);
}

async function wholeProbe(one: Case): Promise<void> {
  const net = {
    now: () => new Date(),
    monotonic: () => performance.now(),
    http: answering(one),
  } as Partial<Net> as Net;
  const target = { label: 'desk', host: ADDRESS, ippUri: URI, snmpPort: 161, printPorts: [], queues: [] };
  const limits = { timeoutMs: 1000, retries: 0, deadlineMs: 3000, credentials: [], user: 'ana' };
  const records = await ippProbe.run(target, net, limits);
  if (records.length > 20 || one.served.length > 200) throw new Error('it asked without end');
  mustBeSound(records);
}

export const ippTarget: FuzzTarget = {
  name: 'ipp',
  share: 0.25,
  run: (one) => (one.draw(WHOLE) === 0 ? wholeProbe(one) : decoder(one)),
};

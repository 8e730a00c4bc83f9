/** What spoilt input once did wrong, as the smallest input that did. Long ones are kept as a piece and how often it is said. */
import { EventEmitter } from 'node:events';
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { modelFileSchema } from '../../src/config/model-file.js';
import { parseConfig, parseStrict } from '../../src/config/parse.js';
import { type Notification, readTraps, type TrapSocket } from '../../src/daemon/outside/traps.js';
import { keywordsOf } from '../../src/facts/attributes.js';
import { hostQueueUri } from '../../src/facts/print-host/queues.js';
import { parseIpNeighbours } from '../../src/net/neighbours/linux.js';
import { parseRouteGet } from '../../src/net/routes/bsd.js';
import { parseIpRoute } from '../../src/net/routes/linux.js';
import { readEventXml } from '../../src/printhost/event-xml.js';
import long from './regressions/long.json' with { type: 'json' };

const kept = (name: string): string => readFileSync(new URL(`./regressions/${name}`, import.meta.url), 'utf8').trim();
/** The unmended readers took minutes or more memory than there is. */
const PATIENCE_MS = 120_000;

const READERS: Readonly<Record<string, (text: string) => unknown>> = {
  config: (text) => problemsOf(parseConfig(text, null)),
  model: (text) => problemsOf(parseStrict(text, modelFileSchema)),
  events: readEventXml,
  keyword: (text) => keywordsOf({ reasons: [{ type: 'keyword', value: text }] } as never, 'reasons'),
  route: (text) => parseRouteGet(text) ?? 'unknown',
};

function problemsOf(reading: object): number {
  return 'problems' in reading ? (reading.problems as readonly unknown[]).length : 0;
}

describe('a piece said again and again', () => {
  test.each(long)('$reader: $name', { timeout: PATIENCE_MS }, ({ reader, head, piece, times, tail }) => {
    const read = READERS[reader]?.(head + piece.repeat(times) + tail);
    expect(read).toBeDefined();
    if (typeof read === 'number') expect(read).toBeGreaterThan(0);
    if (typeof read === 'number') expect(read).toBeLessThanOrEqual(100);
  });
});

describe('what was taken for something else', () => {
  test('a notification with an OID of no octets, or a negative number, names no OID', () => {
    const socket = Object.assign(new EventEmitter(), { send: () => undefined, close: () => undefined });
    const heard: Notification[] = [];
    const credentials = [{ version: '3', user: 'reader', level: 'noAuthNoPriv', label: 'reader' }] as const;
    readTraps(socket as unknown as TrapSocket, 162, { credentials, heard: (one) => heard.push(one) });
    const from = { address: '192.0.2.21', port: 162, family: 'IPv4', size: 0 };
    for (const name of ['trap-empty-oid.hex', 'trap-negative-number.hex']) {
      socket.emit('message', Buffer.from(kept(name), 'hex'), from);
    }
    expect(heard.map(({ what }) => what)).toEqual([null, null]);
  });

  test('an object where a listing has a word', () => {
    expect(parseIpNeighbours(kept('neighbour-state-object.json'))[0]?.state).toBe('absent');
    expect(parseIpRoute(kept('route-type-object.json'))?.reach).toBe('onlink');
  });

  test('a queue of a report whose name is half of a character', () => {
    expect(hostQueueUri('PRINTHOST-1', 'desk \ud800')).toBe('smb://PRINTHOST-1/desk%20%EF%BF%BD');
  });
});

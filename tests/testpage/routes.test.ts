import { linkSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { type AddressInfo, createServer, type Server, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import type { TestPageDocument } from '../../src/model/testpage.js';
import { outfeed } from '../commands/captured-io.js';
import { closed, published } from '../schemas/validator.js';

const HOST = '127.35.65.1';
let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-testpage-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const run = (...argv: string[]) =>
  outfeed(['testpage', ...argv, '--timeout', '300', '--retries', '0', '--quiet'], {
    cwd: folder,
    now: () => new Date('2026-01-31T09:00:00Z'),
  });
async function page(...argv: string[]): Promise<TestPageDocument> {
  const { out, err } = await run(...argv, '--json');
  expect(err).toBe('');
  for (const validate of [published('testpage'), closed('testpage')]) {
    expect(validate(JSON.parse(out)), JSON.stringify(validate.errors)).toBe(true);
  }
  return JSON.parse(out) as TestPageDocument;
}
const written = (name: string) => readFileSync(join(folder, name));

function listening(handler: (socket: Socket) => void): Promise<Server> {
  return new Promise((resolve) => {
    const server = createServer({ allowHalfOpen: true }, handler).listen(0, HOST, () => resolve(server));
  });
}
const portOf = (server: Server): number => (server.address() as AddressInfo).port;

/** A printer daemon by RFC 1179 section 5.2 and 6: queue, then files by their lengths, a zero octet for each yes. */
function lpd(no: string | null, files: Map<string, Buffer>): (socket: Socket) => void {
  return (socket) => {
    let rest = Buffer.alloc(0);
    let open: { name: string; length: number } | undefined;
    let queue = '';
    const step = (): boolean => {
      if (open !== undefined) {
        if (rest.length < open.length + 1) return false;
        files.set(open.name, Buffer.from(rest.subarray(0, open.length)));
        rest = rest.subarray(open.length + 1);
        open = undefined;
      } else {
        const end = rest.indexOf(10);
        if (end < 0) return false;
        const line = rest.subarray(1, end).toString('latin1');
        if (queue === '') queue = line;
        else open = { length: Number(line.split(' ')[0]), name: line.split(' ')[1] ?? '' };
        rest = rest.subarray(end + 1);
      }
      socket.write(Buffer.from([queue === no ? 1 : 0]));
      return true;
    };
    socket.on('data', (bytes) => {
      rest = Buffer.concat([rest, bytes]);
      while (step());
    });
    socket.on('end', () => socket.end());
    socket.on('error', () => undefined);
  };
}

describe('without --print nothing leaves this machine', () => {
  test('no octet, and it says what it would do', async () => {
    let octets = 0;
    const server = await listening((socket) =>
      socket.on('data', (bytes) => (octets += bytes.length)).on('end', () => socket.end()),
    );
    const target = `socket://${HOST}:${portOf(server)}`;
    const { code, out } = await run(target, '--via', 'raw', '--format', 'pdf', '--out', 'page.pdf');
    expect({ code, octets }).toEqual({ code: 0, octets: 0 });
    expect(out).toMatch(/^Nothing was sent\. With --print this test page \(PDF, A4, 1 sheet\) goes by raw to/);
    expect(written('page.pdf').subarray(0, 5).toString()).toBe('%PDF-');
    server.close();
  });

  test('a wrong word is one sentence', async () => {
    for (const argv of [
      ['192.0.2.1', '--via', 'usb'],
      ['192.0.2.1', '--via', 'raw', '--media', 'a3'],
      ['192.0.2.1', '--via', 'raw', '--media', 'constructor'],
      [HOST, '--via', 'raw', '--out', 'no/such/folder/page.pdf'],
      ['192.0.2.1', '--via', 'raw', '--format', 'pcl6'],
    ]) {
      const { code, err } = await run(...argv);
      expect(code).toBe(2);
      expect(err.trim().split('\n')).toHaveLength(1);
    }
  });
});

test('the page is written whole or not at all: what stood there stays until it is', async () => {
  writeFileSync(join(folder, 'before.pdf'), 'an earlier page');
  linkSync(join(folder, 'before.pdf'), join(folder, 'page-again.pdf'));
  expect((await run(HOST, '--via', 'raw', '--format', 'pdf', '--out', 'page-again.pdf')).code).toBe(0);
  expect(written('before.pdf').toString()).toBe('an earlier page');
  const { err } = await run(HOST, '--via', 'raw', '--out', 'no/such/folder/page.pdf');
  expect(err).toMatch(/its folder does not exist; name another place/);
});

describe('by each route the page arrives as it was made', () => {
  test('raw: the very octets, then the end of the connection', async () => {
    const parts: Buffer[] = [];
    const server = await listening((socket) =>
      socket.on('data', (bytes) => parts.push(bytes)).on('end', () => socket.end()),
    );
    const document = await page(`socket://${HOST}:${portOf(server)}`, '--via', 'raw', '--print', '--out', 'raw.pdf');
    expect(document.sent).toMatchObject({ taken: true, job: null });
    expect(Buffer.concat(parts).equals(written('raw.pdf'))).toBe(true);
    expect(document.proves.at(-1)).toBe('language');
    server.close();
  });

  test('LPD: data file and control file; a queue that says no is named', async () => {
    const files = new Map<string, Buffer>();
    const server = await listening(lpd('full', files));
    const uri = (queue: string) => `lpd://${HOST}:${portOf(server)}/${queue}`;
    const document = await page(uri('front'), '--via', 'lpd', '--print', '--format', 'postscript', '--out', 'lpd.ps');
    expect(document.sent?.because).toBe(
      'All of it was taken; only a look into the tray tells whether the page is out.',
    );
    const [data, control] = ['dfA', 'cfA'].map((kind) => [...files].find(([name]) => name.startsWith(kind)));
    expect(data?.[1].equals(written('lpd.ps'))).toBe(true);
    expect(control?.[1].toString()).toContain(`\nl${data?.[0]}\n`);
    const refused = await page(uri('full'), '--via', 'lpd', '--print');
    expect(refused.sent).toMatchObject({ taken: false, because: 'It was not taken: the queue was refused (code 1).' });
    server.close();
  });

  test('nobody there: not taken, exit 1, and what to do', async () => {
    const server = await listening(() => undefined);
    const port = portOf(server);
    await new Promise((resolve) => server.close(resolve));
    const { code, out } = await run(`socket://${HOST}:${port}`, '--via', 'raw', '--print');
    expect(code).toBe(1);
    expect(out).toContain('ECONNREFUSED');
    expect(out).toContain('What stops it: outfeed why');
  });
});

describe('over IPP, from a made-up printer that takes no jobs', () => {
  let device: RunningDevice;
  beforeAll(async () => {
    device = await startDevice({ name: 'front-desk' }, { address: HOST });
  });
  afterAll(() => device.close());

  test('its own no is passed on', async () => {
    const document = await page(
      HOST,
      '--via',
      'ipp',
      '--ipp-uri',
      device.ippUri ?? '',
      '--snmp-port',
      String(device.snmpPort),
      '--print',
      '--format',
      'pdf',
    );
    expect(document.sent?.because).toMatch(/^(It did not take the page: |Job \d+ )/);
  });
});

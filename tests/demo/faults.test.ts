import { createSocket } from 'node:dgram';
import { request as httpRequest } from 'node:http';
import { connect } from 'node:net';
import { connect as tlsConnect } from 'node:tls';
import { describe, expect, test } from 'vitest';
import type { ScenarioInput } from '../../src/demo/device.js';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';

/** Get-Printer-Attributes, version 2.0, request 1, with the two attributes that RFC 8011 4.1.4 wants first. */
const ASK = Buffer.concat([
  Buffer.from([2, 0, 0, 0x0b, 0, 0, 0, 1, 1, 0x47, 0, 18]),
  Buffer.from('attributes-charset\u0000\u0005utf-8', 'latin1'),
  Buffer.from([0x48, 0, 27]),
  Buffer.from('attributes-natural-language\u0000\u0002en', 'latin1'),
  Buffer.from([3]),
]);

interface Got {
  readonly status: number | null;
  readonly headers: Readonly<Record<string, string | string[] | undefined>>;
  readonly body: Buffer;
  readonly broke: string | null;
}

/** One POST; stops after 64 KiB or `patience` ms, so that silence and endless bodies end too. */
function post(device: RunningDevice, path = '/ipp/print', body = ASK, patience = 8_000): Promise<Got> {
  return new Promise((resolve) => {
    const chunks: Buffer[] = [];
    let status: number | null = null;
    let headers: Got['headers'] = {};
    const end = (broke: string | null) => {
      clearTimeout(timer);
      request.destroy();
      resolve({ status, headers, body: Buffer.concat(chunks), broke });
    };
    const request = httpRequest({
      host: '127.0.0.1',
      port: device.ippPort ?? 0,
      path,
      method: 'POST',
      headers: { 'content-type': 'application/ipp', 'content-length': body.length },
    });
    const timer = setTimeout(() => end('time'), patience);
    request.on('error', (error: NodeJS.ErrnoException) => end(error.code ?? error.message));
    request.on('response', (response) => {
      status = response.statusCode ?? null;
      headers = response.headers;
      response.on('data', (chunk: Buffer) => {
        chunks.push(chunk);
        if (Buffer.concat(chunks).length > 65_536) end('long');
      });
      response.on('error', (error: NodeJS.ErrnoException) => end(error.code ?? error.message));
      response.on('end', () => end(null));
    });
    request.end(body);
  });
}

async function faulty(
  ipp: NonNullable<Exclude<ScenarioInput, { kind: 'other' | 'spooler' }>['ipp']>,
  patience?: number,
): Promise<Got> {
  const device = await startDevice({ name: 'faulty', ipp });
  try {
    return await post(device, '/ipp/print', ASK, patience);
  } finally {
    await device.close();
  }
}

describe('faults of an IPP server', () => {
  test.each([401, 403, 404, 426, 500])('HTTP %i with a page in place of IPP', async (httpStatus) => {
    const got = await faulty({ fault: { httpStatus } });
    expect(got.status).toBe(httpStatus);
    expect(got.headers['content-type']).toMatch(/^text\/html/);
    expect(got.headers['www-authenticate'] !== undefined).toBe(httpStatus === 401);
  });

  test('bodies: empty, page, garbage, cut, endless', async () => {
    const empty = await faulty({ fault: { body: 'empty' } });
    expect([empty.status, empty.headers['content-type'], empty.body.length]).toEqual([200, 'application/ipp', 0]);
    const page = await faulty({ fault: { body: 'html' } });
    expect([page.status, page.body.toString('latin1', 0, 9)]).toEqual([200, '<!doctype']);
    const garbage = await faulty({ fault: { body: 'garbage' } });
    expect([garbage.status, garbage.broke]).toEqual([200, null]);
    // The first attribute claims a name of 65,535 octets: longer than all that follows.
    expect(garbage.body.readUInt16BE(10)).toBeGreaterThan(garbage.body.length);
    expect((await faulty({ fault: { body: 'cut' } })).broke).toBe('ECONNRESET');
    expect((await faulty({ fault: { body: 'endless' } })).broke).toBe('long');
  });

  test('transport: silence and reset', async () => {
    expect((await faulty({ fault: { transport: 'silent' } }, 300)).broke).toBe('time');
    expect((await faulty({ fault: { transport: 'reset' } })).broke).toBe('ECONNRESET');
  });

  test('a fault may strike one operation only', async () => {
    const got = await faulty({ fault: { httpStatus: 401, operations: ['Validate-Job'] } });
    expect(got.status).toBe(200);
  });

  test('only IPP/1.1: another major version is refused (RFC 8011 4.1.8)', async () => {
    const got = await faulty({ versions: ['1.1'] });
    // server-error-version-not-supported is 0x0503 (RFC 8011 appendix B.1.5.4).
    expect([...got.body.subarray(0, 4)]).toEqual([1, 1, 0x05, 0x03]);
  });

  test('another path and what is no IPP', async () => {
    const device = await startDevice({ name: 'strict' });
    expect((await post(device, '/ipp')).status).toBe(404);
    expect((await post(device, '/ipp/print', Buffer.from('hello, printer'))).status).toBe(400);
    await device.close();
  });

  test.each(['self-signed', 'expired'] as const)('TLS with a certificate that is %s', async (tls) => {
    const device = await startDevice({ name: 'boathouse', ipp: { tls } });
    expect(device.ippUri).toMatch(/^ipps:/);
    const certificate = await new Promise<{ subject: unknown; valid_to: string }>((resolve, reject) => {
      const socket = tlsConnect({ host: '127.0.0.1', port: device.ippPort ?? 0, rejectUnauthorized: false }, () => {
        resolve(socket.getPeerCertificate());
        socket.destroy();
      }).on('error', reject);
    });
    await device.close();
    expect(certificate.subject).toMatchObject({ CN: 'Sandpiper 300 mono' });
    expect(certificate.valid_to).toMatch(tls === 'expired' ? /2019/ : /2049/);
  });
});

test('closes at once, with a caller in the middle of its TLS handshake and another that waits for an answer', async () => {
  const device = await startDevice({ name: 'closing', ipp: { tls: 'self-signed' } });
  const mute = await startDevice({ name: 'mute', ipp: { fault: { transport: 'silent' } } });
  const half = connect({ host: '127.0.0.1', port: device.ippPort ?? 0 }).on('error', () => undefined);
  await new Promise((resolve) => half.once('connect', resolve));
  const waiting = post(mute);
  const ended = new Promise((resolve) => half.once('close', resolve));
  await Promise.all([device.close(), mute.close()]);
  await Promise.all([ended, waiting]);
});

/** GET of sysName.0, SNMPv2c, community public, request-id 1 (RFC 3416 section 3). */
const GET = Buffer.from('302602010104067075626c6963a019020101020100020100300e300c06082b060102010105000500', 'hex');

async function snmpReply(fault: 'silent' | 'garbage' | 'repeat' | 'cut' | undefined): Promise<Buffer | null> {
  const device = await startDevice({ name: 'faulty', ...(fault ? { snmp: { fault } } : {}) });
  const socket = createSocket('udp4');
  try {
    return await new Promise((resolve) => {
      socket.once('message', resolve);
      setTimeout(() => resolve(null), fault === 'silent' ? 300 : 8_000).unref();
      socket.send(GET, device.snmpPort ?? 0, '127.0.0.1');
    });
  } finally {
    socket.close();
    await device.close();
  }
}

describe('faults of an SNMP agent', () => {
  test('silent, garbage, repeat, cut', async () => {
    const sound = await snmpReply(undefined);
    expect(sound?.includes('faulty')).toBe(true);
    expect(await snmpReply('silent')).toBeNull();
    expect((await snmpReply('garbage'))?.[0]).not.toBe(0x30);
    expect((await snmpReply('cut'))?.length).toBeLessThan(sound?.length ?? 0);
    const repeat = await snmpReply('repeat');
    expect(repeat?.includes(Buffer.from('06082b06010201010500', 'hex'))).toBe(true);
  });

  test('stays up through what is no request', async () => {
    const device = await startDevice({ name: 'hardy' });
    const socket = createSocket('udp4');
    const port = device.snmpPort ?? 0;
    for (let length = 0; length < GET.length; length++) socket.send(GET.subarray(0, length), port, '127.0.0.1');
    const answered = new Promise((resolve) => socket.once('message', resolve));
    socket.send(GET, port, '127.0.0.1');
    await answered;
    expect(device.received().snmpRequests).toBe(1);
    socket.close();
    await device.close();
  });
});

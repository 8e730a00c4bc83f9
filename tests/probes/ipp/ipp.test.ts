import { describe, expect, test } from 'vitest';
import type { IppExchangeValue, Observation } from '../../../src/model/evidence.js';
import type { Target } from '../../../src/model/target.js';
import { createSystemNet } from '../../../src/net/system-net.js';
import { PRINTER_ATTRIBUTES } from '../../../src/probes/ipp/attributes.js';
import { ippProbe } from '../../../src/probes/ipp/ipp.js';
import type { Limits } from '../../../src/probes/probe.js';
import { type Answer, rawServer, reply } from '../../net/raw-server.js';
import {
  type Handler,
  HEALTHY,
  HOST,
  healthy,
  ippReply,
  ippServer,
  limits,
  lines,
  sendIpp,
  status,
  target,
  value,
} from './office.js';

async function probe(port: number, more: Partial<Limits> = {}, path = '/ipp/print', scheme = 'ipp') {
  return run(target({ ippUri: `${scheme}://${HOST}:${port}${path}` }), limits(more));
}

async function run(of: Target, within: Limits): Promise<{ all: readonly Observation[]; first: IppExchangeValue }> {
  const all = await ippProbe.run(of, createSystemNet(), within);
  return { all, first: exchange(all, 0) };
}

function exchange(all: readonly Observation[], index: number): IppExchangeValue {
  const found = all[index];
  if (found?.source !== 'ipp' || found.value === null) throw new Error(`no IPP record at ${index}`);
  return found.value;
}

const onlyAt =
  (path: string, elsewhere: Handler = status(404)): Handler =>
  (seen, response) =>
    (seen.path === path ? healthy : elsewhere)(seen, response);

const ippStatus =
  (code: number): Handler =>
  (seen, response) =>
    sendIpp(response, ippReply(seen, code));

describe('a printer that answers', () => {
  test('gives one record for each operation', async () => {
    const { port, seen } = await ippServer(healthy);
    const { all, first } = await probe(port, { user: 'ana' });
    expect(lines(all)).toEqual([
      'ipp Get-Printer-Attributes answered',
      'ipp Validate-Job answered',
      'ipp Get-Jobs answered',
    ]);
    expect(first).toMatchObject({
      uri: `ipp://${HOST}:${port}/ipp/print`,
      httpStatus: 200,
      contentType: 'application/ipp',
      version: '2.0',
      status: 'successful-ok',
      problems: [],
    });
    expect(first.attributes).toEqual(HEALTHY);
    expect(first.tried).toBeUndefined();
    expect(exchange(all, 1).user).toBe('ana');
    expect(exchange(all, 2).jobs?.map((job) => job['job-id']?.[0]?.value)).toEqual([7, 8]);
    expect(exchange(all, 2).whichJobs).toBe('not-completed');
    expect(seen.map((each) => each.requestId)).toEqual([1, 2, 3]);
    const asked = seen[0]?.attributes['requested-attributes']?.map((each) => each.value);
    expect(asked).toEqual(PRINTER_ATTRIBUTES);
    expect(seen[1]?.attributes['requesting-user-name']?.[0]?.value).toBe('ana');
    expect(seen[1]?.attributes['document-format']).toBeUndefined();
    expect(seen[2]?.attributes['requested-attributes']?.map((each) => each.value)).toContain('job-state-reasons');
    for (const each of all) expect(each).toMatchObject({ about: 'target', subject: first.uri });
  });

  test('over TLS: the certificate is recorded', async () => {
    const { port } = await ippServer(healthy, true);
    const { all, first } = await probe(port, {}, '/ipp/print', 'ipps');
    expect(lines(all)).toHaveLength(3);
    expect(first.tls).toMatchObject({ trusted: false, subject: 'CN=printer.example, O=Example' });
  });

  test('with another content type: read and said', async () => {
    const { port } = await ippServer((seen, response) =>
      sendIpp(response, ippReply(seen, 0, [{ tag: 'printer-attributes-tag', attributes: HEALTHY }]), 'text/plain'),
    );
    const { all, first } = await probe(port);
    expect(all[0]?.outcome).toBe('answered');
    expect(first.problems[0]).toContain('text/plain');
  });

  test('with an IPP status inside an HTTP error: both are kept', async () => {
    const { port } = await ippServer((seen, response) => {
      response.writeHead(500, { 'content-type': 'application/ipp' });
      response.end(ippReply(seen, 0x0507));
    });
    const { all, first } = await probe(port);
    expect(lines(all)).toEqual(['ipp Get-Printer-Attributes failed']);
    expect(first).toMatchObject({ httpStatus: 500, status: 'server-error-busy' });
  });

  test('secrets in its attributes are left out', async () => {
    const attributes = {
      ...HEALTHY,
      'printer-wifi-password': [value('octetString', { hex: '73656372657431' })],
      'device-uri': [value('uri', 'smb://ana:x@secret2@192.0.2.9/q')],
    };
    const { port } = await ippServer((seen, response) =>
      sendIpp(response, ippReply(seen, 0, [{ tag: 'printer-attributes-tag', attributes }])),
    );
    const { all, first } = await probe(port);
    expect(JSON.stringify(all)).not.toMatch(/secret2|73656372657431/);
    expect(first.attributes['device-uri']?.[0]?.value).toBe('smb://ana@192.0.2.9/q');
  });
});

describe('an explicit no', () => {
  test.each([401, 403, 407])('HTTP %d is denied', async (code) => {
    const { port } = await ippServer(status(code));
    const { all, first } = await probe(port);
    expect(lines(all)).toEqual(['ipp Get-Printer-Attributes denied']);
    expect(first.httpStatus).toBe(code);
  });

  test('HTTP 401 ends the search, so that no account is locked', async () => {
    const { port, seen } = await ippServer(status(401));
    await probe(port);
    expect(seen).toHaveLength(1);
  });

  test.each([
    [0x0401, 'client-error-forbidden'],
    [0x0402, 'client-error-not-authenticated'],
    [0x0403, 'client-error-not-authorized'],
  ])('IPP status %d is denied', async (code, keyword) => {
    const { port } = await ippServer(ippStatus(code));
    const { all, first } = await probe(port);
    expect(lines(all)).toEqual(['ipp Get-Printer-Attributes denied']);
    expect(first).toMatchObject({ httpStatus: 200, status: keyword });
  });

  test('a user refused by Validate-Job alone', async () => {
    const { port } = await ippServer((seen, response) =>
      seen.operation === 0x0004 ? ippStatus(0x0403)(seen, response) : healthy(seen, response),
    );
    const { all } = await probe(port, { user: 'ana' });
    expect(lines(all)).toEqual([
      'ipp Get-Printer-Attributes answered',
      'ipp Validate-Job denied',
      'ipp Get-Jobs answered',
    ]);
  });

  test('an account limit is an answer with its status', async () => {
    const { port } = await ippServer((seen, response) =>
      seen.operation === 0x0004 ? ippStatus(0x041e)(seen, response) : healthy(seen, response),
    );
    const { all } = await probe(port);
    expect(all[1]).toMatchObject({ outcome: 'answered', value: { status: 'client-error-account-limit-reached' } });
  });
});

describe('finding the path', () => {
  test.each(['/ipp/printer', '/ipp', '/', '/printers/front-desk'])('%s', async (path) => {
    const { port } = await ippServer(onlyAt(path));
    const { all, first } = await probe(port);
    expect(all).toHaveLength(3);
    expect(first.uri).toBe(`ipp://${HOST}:${port}${path}`);
    expect(first.tried?.[0]).toEqual({ uri: `ipp://${HOST}:${port}/ipp/print`, gave: 'IPP/2.0 with a list: HTTP 404' });
  });

  test('a configured path comes first, the usual ones after it', async () => {
    const { port, seen } = await ippServer(onlyAt('/ipp/print'));
    const { first } = await probe(port, {}, '/old/path');
    expect(first.uri).toBe(`ipp://${HOST}:${port}/ipp/print`);
    expect(seen.map((each) => each.path).slice(0, 2)).toEqual(['/old/path', '/ipp/print']);
  });

  test('client-error-not-found leads on too', async () => {
    const { port } = await ippServer(onlyAt('/ipp', ippStatus(0x0406)));
    expect((await probe(port)).first.uri).toBe(`ipp://${HOST}:${port}/ipp`);
  });

  test('a web page on other paths is no obstacle', async () => {
    const { port } = await ippServer(onlyAt('/ipp', status(200, '<html></html>')));
    expect((await probe(port)).first.uri).toBe(`ipp://${HOST}:${port}/ipp`);
  });

  test('404 everywhere', async () => {
    const { port, seen } = await ippServer(status(404, '<html>no</html>'));
    const { all, first } = await probe(port);
    expect(lines(all)).toEqual(['ipp Get-Printer-Attributes failed']);
    expect(first).toMatchObject({ httpStatus: 404, uri: `ipp://${HOST}:${port}/ipp/print` });
    expect(first.tried?.map((each) => each.uri.replace(/^.*:\d+/, ''))).toEqual([
      '/ipp/printer',
      '/ipp',
      '/',
      '/printers/front-desk',
    ]);
    expect(seen).toHaveLength(5);
  });

  test('404 everywhere but a start page at /', async () => {
    const { port } = await ippServer((seen, response) =>
      (seen.path === '/' ? status(200, '<html>hi</html>') : status(404))(seen, response),
    );
    const { all, first } = await probe(port);
    expect(lines(all)).toEqual(['ipp Get-Printer-Attributes failed']);
    expect(first.httpStatus).toBe(404);
  });

  test('client-error-not-found everywhere shows that status and asks no more', async () => {
    const { port } = await ippServer(ippStatus(0x0406));
    const { all, first } = await probe(port);
    expect(lines(all)).toEqual(['ipp Get-Printer-Attributes answered']);
    expect(first.status).toBe('client-error-not-found');
  });
});

describe('versions and lists', () => {
  const olderOnly =
    (refuse: Handler): Handler =>
    (seen, response) =>
      (seen.version === '1.1' ? healthy : refuse)(seen, response);

  test.each([
    ['server-error-version-not-supported', ippStatus(0x0503)],
    ['HTTP 400', status(400)],
    ['HTTP 505', status(505)],
    ['client-error-bad-request', ippStatus(0x0400)],
    ['a closed connection', ((_seen, response) => void response.destroy()) as Handler],
    ['octets that are no IPP', ((_seen, response) => sendIpp(response, Buffer.from('????????????'))) as Handler],
  ])('IPP/2.0 answered by %s: IPP/1.1 is tried, and kept', async (_what, refuse) => {
    const { port, seen } = await ippServer(olderOnly(refuse));
    const { all, first } = await probe(port);
    expect(all.map((each) => each.outcome)).toEqual(['answered', 'answered', 'answered']);
    expect(first.version).toBe('1.1');
    expect(first.tried?.length).toBeGreaterThan(0);
    expect(seen.slice(-2).map((each) => each.version)).toEqual(['1.1', '1.1']);
  });

  test('no version will do', async () => {
    const { port } = await ippServer(ippStatus(0x0503));
    const { all, first } = await probe(port);
    expect(all[0]?.outcome).toBe('answered');
    expect(first.status).toBe('server-error-version-not-supported');
    expect(first.tried?.map((each) => each.gave)).toContain('IPP/1.1 with a list: server-error-version-not-supported');
  });

  test.each([
    ['refuses it', ippStatus(0x0400)],
    ['finds it too long', ippStatus(0x0409)],
    ['fails over it', ippStatus(0x0500)],
    ['says ok and gives nothing', ippStatus(0x0000)],
  ])('a printer that, given a list of attributes, %s is asked without', async (_what, refuse) => {
    const { port } = await ippServer((seen, response) =>
      (seen.operation === 0x000b && seen.attributes['requested-attributes'] ? refuse : healthy)(seen, response),
    );
    const { all, first } = await probe(port);
    expect(all).toHaveLength(3);
    expect(first).toMatchObject({ version: '2.0', status: 'successful-ok', attributes: HEALTHY });
  });

  test('Get-Jobs with a list refused is asked without, the rest stands', async () => {
    const { port } = await ippServer((seen, response) =>
      (seen.operation === 0x000a && seen.attributes['requested-attributes'] ? ippStatus(0x040b) : healthy)(
        seen,
        response,
      ),
    );
    const { all } = await probe(port);
    expect(exchange(all, 2).jobs).toHaveLength(2);
  });
});

describe('TLS where it is wanted', () => {
  test('a plain question to a TLS port is repeated over TLS', async () => {
    const { port } = await ippServer(healthy, true);
    const { all, first } = await probe(port);
    expect(all).toHaveLength(3);
    expect(first.uri).toBe(`ipps://${HOST}:${port}/ipp/print`);
    expect(first.tls?.fingerprint).toBeDefined();
  });

  test('HTTP 426, and then no TLS: the TLS failure is what shows', async () => {
    const { port } = await ippServer(status(426));
    const { all, first } = await probe(port);
    expect(lines(all)).toEqual(['ipp Get-Printer-Attributes failed']);
    expect(first).toMatchObject({ httpStatus: null, error: 'tls', uri: `ipps://${HOST}:${port}/ipp/print` });
    expect(first.tried?.[0]?.gave).toBe('IPP/2.0 with a list: HTTP 426');
  });
});

describe('servers that are broken or hostile', () => {
  test.each([
    ['refused: nobody listens', null, 'refused', 'ECONNREFUSED'],
    ['silent: takes the call and says nothing', () => undefined, 'silent', 'ETIMEDOUT'],
    ['failed: resets', (socket) => void socket.resetAndDestroy(), 'failed', 'ECONNRESET'],
    ['garbled: no HTTP', (socket) => void socket.end('@PJL INFO STATUS\r\n'), 'garbled', 'HPE_INVALID_CONSTANT'],
    [
      'garbled: endless headers',
      (socket) => void socket.write(`HTTP/1.1 200 OK\r\n${'A: b\r\n'.repeat(9_000)}`),
      'garbled',
      'HPE_HEADER_OVERFLOW',
    ],
    [
      'failed: a body that never comes',
      (socket) => void socket.write('HTTP/1.1 200 OK\r\nContent-Length: 90\r\n\r\n'),
      'failed',
      'body-slow',
    ],
    ['failed: HTTP 500', reply('500 Internal Server Error', []), 'failed', undefined],
    ['failed: HTTP 503', reply('503 Service Unavailable', []), 'failed', undefined],
    ['garbled: an HTML page', reply('200 OK', ['Content-Type: text/html'], '<html></html>'), 'garbled', undefined],
    ['garbled: an empty 200', reply('200 OK', ['Content-Type: application/ipp']), 'garbled', undefined],
    [
      'garbled: seven octets',
      reply('200 OK', ['Content-Type: application/ipp'], '\u0002\u0000\u0000\u0000\u0000\u0000\u0000'),
      'garbled',
      undefined,
    ],
  ] as readonly [string, Answer | null, string, string | undefined][])('%s', async (_what, answer, outcome, error) => {
    const port = answer === null ? 1 : (await rawServer(answer, HOST)).port;
    const { all, first } = await probe(port, { timeoutMs: 300, deadlineMs: 4_000 });
    expect(lines(all)).toEqual([`ipp Get-Printer-Attributes ${outcome}`]);
    expect(first.error).toBe(error);
    expect(first.attributes).toEqual({});
  });

  test('a body that never ends is left at the cap', async () => {
    const { port } = await rawServer((socket) => {
      socket.write('HTTP/1.1 200 OK\r\nContent-Type: application/ipp\r\n\r\n');
      const pour = (): void => {
        while (!socket.destroyed && socket.write(Buffer.alloc(65_536, 1)));
        socket.once('drain', pour);
      };
      pour();
    }, HOST);
    const { all, first } = await probe(port);
    expect(all[0]?.outcome).toBe('garbled');
    expect(first.error).toBe('body-too-large');
  });

  test('a reply cut after the state still serves', async () => {
    const { port } = await ippServer((seen, response) => {
      const whole = ippReply(seen, 0, [{ tag: 'printer-attributes-tag', attributes: HEALTHY }]);
      sendIpp(response, whole.subarray(0, whole.length - 20));
    });
    const { all, first } = await probe(port);
    expect(all[0]?.outcome).toBe('answered');
    expect(first.attributes['printer-state']).toEqual([value('enum', 3)]);
    expect(first.problems.join(' ')).toMatch(/ends in the middle/);
  });

  test('a reply cut before the state is garbled, with what came', async () => {
    const { port } = await ippServer((seen, response) => {
      const whole = ippReply(seen, 0, [{ tag: 'printer-attributes-tag', attributes: HEALTHY }]);
      sendIpp(response, whole.subarray(0, whole.indexOf('printer-state') + 5));
    });
    const { all, first } = await probe(port);
    expect(lines(all)).toEqual(['ipp Get-Printer-Attributes garbled']);
    expect(first.attributes['printer-name']?.[0]?.value).toBe('front-desk');
  });

  test('the deadline holds for the whole ladder', async () => {
    const { port } = await ippServer((seen, response) => {
      const timer = setTimeout(() => status(404)(seen, response), 250);
      response.on('close', () => clearTimeout(timer));
    });
    const { all } = await probe(port, { timeoutMs: 1_000, deadlineMs: 600 });
    expect(lines(all)).toEqual(['ipp Get-Printer-Attributes failed']);
    expect(all[0]?.tookMs).toBeLessThan(5_000);
  });

  test('port 631 closed and nothing configured: refused', async () => {
    const { all, first } = await run(target({ host: '127.31.1.9' }), limits());
    expect(lines(all)).toEqual(['ipp Get-Printer-Attributes refused']);
    expect(first).toMatchObject({ uri: 'ipp://127.31.1.9/ipp/print', error: 'ECONNREFUSED', httpStatus: null });
  });

  test('a configured URI that is no IPP URI is passed over', async () => {
    const { first } = await run(target({ host: '127.31.1.9', ippUri: 'socket://127.31.1.9' }), limits());
    expect(first.uri).toBe('ipp://127.31.1.9/ipp/print');
  });
});

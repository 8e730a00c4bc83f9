import { describe, expect, test } from 'vitest';
import { httpExchange } from '../../../src/net/http.js';
import type { Net } from '../../../src/net/net.js';
import { createSystemNet } from '../../../src/net/system-net.js';
import { httpProbe } from '../../../src/probes/http/http.js';
import { type Answer, rawServer, rawTlsServer, reply } from '../../net/raw-server.js';
import { limits, target } from '../ipp/office.js';

const HOST = '127.31.2.1';

/** The system's network with ports 80 and 443 moved to where the test listens, as only an administrator may take those. */
async function ask(plain: Answer | null, secure: Answer | null) {
  const ports = {
    'http:': plain === null ? 1 : (await rawServer(plain, HOST)).port,
    'https:': secure === null ? 1 : (await rawTlsServer(secure, HOST)).port,
  };
  const net: Net = {
    ...createSystemNet(),
    http: (request) => {
      const url = new URL(request.url);
      url.port = String(ports[url.protocol as keyof typeof ports]);
      return httpExchange({ ...request, url: url.href });
    },
  };
  return httpProbe.run(target({ host: HOST }), net, limits({ timeoutMs: 1_000 }));
}

describe('the status page', () => {
  test('on both ports, with server and certificate', async () => {
    const page = reply('200 OK', ['Server: unit/1'], '<html></html>');
    const [plain, secure] = await ask(page, page);
    expect(plain).toMatchObject({
      source: 'http',
      what: 'GET /',
      about: 'target',
      subject: `http://${HOST}/`,
      outcome: 'answered',
      value: { url: `http://${HOST}/`, status: 200, server: 'unit/1' },
    });
    expect(secure).toMatchObject({ outcome: 'answered', value: { status: 200, tls: { trusted: false } } });
    expect(JSON.stringify([plain, secure])).not.toContain('<html>');
  });

  test('on neither', async () => {
    const all = await ask(null, null);
    expect(all.map((each) => each.outcome)).toEqual(['refused', 'refused']);
    expect(all[0]?.value).toEqual({ url: `http://${HOST}/`, status: null, error: 'ECONNREFUSED' });
  });

  test('a sign-in, an error, a page too large: it is there all the same', async () => {
    const [plain, secure] = await ask(reply('401 Unauthorized', []), reply('500 Oh', [], 'x'.repeat(100_000)));
    expect(plain).toMatchObject({ outcome: 'answered', value: { status: 401 } });
    expect(secure).toMatchObject({ outcome: 'answered', value: { status: 500, error: 'body-too-large' } });
  });

  test('something that is no HTTP', async () => {
    const [plain] = await ask((socket) => void socket.end('220 mail.example\r\n'), null);
    expect(plain?.outcome).toBe('garbled');
  });
});

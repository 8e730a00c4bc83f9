import { describe, expect, test } from 'vitest';
import { httpExchange } from '../../../src/net/http.js';
import type { Net } from '../../../src/net/net.js';
import { createSystemNet } from '../../../src/net/system-net.js';
import { startBudget } from '../../../src/probes/ipp/budget.js';
import { candidates, discover } from '../../../src/probes/ipp/discovery.js';
import { type Answer, rawServer } from '../../net/raw-server.js';
import { type Handler, HOST, healthy, ippServer, limits, status } from './office.js';

const odd = (answer: Answer): Promise<{ port: number }> => rawServer(answer, HOST);

/** The system's network with ports 631 and 443 moved to where the test listens, as only an administrator may take those. */
async function find(plain: Handler | Promise<{ port: number }>, secure: Handler | null, mayTryHttps = true) {
  const ports: Readonly<Record<string, number>> = {
    '631': (await (typeof plain === 'function' ? ippServer(plain) : plain)).port,
    '443': secure === null ? 1 : (await ippServer(secure, true)).port,
  };
  const net: Net = {
    ...createSystemNet(),
    http: (request) => {
      const url = new URL(request.url);
      url.port = String(ports[url.port || '443']);
      return httpExchange({ ...request, url: url.href });
    },
  };
  const budget = startBudget(net, limits({ timeoutMs: 1_000, deadlineMs: 5_000 }));
  const question = { operation: 'Get-Printer-Attributes', version: '2.0', requestedAttributes: [] } as const;
  return discover(net, budget, candidates(HOST, undefined, HOST), question, mayTryHttps);
}

describe('a printer that wants TLS on a port that makes no session', () => {
  test('is read over HTTPS on its own port', async () => {
    const { answer, tried } = await find(status(426), healthy);
    expect(answer).toMatchObject({ outcome: 'answered', value: { status: 'successful-ok' } });
    expect(answer.address).toMatchObject({ port: 443, tls: true });
    expect(tried.map(({ gave }) => gave)).toEqual(['IPP/2.0 with a list: HTTP 426', 'IPP/2.0 with a list: tls']);
  });

  test('shows the TLS failure where that port has only a web server', async () => {
    const { answer } = await find(status(426), status(404));
    expect(answer.value).toMatchObject({ httpStatus: null, error: 'tls' });
  });

  test('shows it where that port is closed', async () => {
    const { answer } = await find(status(426), null);
    expect(answer.value).toMatchObject({ httpStatus: null, error: 'tls' });
  });

  test.each<[string, Answer]>([
    ['resets every connection', (socket) => socket.resetAndDestroy()],
    ['answers with no HTTP', (socket) => socket.end('lp is ready\n')],
  ])('is read over HTTPS where that port %s', async (_name, answer) => {
    const { answer: found } = await find(odd(answer), healthy);
    expect(found).toMatchObject({ outcome: 'answered', address: { port: 443, tls: true } });
    const configured = await find(odd(answer), healthy, false);
    expect(configured.answer.address.port).toBe(631);
  });
});

import { expect, test } from 'vitest';
import { createSystemNet } from '../../../src/net/system-net.js';
import { printJob } from '../../../src/probes/ipp/print-job.js';
import { ippAddress } from '../../../src/wire/ipp/uri.js';
import { rawServer } from '../../net/raw-server.js';
import { HOST } from './office.js';

const net = createSystemNet();

test('a page whose connection drops is not sent a second time, for it would be printed twice', async () => {
  let pages = 0;
  const { port } = await rawServer((socket, chunk) => {
    const head = chunk.toString('latin1');
    if (head.startsWith('GET')) socket.write('HTTP/1.1 200 OK\r\nContent-Length: 2\r\n\r\nok');
    if (!head.startsWith('POST')) return;
    pages += 1;
    socket.resetAndDestroy();
  }, HOST);
  // A connection that is kept from before is one over which other questions are asked anew.
  await net.http({ url: `http://${HOST}:${port}/`, method: 'GET', timeoutMs: 2000, maxBytes: 1000 });
  const address = ippAddress(HOST, port, false, '/ipp/print');
  const job = { document: Buffer.from('page'), format: 'text/plain', name: 'test page', timeoutMs: 2000 };
  expect(await printJob(net, address, job)).toMatchObject({ outcome: 'failed', jobId: null });
  expect(pages).toBe(1);
});
